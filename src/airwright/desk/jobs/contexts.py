"""What the book's templates are given."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class Entry:
    """A job in the list; prices only for those who may see them.

    Attributes:
        next_step: what to do next, in words; "" when nothing is.
        next_at: the page it is done on, after the job's address.
        money: "deposit paid", "deposit due"; "" while nothing is booked.
    """

    id: str
    title: str
    client: str
    venue: str
    date: dt.date | None
    days: int | None
    stage: str
    balloons: int
    hours: float
    price: str
    needs: tuple[tuple[str, str], ...]
    next_step: str
    next_at: str
    money: str
    version: int
    sample: bool


@dataclass(frozen=True)
class JobsPage(Page):
    """All jobs."""

    template: ClassVar[str] = "jobs/jobs.html"
    part: ClassVar[str | None] = "jobs/entries.html"
    entries: tuple[Entry, ...]
    words: str
    stage: str
    stages: tuple[tuple[str, str, int], ...]
    put_away: int
    people: tuple[tuple[str, str], ...]
    designs: tuple[tuple[str, str], ...]
    total: int
    found: int
    page: int
    pages: int
    tour: bool
    empty: bool


@dataclass(frozen=True)
class RemovePage(Page):
    """Ask before a job is taken out for good."""

    template: ClassVar[str] = "jobs/remove.html"
    id: str
    title: str
