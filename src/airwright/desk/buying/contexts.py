"""What the templates of buying are given."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from markupsafe import Markup

from airwright.desk.pages import Page
from airwright.job.findings import Finding
from airwright.language import Text
from airwright.operations.buying.answer import LeftOver, Order, Short
from airwright.operations.buying.remedies import Remedy
from airwright.operations.buying.substitutes import Substitute


@dataclass(frozen=True, slots=True)
class OrderCard:
    """An order that would be sent; `mark` stands for its content."""

    order: Order
    mark: str


@dataclass(frozen=True, slots=True)
class ShortLine:
    """What is short, with the ways out."""

    short: Short
    ways: tuple[Remedy, ...]


@dataclass(frozen=True, slots=True)
class PurchaseLine:
    """An order that was sent."""

    id: str
    supplier: str
    order_on: str
    arrives_on: str
    state: str
    late: bool


@dataclass(frozen=True, slots=True)
class SubstituteLine:
    """A near shade that would save, and the jobs (id, title) that it may be ticked for."""

    what: Substitute
    jobs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class TickedLine:
    """A substitute that may be taken in a job."""

    id: str
    job: str
    goods: str
    instead: str
    by: str


@dataclass(frozen=True)
class BuyingPage(Page):
    """What to order, and what was ordered.

    Attributes:
        ready: whether there are suppliers; without them nothing else is shown.
        jobs: titles of the jobs that are bought for.
        left_out: jobs that cannot be planned, and so are not bought for.
        view: what a form sends along so that one comes back to the same days.
        kept_for: what keeping the goods until they are used costs, if that is counted.
        wishes: name, words and whether it is ticked, of each wish.
        planned_with: the wishes that are ticked, in words; "" without any.
    """

    template: ClassVar[str] = "buying/buying.html"
    ready: bool
    view: dict[str, str]
    kept_for: Decimal
    wishes: tuple[tuple[str, Text, bool], ...]
    planned_with: Text
    currency: str
    jobs: tuple[str, ...]
    left_out: tuple[str, ...]
    orders: tuple[OrderCard, ...]
    cost: Decimal
    proven: bool
    gap: float
    habit: Decimal | None
    parcels: int
    saving: Decimal
    left_over: tuple[LeftOver, ...]
    substitutes: tuple[SubstituteLine, ...]
    ticked: tuple[TickedLine, ...]
    short: tuple[ShortLine, ...]
    findings: tuple[Finding, ...]
    stock_chart: Markup
    saving_chart: Markup
    purchases: tuple[PurchaseLine, ...]


@dataclass(frozen=True)
class SuppliersPage(Page):
    """All suppliers, and their file."""

    template: ClassVar[str] = "buying/suppliers.html"
    text: str
    version: int
    findings: tuple[Finding, ...]
    lines: tuple[SupplierLine, ...]


@dataclass(frozen=True, slots=True)
class ParcelLine:
    """A line of an order to be received."""

    id: str
    item: str
    shade: str
    pack: int
    packs: int
    received: int
    open: int
    ordered: str


@dataclass(frozen=True)
class PurchasePage(Page):
    """An order that was sent, and what came of it."""

    template: ClassVar[str] = "buying/purchase.html"
    purchase: PurchaseLine
    lines: tuple[ParcelLine, ...]
    cost: Decimal
    currency: str
    is_open: bool
    can_cancel: bool
    key: str


@dataclass(frozen=True, slots=True)
class Column:
    """What a column may hold, and the head that was chosen for it."""

    key: str
    label: str
    chosen: str
    needed: bool


@dataclass(frozen=True)
class ColumnsPage(Page):
    """Which column of a price list holds what; asked once a supplier."""

    template: ClassVar[str] = "buying/columns.html"
    supplier: str
    heads: tuple[str, ...]
    columns: tuple[Column, ...]
    content: str
    findings: tuple[Finding, ...]
    rows: int


@dataclass(frozen=True, slots=True)
class OfferLine:
    """A line of a price list's form: `at` is its number in the file, "" for one that is added."""

    index: int
    at: str
    values: dict[str, str]


@dataclass(frozen=True)
class SupplierPage(Page):
    """One supplier's form; `was` is its name in the file, `long` lines are too many to type."""

    template: ClassVar[str] = "buying/supplier.html"
    was: str
    values: dict[str, str]
    days: tuple[tuple[str, str], ...]
    delivers: tuple[str, ...]
    lines: tuple[OfferLine, ...]
    long: int
    findings: tuple[Finding, ...]
    version: int
    currency: str


@dataclass(frozen=True, slots=True)
class SupplierLine:
    """A supplier in the list, in words."""

    name: str
    about: str
    priced: str
    old: bool
