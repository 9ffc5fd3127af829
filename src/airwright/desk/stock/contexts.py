"""What the templates of the shelf are given."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class GoodsLine:
    """Goods on the shelf: counts in pieces; `old` is what grows too old soon, in words."""

    item: str
    shade: str
    on_hand: int
    promised: int
    wanted: int
    incoming: int
    free: int
    places: str
    old: str


@dataclass(frozen=True, slots=True)
class JobLine:
    """A job: what it needs, has promised and has taken, in pieces; `ahead` until it is settled."""

    id: str
    title: str
    date: str
    needed: int
    promised: int
    taken: int
    ahead: bool
    key: str


@dataclass(frozen=True, slots=True)
class BackLine:
    """A lot of which a job took some, and how much of it may come back."""

    id: str
    item: str
    shade: str
    place: str
    out: int


@dataclass(frozen=True, slots=True)
class LotLine:
    """A lot to be counted: how many the ledger holds, and a key so that a press counts once."""

    id: str
    item: str
    shade: str
    place: str
    there: int
    more: str
    condition: str
    key: str


@dataclass(frozen=True, slots=True)
class Happening:
    """A line of the history."""

    when: str
    what: str
    quantity: int
    who: str
    note: str


@dataclass(frozen=True)
class StockPage(Page):
    """The shelf."""

    template: ClassVar[str] = "stock/stock.html"
    goods: tuple[GoodsLine, ...]
    value: Decimal | None
    currency: str
    old: tuple[str, ...]
    key: str


@dataclass(frozen=True)
class JobsPage(Page):
    """The shelf for the jobs ahead: reserve, take for packing, bring back."""

    template: ClassVar[str] = "stock/jobs.html"
    jobs: tuple[JobLine, ...]
    lacking: tuple[str, ...]


@dataclass(frozen=True)
class BackPage(Page):
    """What a job brings back after the event."""

    template: ClassVar[str] = "stock/back.html"
    job_id: str
    title: str
    lots: tuple[BackLine, ...]
    key: str


@dataclass(frozen=True)
class CountPage(Page):
    """Counting, shelf by shelf."""

    template: ClassVar[str] = "stock/count.html"
    lots: tuple[LotLine, ...]
    places: tuple[str, ...]
    place: str
    code: str
    unknown: bool
    items: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class HistoryPage(Page):
    """One goods: its lots, what can be saved, and all that happened."""

    template: ClassVar[str] = "stock/history.html"
    item: str
    shade: str
    lots: tuple[LotLine, ...]
    happenings: tuple[Happening, ...]
    kinds: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class CylinderLine:
    """A cylinder that is here: its gas, its dial and its rent so far, in words."""

    id: str
    name: str
    size: str
    gas: str
    gauge: str
    read: str
    since: str
    rent: str
    place: str
    key: str


@dataclass(frozen=True)
class HeliumPage(Page):
    """Cylinders of helium."""

    template: ClassVar[str] = "stock/helium.html"
    cylinders: tuple[CylinderLine, ...]
    gas: str
    kinds: tuple[str, ...]
    dial: str
    currency: str
    key: str
