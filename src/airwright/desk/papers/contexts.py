"""What the papers' templates are given."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.page_heads import JobBar
from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class FileLine:
    """One file that was made."""

    id: str
    name: str
    label: str
    media: str
    size: str
    made: dt.datetime
    stale: bool
    is_picture: bool
    is_pdf: bool


@dataclass(frozen=True, slots=True)
class TaskLine:
    """Work under way or just ended."""

    id: str
    what: str
    state: str
    note: str
    percent: int
    running: bool


@dataclass(frozen=True)
class PapersPage(Page):
    """Papers of a job."""

    template: ClassVar[str] = "papers/papers.html"
    part: ClassVar[str | None] = "papers/shelf.html"
    job: JobBar
    groups: tuple[tuple[str, tuple[FileLine, ...]], ...]
    photos: tuple[FileLine, ...]
    tasks: tuple[TaskLine, ...]
    busy: bool
    documents: tuple[tuple[str, str], ...]
    subjects: tuple[str, ...]
    ready: bool
    photographs: bool
    errors: int
