"""What the calendar's templates are given."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class Booking:
    """A job on its day."""

    id: str
    title: str
    client: str
    venue: str
    stage: str
    date: dt.date
    version: int
    pictured: bool


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the month's grid."""

    date: dt.date
    here: bool
    today: bool
    bookings: tuple[Booking, ...]


@dataclass(frozen=True, slots=True)
class FeedLine:
    """A feed that telephones read."""

    id: str
    name: str
    made: dt.datetime
    read: dt.datetime | None


@dataclass(frozen=True)
class CalendarPage(Page):
    """A month, and what comes."""

    template: ClassVar[str] = "calendar/calendar.html"
    month: dt.date
    before: str
    after: str
    week_days: tuple[str, ...]
    weeks: tuple[tuple[Day, ...], ...]
    agenda: tuple[Booking, ...]
    feeds: tuple[FeedLine, ...]
    new_feed: str
