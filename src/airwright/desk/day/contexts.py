"""What the day's templates are given: no money but what one has written down oneself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from airwright.desk.page_heads import JobBar
from airwright.desk.pages import Page
from airwright.job.findings import Finding


@dataclass(frozen=True, slots=True)
class Line:
    """One line to tick; `picture` is the address of a drawing of it, if there is one."""

    item: str
    text: str
    more: str
    ticked: bool
    by: str
    picture: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """Lines under one heading; `chart` is the address of the piece's chart, if it has one."""

    title: str
    kind: str
    lines: tuple[Line, ...]
    done: int
    chart: str = ""


@dataclass(frozen=True, slots=True)
class Floor:
    """Where everything stands.

    Attributes:
        drawing: the floor from above; empty when the spots are too far apart to draw.
        places: number, piece, and in words from the middle, from the front edge, its front.
        off: numbers of the pieces too far off to be drawn.
    """

    drawing: Markup
    places: tuple[dict[str, str], ...]
    off: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OwnEntry:
    """Hours or a purchase that one has written down oneself."""

    id: str
    words: str


@dataclass(frozen=True, slots=True)
class FinishedPhoto:
    """A photograph of the decor as it stood; `mine` when whoever looks has sent it."""

    id: str
    by: str
    mine: bool


@dataclass(frozen=True)
class DayPage(Page):
    """The day of a job."""

    template: ClassVar[str] = "day/day.html"
    job: JobBar
    times: tuple[tuple[str, str], ...]
    venue: str
    address: str
    contact: str
    studio: str
    sections: tuple[Section, ...]
    missing: str
    """Why there are no sections."""
    cautions: tuple[Finding, ...]
    done: int
    total: int
    note: str
    floor: Floor | None
    currency: str
    worked: str
    mine: tuple[OwnEntry, ...]
    finished: tuple[FinishedPhoto, ...]
