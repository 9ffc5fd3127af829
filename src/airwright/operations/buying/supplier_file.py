"""The suppliers' file, `airwright-suppliers/1`: terms and price lists as people write them."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Annotated, Final, Literal

from pydantic import Field

from airwright import units
from airwright.job.findings import Finding, caution, error
from airwright.job.models import Clock
from airwright.job.pieces import Table
from airwright.language import message
from airwright.money.amount import cent, is_currency
from airwright.operations.buying.calendar import UnknownRegion, public_holidays
from airwright.operations.buying.values import (
    NOTHING,
    Break,
    BreakRule,
    Freight,
    Offer,
    Supplier,
)
from airwright.operations.goods import good_days, same_name
from airwright.operations.toml_file import FileReading, read_table
from airwright.params import Param

SUPPLIERS_FORMAT: Literal["airwright-suppliers/1"] = "airwright-suppliers/1"
SUPPLIERS_FILE: Final = "suppliers' file"

Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
DAYS: Final[tuple[Day, ...]] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
WORKING: Final[tuple[Day, ...]] = ("mon", "tue", "wed", "thu", "fri")

MOST_LEAD_DAYS: Final = 250
DEAREST: Final = 1_000_000
MOST_PACKS: Final = 100_000
OLD_DAYS: Final = 365
"""Days after which a price list is worth another look (common practice)."""


class LeadRow(Table):
    """A lead time with its spread."""

    usual: Annotated[
        int, Param(message("Working days a parcel usually takes."), low=0, high=MOST_LEAD_DAYS)
    ]
    late: Annotated[
        int,
        Param(message("Working days nearly every parcel keeps; these are counted on."), low=0,
              high=MOST_LEAD_DAYS),
    ]  # fmt: skip


class FreightRow(Table):
    """A step of the freight table."""

    start: Annotated[
        Decimal | None,
        Param(message("Value of the goods from which it holds."), low=0, high=DEAREST),
    ] = Field(default=None, alias="from")
    from_weight: Annotated[
        float | None, Param(message("Weight from which it holds."), units.MASS, "0 g", "2000 kg")
    ] = None
    price: Annotated[Decimal, Param(message("Freight of one order."), low=0, high=DEAREST)]


class BreakRow(Table):
    """A price break."""

    packs: Annotated[int, Param(message("Packs from which it holds."), low=2, high=MOST_PACKS)]
    price: Annotated[
        Decimal, Param(message("Price of one pack from there on."), low=0, high=DEAREST)
    ]


class RushRow(Table):
    """A quicker way."""

    lead_days: Annotated[int, Param(message("Working days it takes."), low=0, high=MOST_LEAD_DAYS)]
    price: Annotated[Decimal, Param(message("What it adds to the freight."), low=0, high=DEAREST)]


class OfferRow(Table):
    """A line of a price list."""

    item: Annotated[str, Param(message("What it is, as the needs name it."), longest=120)] = Field(
        min_length=1
    )
    shade: Annotated[
        str | None, Param(message("Its shade; left out: any shade at this price."), longest=60)
    ] = None
    pack: Annotated[int, Param(message("How many are in one pack."), low=1, high=MOST_PACKS)]
    price: Annotated[
        Decimal, Param(message("Price of one pack."), low=0, high=DEAREST, example="16.50")
    ]
    breaks: Annotated[
        tuple[BreakRow, ...],
        Param(message("Lower prices from so many packs on, in ascending order.")),
    ] = ()
    breaks_for: Annotated[
        Literal["all packs", "packs beyond"],
        Param(message("Whether a break lowers the price of all packs, or of those from it on.")),
    ] = "all packs"
    breaks_over: Annotated[
        Literal["each shade", "all shades"],
        Param(message("Whether packs of different shades count together towards a break.")),
    ] = "each shade"
    available: Annotated[
        int | None,
        Param(message("Packs the supplier has; 0: out of stock."), low=0, high=MOST_PACKS),
    ] = None
    good_days: Annotated[
        int | None, Param(message("Days it keeps; left out: a year for latex."), low=1, high=36500)
    ] = None
    weight: Annotated[
        float,
        Param(message("Weight of one pack, for freight by weight."), units.MASS, "0 g", "100 kg"),
    ] = 0.0
    colour: Annotated[
        str | None,
        Field(pattern=r"^#[0-9a-fA-F]{6}$"),
        Param(message("Color of its shade, to find near ones."), example="#f0705a"),
    ] = None
    code: Annotated[
        str, Param(message("Its bar code (EAN or UPC) or order number."), longest=60)
    ] = ""


class SupplierRow(Table):
    """A supplier's terms and price list."""

    name: Annotated[str, Param(message("What you call the supplier."), longest=120)] = Field(
        min_length=1
    )
    currency: Annotated[
        str | None, Param(message("Its currency, if the file's own is to be checked against it."))
    ] = None
    lead_days: Annotated[
        int | LeadRow,
        Param(
            message("Working days from the day of ordering to the parcel."),
            low=0,
            high=MOST_LEAD_DAYS,
            example="3 or { usual = 3, late = 6 }",
        ),
    ]
    delivers: Annotated[tuple[Day, ...], Param(message("Days on which parcels come."))] = WORKING
    works: Annotated[tuple[Day, ...], Param(message("Days that count as working days."))] = WORKING
    holidays: Annotated[
        str,
        Param(
            message("Country, or country and region, whose public holidays are kept."),
            example="DE-BE",
            longest=12,
        ),
    ] = ""
    closed: Annotated[
        tuple[dt.date, ...], Param(message("Further days on which nothing is sent or comes."))
    ] = ()
    cutoff: Annotated[
        Clock | None, Param(message("Orders after this time count as the next working day's."))
    ] = None
    minimum: Annotated[
        Decimal, Param(message("Least value of the goods of an order."), low=0, high=DEAREST)
    ] = NOTHING
    freight: Annotated[
        tuple[FreightRow, ...], Param(message("Freight of an order, step by step."))
    ] = ()
    rush: Annotated[RushRow | None, Param(message("A quicker way and its price."))] = None
    mail: Annotated[str, Param(message("Address orders are sent to."), longest=200)] = ""
    priced_on: Annotated[
        dt.date | None,
        Param(
            message("The day its prices are from; a year on they want another look."),
            example="2027-01-04",
        ),
    ] = None
    # no Param: a price list may be far longer than any list a hand writes
    offers: tuple[OfferRow, ...] = Field(default=(), description=message("The price list."))


class SuppliersFile(Table):
    """All suppliers of a studio."""

    format: Literal["airwright-suppliers/1"] = SUPPLIERS_FORMAT
    currency: Annotated[
        str, Param(message("Currency of all prices, three letters of ISO 4217."), example="EUR")
    ]
    suppliers: Annotated[
        tuple[SupplierRow, ...], Param(message("Suppliers, each with its offers."))
    ]


def read_suppliers(data: bytes) -> FileReading[SuppliersFile]:
    """Read a suppliers' file."""
    return read_table(data, SuppliersFile, SUPPLIERS_FORMAT, SUPPLIERS_FILE, findings)


def old_lists(file: SuppliersFile, today: dt.date) -> Iterator[Finding]:
    """Suppliers whose prices are more than a year old."""
    for at, row in enumerate(file.suppliers):
        if row.priced_on is not None and (today - row.priced_on).days > OLD_DAYS:
            yield caution(
                "old-prices",
                f"suppliers[{at}].priced_on",
                message(
                    "The prices of {name} are of {day}.",
                    name=row.name,
                    day=row.priced_on.isoformat(),
                ),
                message("Ask for its price list, or write down that they still hold."),
            )


# ---- what the single keys do not show ---------------------------------------------------------


def findings(file: SuppliersFile) -> Iterator[Finding]:
    """What is wrong or odd across keys."""
    if not is_currency(file.currency):
        yield error(
            "currency",
            "currency",
            message('"{code}" is no currency.', code=file.currency[:20]),
            message('Use three capital letters like "USD" or "EUR".'),
        )
        return
    if not file.suppliers:
        yield error(
            "no-suppliers",
            "suppliers",
            message("The file names no suppliers."),
            message("Add one with [[suppliers]]."),
        )
    seen: dict[str, int] = {}
    for at, row in enumerate(file.suppliers):
        place = f"suppliers[{at}]"
        if same_name(row.name) in seen:
            yield error(
                "duplicate-name",
                f"{place}.name",
                message('There are two suppliers named "{name}".', name=row.name),
                message("Put their offers together, or give one another name."),
            )
        seen[same_name(row.name)] = at
        yield from _terms(row, place, file.currency)
        for number, offer in enumerate(row.offers):
            yield from _offer(offer, f"{place}.offers[{number}]", file.currency)
        yield from _twice(row, place)


def _terms(row: SupplierRow, place: str, currency: str) -> Iterator[Finding]:
    if row.currency is not None and row.currency != currency:
        yield error(
            "two-currencies",
            f"{place}.currency",
            message(
                "{name} sells in {theirs}, the file counts in {ours}.",
                name=row.name,
                theirs=row.currency,
                ours=currency,
            ),
            message("Turn its prices into {ours}, or make a file of its own.", ours=currency),
        )
    if isinstance(row.lead_days, LeadRow) and row.lead_days.late < row.lead_days.usual:
        yield error(
            "late-before-usual",
            f"{place}.lead_days",
            message("The late lead time is shorter than the usual one."),
            message("Make late at least {usual}.", usual=row.lead_days.usual),
        )
    for key, days in (("delivers", row.delivers), ("works", row.works)):
        if not days:
            yield error(
                "no-days",
                f"{place}.{key}",
                message("No day is named."),
                message('Write them like ["mon", "thu"], or leave the key out.'),
            )
    if row.holidays and (found := _region(row.holidays, place)):
        yield found
    yield from _freight(row, place)
    amounts = [("minimum", row.minimum)]
    amounts += [(f"freight[{at}].price", step.price) for at, step in enumerate(row.freight)]
    if row.rush is not None:
        amounts.append(("rush.price", row.rush.price))
    yield from _too_fine(amounts, place, currency)
    if not row.offers:
        yield caution(
            "no-offers",
            place,
            message("{name} has no offers, so nothing is bought there.", name=row.name),
            message("Add its price list with [[suppliers.offers]]."),
        )


def _region(code: str, place: str) -> Finding | None:
    try:
        if re.fullmatch(r"[A-Z]{2}(-[A-Za-z0-9]{1,6})?", code):
            public_holidays(code, 2027)
            return None
    except UnknownRegion:
        pass
    return error(
        "unknown-region",
        f"{place}.holidays",
        message('There are no public holidays on file for "{code}".', code=code[:20]),
        message('Write a country like "DE", or country and region like "DE-BE" (ISO 3166).'),
    )


def _freight(row: SupplierRow, place: str) -> Iterator[Finding]:
    by_weight = [step.from_weight is not None for step in row.freight]
    starts = [step.start if step.from_weight is None else step.from_weight for step in row.freight]
    for at, step in enumerate(row.freight):
        if (step.start is None) == (step.from_weight is None):
            yield error(
                "freight-step",
                f"{place}.freight[{at}]",
                message("This freight step does not say from which value or weight it holds."),
                message('Write one of both: from = "0.00", or from_weight = "0 kg".'),
            )
            return
    if any(by_weight) and not all(by_weight):
        yield error(
            "freight-mixed",
            f"{place}.freight",
            message("Freight goes by value in one step and by weight in another."),
            message("Use from in all steps, or from_weight in all."),
        )
        return
    if starts and starts[0] != 0:
        yield error(
            "freight-start",
            f"{place}.freight[0]",
            message("Freight of smaller orders is missing."),
            message("Let the first step hold from zero."),
        )
    if any(not a < b for a, b in pairwise(value for value in starts if value is not None)):
        yield error(
            "freight-order",
            f"{place}.freight",
            message("Freight steps do not go up."),
            message("Put them in ascending order, each start once."),
        )


def _offer(row: OfferRow, place: str, currency: str) -> Iterator[Finding]:
    prices = [("price", row.price)]
    prices += [(f"breaks[{at}].price", step.price) for at, step in enumerate(row.breaks)]
    for key, price in prices:
        if price == 0:
            yield error(
                "zero-price",
                f"{place}.{key}",
                message("{item} would cost nothing.", item=_name(row)),
                message("Write its price, or leave the line out."),
            )
    yield from _too_fine(prices, place, currency)
    steps = [Break(1, row.price), *(Break(one.packs, one.price) for one in row.breaks)]
    for at, (sooner, later) in enumerate(pairwise(steps)):
        if later.packs <= sooner.packs:
            yield error(
                "break-order",
                f"{place}.breaks[{at}]",
                message("The price breaks of {item} do not go up.", item=_name(row)),
                message("Put them in ascending order of packs."),
            )
        elif later.price > sooner.price:
            yield error(
                "dearer-break",
                f"{place}.breaks[{at}].price",
                message("{item} gets dearer from {packs} packs on.", item=_name(row),
                        packs=later.packs),
                message("Check the price; a break lowers it."),
            )  # fmt: skip
    if row.breaks_over == "all shades" and row.breaks_for == "packs beyond":
        yield error(
            "break-kind",
            f"{place}.breaks_over",
            message("Breaks over all shades can only hold for all packs."),
            message('Use breaks_for = "all packs", or breaks_over = "each shade".'),
        )


def _too_fine(
    amounts: Sequence[tuple[str, Decimal]], place: str, currency: str
) -> Iterator[Finding]:
    unit = cent(currency)
    for key, amount in amounts:
        if amount % unit:
            yield error(
                "too-precise",
                f"{place}.{key}",
                message(
                    "{amount} is more precise than {currency} can be paid.",
                    amount=f"{amount:f}",
                    currency=currency,
                ),
                message("Round it to a multiple of {unit}.", unit=f"{unit:f}"),
            )


def _twice(row: SupplierRow, place: str) -> Iterator[Finding]:
    seen: dict[tuple[str, str, int], int] = {}
    for at, offer in enumerate(row.offers):
        key = (same_name(offer.item), same_name(offer.shade or ""), offer.pack)
        if key in seen:
            yield caution(
                "repeated-offer",
                f"{place}.offers[{at}]",
                message(
                    "{name} offers {item} in packs of {pack} twice.",
                    name=row.name,
                    item=_name(offer),
                    pack=offer.pack,
                ),
                message("Both are used; take one out if it is out of date."),
            )
        seen[key] = at


def _name(row: OfferRow) -> str:
    return row.item if row.shade is None else f"{row.item}, {row.shade}"


# ---- as buying takes them ---------------------------------------------------------------------


def suppliers_of(file: SuppliersFile) -> tuple[Supplier, ...]:
    """The suppliers of a file that was read without errors."""
    return tuple(supplier_of(row) for row in file.suppliers)


def supplier_of(row: SupplierRow) -> Supplier:
    """One supplier."""
    lead = row.lead_days
    usual, late = (lead, lead) if isinstance(lead, int) else (lead.usual, lead.late)
    steps = tuple(
        (step.start if step.start is not None else kilograms(step.from_weight or 0.0), step.price)
        for step in row.freight
    )
    return Supplier(
        name=row.name,
        offers=tuple(offer_of(offer) for offer in row.offers),
        usual_days=usual,
        late_days=late,
        delivers=frozenset(DAYS.index(day) for day in row.delivers),
        works=frozenset(DAYS.index(day) for day in row.works),
        holidays=row.holidays,
        closed=frozenset(row.closed),
        cutoff=None if row.cutoff is None else dt.time.fromisoformat(row.cutoff),
        minimum=row.minimum,
        freight=Freight(steps, any(step.from_weight is not None for step in row.freight)),
        rush_days=None if row.rush is None else row.rush.lead_days,
        rush_price=NOTHING if row.rush is None else row.rush.price,
    )


def offer_of(row: OfferRow) -> Offer:
    """One line of a price list."""
    return Offer(
        item=same_name(row.item),
        shade=None if row.shade is None else same_name(row.shade),
        pack=row.pack,
        price=row.price,
        breaks=tuple(Break(step.packs, step.price) for step in row.breaks),
        rule=BreakRule(row.breaks_for),
        over_shades=row.breaks_over == "all shades",
        available=row.available,
        good_days=good_days(row.item, row.good_days),
        weight_kg=kilograms(row.weight),
        code=row.code,
    )


def kilograms(mass: float) -> Decimal:
    """A mass to the gram, exact [kg]."""
    return Decimal(round(mass * 1000)) / 1000
