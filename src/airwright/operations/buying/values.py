"""What buying starts from: needs with their days, suppliers with their terms and offers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise
from typing import Final

from airwright.operations.goods import Goods, Lot

NOTHING: Final = Decimal(0)
WORKING_WEEK: Final = frozenset(range(5))
"""Monday to Friday, as `date.weekday` counts."""


@dataclass(frozen=True, slots=True, order=True)
class Need:
    """So many of one goods, there on or before a day; `job` says what for."""

    goods: Goods
    due: dt.date
    quantity: int
    job: str = ""


class BreakRule(StrEnum):
    """What a price break applies to."""

    ALL = "all packs"
    BEYOND = "packs beyond"


@dataclass(frozen=True, slots=True, order=True)
class Break:
    """From so many packs on, this is the price of one."""

    packs: int
    price: Decimal


@dataclass(frozen=True, slots=True)
class Offer:
    """A line of a price list.

    Attributes:
        item: what it is, as `same_name` writes it.
        shade: its shade; None: any shade at this price, each in packs of its own.
        pack: how many are in one.
        price: of one pack.
        breaks: lower prices from so many packs on, ascending.
        rule: whether a break lowers the price of all packs or of those from it on.
        over_shades: whether packs of all shades together count towards a break.
        available: packs the supplier has; None: as many as are asked for.
        good_days: days it keeps after it came; None: it does not age.
        weight_kg: of one pack [kg].
        code: its bar code or order number.
    """

    item: str
    shade: str | None
    pack: int
    price: Decimal
    breaks: tuple[Break, ...] = ()
    rule: BreakRule = BreakRule.ALL
    over_shades: bool = False
    available: int | None = None
    good_days: int | None = None
    weight_kg: Decimal = NOTHING
    code: str = ""

    def serves(self, goods: Goods) -> bool:
        """Whether these goods can be bought by it."""
        return self.item == goods.item and self.shade in (None, goods.shade)

    @property
    def tiers(self) -> tuple[Break, ...]:
        """All prices of a pack with the number of packs from which each holds."""
        return (Break(1, self.price), *self.breaks)

    @property
    def least_each(self) -> Decimal:
        """Least price of one piece, at the best break."""
        return min(tier.price for tier in self.tiers) / self.pack

    def key(self) -> tuple[str, str, int, str]:
        """By which offers are put in order, so that the order of a file does not matter."""
        terms = f"{self.price}|{self.breaks}|{self.rule}|{self.available}|{self.good_days}"
        return (self.item, self.shade or "", self.pack, terms)


@dataclass(frozen=True, slots=True)
class Freight:
    """Freight of one order: the price of the last step that its value or weight reaches.

    Attributes:
        steps: (value or weight [kg] from which, price), ascending, the first from 0; (): free.
        by_weight: whether steps count kilograms.
    """

    steps: tuple[tuple[Decimal, Decimal], ...] = ()
    by_weight: bool = False

    def price(self, value: Decimal, weight_kg: Decimal = NOTHING) -> Decimal:
        """Freight of an order of this value and weight."""
        measure = weight_kg if self.by_weight else value
        found = NOTHING
        for start, price in self.steps:
            if measure >= start:
                found = price
        return found

    @property
    def joins_cheaply(self) -> bool:
        """Whether one order never costs more than the same goods in two."""
        prices = [price for _, price in self.steps]
        falling = all(b <= a for a, b in pairwise(prices))
        return falling or max(prices) <= 2 * min(prices)


@dataclass(frozen=True, slots=True)
class Supplier:
    """A supplier's terms and price list.

    Attributes:
        usual_days, late_days: working days from the day of ordering to the parcel: at the usual
            pace, and the ones counted on, which nearly all parcels keep.
        delivers: weekdays on which parcels come.
        works: weekdays that count as working days.
        holidays: country, or country and region, whose public holidays are kept: "DE-BE".
        closed: further days that are none.
        cutoff: orders after this time count as the next day's; None: there is none.
        minimum: least value of the goods of one order.
        rush_days, rush_price: a quicker way and what it adds to an order's freight.
    """

    name: str
    offers: tuple[Offer, ...]
    usual_days: int
    late_days: int
    delivers: frozenset[int] = WORKING_WEEK
    works: frozenset[int] = WORKING_WEEK
    holidays: str = ""
    closed: frozenset[dt.date] = frozenset()
    cutoff: dt.time | None = None
    minimum: Decimal = NOTHING
    freight: Freight = field(default_factory=Freight)
    rush_days: int | None = None
    rush_price: Decimal = NOTHING

    @property
    def rushed(self) -> Supplier:
        """The same supplier by its quicker way."""
        assert self.rush_days is not None
        steps = self.freight.steps or ((NOTHING, NOTHING),)
        dearer = tuple((start, price + self.rush_price) for start, price in steps)
        return replace(
            self,
            usual_days=self.rush_days,
            late_days=self.rush_days,
            freight=replace(self.freight, steps=dearer),
            rush_days=None,
        )


class Wish(StrEnum):
    """What a decorator wishes beside a low price; each is met first, the price after it."""

    FEW_SUPPLIERS = "few-suppliers"
    NO_HALF_BAGS = "no-half-bags"
    SEASON = "season"


@dataclass(frozen=True, slots=True, order=True)
class Swap:
    """Leave to take goods in place of others, for one job or all ("")."""

    goods: Goods
    instead: Goods
    job: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """What is to be bought at the least cost.

    Attributes:
        needs: what must be there, and when.
        suppliers: who sells it; names differ.
        currency: ISO 4217 code of all amounts.
        today: the first day an order can go out.
        lots: the shelf.
        order_time: time of day now, for cut-offs; None: before them.
        worth: share of its price that what is left over counts for, 0 to 1.
        holding: share of its price that keeping goods for a year costs.
        wishes: see `Wish`.
        swaps: substitutes that may be taken.
    """

    needs: tuple[Need, ...]
    suppliers: tuple[Supplier, ...]
    currency: str
    today: dt.date
    lots: tuple[Lot, ...] = ()
    order_time: dt.time | None = None
    worth: Decimal = NOTHING
    holding: Decimal = NOTHING
    wishes: frozenset[Wish] = frozenset()
    swaps: tuple[Swap, ...] = ()

    def with_needs(self, more: Iterable[Need]) -> Question:
        """The same question with further needs."""
        return replace(self, needs=(*self.needs, *more))
