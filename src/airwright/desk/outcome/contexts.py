"""What this area's templates are given. Owners only."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.page_heads import JobBar
from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing saved."""

    id: str
    kind: str
    what: str
    amount: str
    by: str
    at: dt.datetime


@dataclass(frozen=True, slots=True)
class Beside:
    """Planned beside actual."""

    what: str
    planned: str
    actual: str
    better: bool | None


@dataclass(frozen=True)
class ResultPage(Page):
    """Did it pay?"""

    template: ClassVar[str] = "outcome/outcome.html"
    job: JobBar
    currency: str
    entries: tuple[Entry, ...]
    beside: tuple[Beside, ...]
    verdict: str
    kinds: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """One kind, client or month; widths are those of its bars in the picture."""

    name: str
    jobs: int
    net: str
    cost: str
    margin: str
    hours: str
    net_width: int
    cost_width: int
    lost: bool


@dataclass(frozen=True, slots=True)
class SeasonGroup:
    """A season seen one way."""

    title: str
    rows: tuple[SeasonRow, ...]


@dataclass(frozen=True)
class SeasonPage(Page):
    """What a season earned."""

    template: ClassVar[str] = "outcome/season.html"
    year: int
    years: tuple[int, ...]
    seasons: tuple[tuple[str, int, str, str, tuple[SeasonGroup, ...]], ...]
