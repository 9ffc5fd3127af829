"""A question put in order, and the programme that is built from it."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from airwright.operations.buying.deliveries import Delivery, deliveries_of
from airwright.operations.buying.program import Program
from airwright.operations.buying.values import (
    Need,
    Offer,
    Question,
    Wish,
)
from airwright.operations.goods import Goods, Lot


@dataclass(frozen=True, slots=True)
class Choice:
    """How many packs of an offer come for goods with a delivery.

    `packs` and `used` are variables: the count, and whether the delivery is ordered at all.
    """

    delivery: Delivery
    offer: Offer
    goods: Goods
    packs: int
    used: int


@dataclass(slots=True)
class Built:
    """The programme, and what its variables mean.

    Attributes:
        program: variables and rows.
        choices: packs, with the variable that counts them.
        prices: what the packs of a choice cost, by its variable; of shades that share a break,
            at the least.
        payable: cost of goods and freight.
        keeping: the part of `net` that is paid for keeping goods, up to `constant` too.
        net: payable with holding, less the worth of what is left over (up to `constant`).
        constant: what `net` lacks.
        floor: all goods in their cheapest packs; no way pays less.
        missing: what stays short of a goods on a day.
        swapped: whether a need is met by other goods.
        half: whether a goods ends in a half bag.
        ordered: whether each order of a supplier is placed, by the supplier's name.
    """

    program: Program = field(default_factory=Program)
    choices: list[Choice] = field(default_factory=list)
    prices: dict[int, dict[int, float]] = field(default_factory=dict)
    payable: dict[int, float] = field(default_factory=lambda: defaultdict(float))
    net: dict[int, float] = field(default_factory=lambda: defaultdict(float))
    keeping: dict[int, float] = field(default_factory=lambda: defaultdict(float))
    constant: float = 0.0
    floor: float = 0.0
    missing: dict[tuple[Goods, dt.date], int] = field(default_factory=dict)
    swapped: dict[tuple[Need, Goods], int] = field(default_factory=dict)
    half: list[int] = field(default_factory=list)
    ordered: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))

    def keep(self, variable: int, price: float) -> None:
        """Let a variable cost what keeping goods costs."""
        self.keeping[variable] += price
        self.net[variable] += price

    def pay(self, variable: int, price: float) -> None:
        """Let a variable cost money."""
        self.payable[variable] += price
        self.net[variable] += price


@dataclass(frozen=True, slots=True)
class Shape:
    """A question put in order, and what all rows refer to.

    Attributes:
        deliveries: the orders that may be placed.
        goods: all that may be used.
        last: the last day on which something is due.
        followed: goods whose pieces are followed one by one.
        least: least price of one, of goods that are sold.
        scarce: goods that may stay short.
    """

    question: Question
    deliveries: tuple[Delivery, ...]
    goods: tuple[Goods, ...]
    last: dt.date
    followed: frozenset[Goods]
    least: Mapping[Goods, Decimal]
    scarce: frozenset[Goods]

    @property
    def linked(self) -> bool:
        """Whether it matters beyond freight which orders are placed."""
        return bool(self.followed) or Wish.FEW_SUPPLIERS in self.question.wishes

    def needs(self, goods: Goods) -> list[Need]:
        """Needs of goods in their own name."""
        return [need for need in self.question.needs if need.goods == goods]

    def lots(self, goods: Goods) -> list[Lot]:
        """Lots of goods that can be of use, what ages first in front."""
        lots = [lot for lot in self.question.lots if lot.goods == goods and lot.quantity > 0]
        return sorted(
            (
                lot
                for lot in lots
                if lot.good_until is None or lot.good_until >= self.question.today
            ),
            key=lambda lot: (lot.good_until or dt.date.max, lot.since or dt.date.min, lot.quantity),
        )

    def most(self, goods: Goods) -> int:
        """The most that can be needed of goods, substitutes counted."""
        stands_in_for = {s.goods for s in self.question.swaps if s.instead == goods} | {goods}
        return sum(need.quantity for need in self.question.needs if need.goods in stands_in_for)


def shape_of(question: Question, scarce: frozenset[Goods] | None = None) -> Shape:
    """A question put in order; `scarce` names what may stay short, by default what must."""
    deliveries = deliveries_of(question)
    goods = sorted({need.goods for need in question.needs} | {s.instead for s in question.swaps})
    last = max((need.due for need in question.needs), default=question.today)
    least: dict[Goods, Decimal] = {}
    offered: dict[Goods, list[tuple[Delivery, Offer]]] = defaultdict(list)
    for delivery in deliveries:
        for offer in delivery.supplier.offers:
            for one in goods:
                if offer.serves(one):
                    offered[one].append((delivery, offer))
                    least[one] = min(least.get(one, offer.least_each), offer.least_each)
    ageing = {
        one
        for one in goods
        for delivery, offer in offered[one]
        if offer.good_days is not None
        and delivery.arrives_on + dt.timedelta(days=offer.good_days) < last
    }
    followed = frozenset(goods) if question.holding else frozenset(ageing)
    if scarce is None:
        scarce = _scarce(question, offered)
    return Shape(question, deliveries, tuple(goods), last, followed, least, scarce)


def _scarce(
    question: Question, offered: Mapping[Goods, list[tuple[Delivery, Offer]]]
) -> frozenset[Goods]:
    """Goods of which some need comes before any parcel, or whose supply is limited."""
    found = set()
    for need in question.needs:
        in_time = [
            offer
            for delivery, offer in offered.get(need.goods, ())
            if delivery.arrives_on <= need.due
        ]
        if not any(offer.available is None for offer in in_time):
            found.add(need.goods)
    return frozenset(found)
