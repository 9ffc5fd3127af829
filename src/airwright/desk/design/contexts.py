"""What the design page's templates are given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from airwright.desk.field_groups import Group
from airwright.desk.page_heads import JobBar
from airwright.desk.pages import Page
from airwright.job.findings import Finding


@dataclass(frozen=True, slots=True)
class PieceTag:
    """A piece in the list; `only_in` names the options that hold nothing else."""

    index: int
    name: str
    kind: str
    count: int
    balloons: int
    colours: tuple[str, ...]
    errors: int
    chosen: bool
    only_in: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """The figures under the picture, already without what this person may not see."""

    balloons: int
    hours: float
    price: str
    cost: str
    margin: str
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DesignCard:
    """A piece to begin with: ours, or a kept design (`own`); `add` is what a form sends."""

    add: str
    key: str
    name: str
    price: str
    own: bool


@dataclass(frozen=True, slots=True)
class HoursLine:
    """One operation: what the hands do, how much of it, and their time."""

    what: str
    quantity: str
    hours: str


@dataclass(frozen=True, slots=True)
class HoursPlace:
    """Work in the workshop, on the road, on site or at take-down."""

    name: str
    hours: str
    lines: tuple[HoursLine, ...]


@dataclass(frozen=True, slots=True)
class HoursShown:
    """Where the hours go, and who goes."""

    crew: str
    places: tuple[HoursPlace, ...]


@dataclass(frozen=True)
class DesignPage(Page):
    """Design a job."""

    template: ClassVar[str] = "design/design.html"
    job: JobBar
    version: int
    undo: str | None
    redo: str | None
    pieces: tuple[PieceTag, ...]
    chosen: int | None
    panel: tuple[Group, ...]
    shades: tuple[tuple[str, str], ...]
    sizes: tuple[tuple[str, str], ...]
    stock: tuple[tuple[str, str, str], ...]
    used: frozenset[str]
    pairs: Mapping[str, tuple[str, str]]
    shown: Shown | None
    labour: HoursShown | None
    findings: tuple[Finding, ...]
    designs: tuple[DesignCard, ...]
    picture: str | None
    grid: str


@dataclass(frozen=True)
class HoursPart(Page):
    """Where the hours go, fetched after a change."""

    template: ClassVar[str] = "design/hours.html"
    labour: HoursShown | None


@dataclass(frozen=True)
class PanelPart(Page):
    """The panel alone, fetched after a change."""

    template: ClassVar[str] = "design/panel.html"
    job: JobBar
    version: int
    chosen: int | None
    pieces: tuple[PieceTag, ...]
    panel: tuple[Group, ...]
    shades: tuple[tuple[str, str], ...]
    sizes: tuple[tuple[str, str], ...]
    stock: tuple[tuple[str, str, str], ...]
    used: frozenset[str]
    pairs: Mapping[str, tuple[str, str]]


@dataclass(frozen=True)
class FilePage(Page):
    """The job file itself."""

    template: ClassVar[str] = "design/file.html"
    job: JobBar
    version: int
    text: str
    findings: tuple[Finding, ...]
    history: tuple[Any, ...]
