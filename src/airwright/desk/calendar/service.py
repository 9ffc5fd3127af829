"""Jobs as days of a month, and as events for telephones (RFC 5545)."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterable, Sequence
from typing import Any

from airwright.desk.calendar.contexts import Booking, Day
from airwright.desk.editing.differences import readable, value_at
from airwright.store.jobs import UNDECIDED
from airwright.store.tables import JobRow

AGENDA_DAYS = 120
FEED_BACK_DAYS, FEED_AHEAD_DAYS = 90, 730


def booking(row: JobRow) -> Booking:
    """A job on its day; only for jobs that have one."""
    assert row.date is not None
    return Booking(
        row.id, row.title, row.client, row.venue, row.stage, row.date, row.version, row.balloons > 0
    )


def weeks_of(
    month: dt.date, today: dt.date, rows: Iterable[JobRow], first_weekday: int
) -> tuple[tuple[Day, ...], ...]:
    """The month's weeks with their jobs, days of the neighbouring months included."""
    by_day: dict[dt.date, list[Booking]] = {}
    for row in rows:
        if row.date is not None:
            by_day.setdefault(row.date, []).append(booking(row))
    grid = calendar.Calendar(first_weekday).monthdatescalendar(month.year, month.month)
    return tuple(
        tuple(
            Day(date, date.month == month.month, date == today, tuple(by_day.get(date, ())))
            for date in week
        )
        for week in grid
    )


def feed(name: str, rows: Sequence[JobRow]) -> bytes:
    """All jobs as a calendar: one event from access to take-down, at the venue's own clock."""
    import icalendar

    made = icalendar.Calendar()
    made.add("prodid", "-//Airwright//desk//EN")
    made.add("version", "2.0")
    made.add("x-wr-calname", name)
    for row in rows:
        if row.date is not None:
            made.add_component(_event(row, row.date))
    return bytes(made.to_ical())


def _event(row: JobRow, date: dt.date) -> Any:
    import icalendar

    tables = readable(row.text) or {}
    starts = _clock(value_at(tables, ("venue", "access")), dt.time(6, 30))
    ends = _clock(value_at(tables, ("job", "strike")), dt.time(23, 59))
    begin, end = dt.datetime.combine(date, starts), dt.datetime.combine(date, ends)
    if end <= begin:
        end += dt.timedelta(days=1)
    event = icalendar.Event()
    event.add("uid", f"{row.id}@airwright")
    event.add("dtstamp", row.changed)
    event.add("sequence", row.version)
    event.add("dtstart", begin)
    event.add("dtend", end)
    event.add("summary", row.title)
    if row.venue:
        event.add("location", row.venue)
    event.add("description", " · ".join(part for part in (row.client, row.stage) if part))
    event.add("status", "TENTATIVE" if row.stage in UNDECIDED else "CONFIRMED")
    return event


def _clock(text: object, usual: dt.time) -> dt.time:
    try:
        return dt.time.fromisoformat(text) if isinstance(text, str) else usual
    except ValueError:
        return usual
