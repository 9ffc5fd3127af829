"""Appointments as an iCalendar file (RFC 5545)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Final

from airwright.language import say
from airwright.papers.calendar.model import Appointment, appointments_of
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.request import Request

PATH: Final = "job.ics"


def make(request: Request) -> tuple[Paper, ...]:
    """job.ics for a request."""
    head = request.plan.job.job
    job = fingerprint([head.title, head.client, head.date.isoformat()])
    return (render(appointments_of(request.plan, request.today), job, request.today),)


def render(appointments: Sequence[Appointment], job: str, today: dt.date) -> Paper:
    """Write an iCalendar file.

    Args:
        appointments: entries with floating times.
        job: the job's own mark; an entry keeps its UID when the job is planned again, so that
            a calendar moves it instead of doubling it.
        today: the stamp every entry must carry.
    """
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", "-//Airwright//Job pack//EN")
    calendar.add("version", "2.0")
    for entry in appointments:
        event = Event()
        event.add("uid", f"{job}-{entry.key}@airwright.invalid")
        event.add("dtstamp", dt.datetime(today.year, today.month, today.day, tzinfo=dt.UTC))
        event.add("dtstart", entry.starts)
        event.add("dtend", entry.ends)
        event.add("summary", say(entry.what))
        if entry.where:
            event.add("location", entry.where)
        event.add("description", say(entry.details))
        calendar.add_component(event)
    data = calendar.to_ical()
    assert isinstance(data, bytes)
    return Paper(
        PATH, data, fingerprint({"job": job, "entries": [fingerprint(a) for a in appointments]})
    )
