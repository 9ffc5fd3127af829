"""The answer to a question: orders, what they cost, how good they are at the least."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from airwright.operations.buying.values import NOTHING, Need
from airwright.operations.goods import Goods


@dataclass(frozen=True, slots=True, order=True)
class Line:
    """Packs of one offer in an order; `price` is of all of them, `each` of one, None when mixed."""

    goods: Goods
    pack: int
    packs: int
    price: Decimal
    each: Decimal | None

    @property
    def units(self) -> int:
        """What is in the packs."""
        return self.pack * self.packs


@dataclass(frozen=True, slots=True)
class Order:
    """What to order from a supplier on a day.

    Attributes:
        supplier: its name.
        order_on: the day to order.
        arrives_on: the day the parcel is counted on.
        usual_on: the day it comes at the supplier's usual pace.
        lines: what to order.
        freight: of the whole order.
    """

    supplier: str
    order_on: dt.date
    arrives_on: dt.date
    usual_on: dt.date
    lines: tuple[Line, ...]
    freight: Decimal

    @property
    def goods(self) -> Decimal:
        """Price of the goods."""
        return sum((line.price for line in self.lines), NOTHING)

    @property
    def cost(self) -> Decimal:
        """Goods and freight."""
        return self.goods + self.freight


@dataclass(frozen=True, slots=True)
class LeftOver:
    """What is on the shelf in the end, and what it counts for."""

    goods: Goods
    quantity: int
    worth: Decimal


@dataclass(frozen=True, slots=True)
class Short:
    """A need that cannot be met in time."""

    need: Need
    quantity: int


@dataclass(frozen=True, slots=True)
class Swapped:
    """A need that other goods meet."""

    need: Need
    instead: Goods


@dataclass(frozen=True, slots=True)
class Answer:
    """What to buy.

    Attributes:
        currency: of all amounts.
        orders: by day and supplier.
        cost: goods and freight to pay.
        holding: what keeping the goods costs.
        worth_left: what is left over of the orders counts for.
        bound: no other way has a lower `net`.
        proven: whether this is the least there is, to the cent.
        left_over, short, swapped: see there.
        seconds: how long it took.
    """

    currency: str
    orders: tuple[Order, ...]
    cost: Decimal
    holding: Decimal
    worth_left: Decimal
    bound: Decimal
    proven: bool
    left_over: tuple[LeftOver, ...]
    short: tuple[Short, ...]
    swapped: tuple[Swapped, ...]
    seconds: float

    @property
    def net(self) -> Decimal:
        """What was made as small as it can be: cost and holding, less the worth of what is left."""
        return self.cost + self.holding - self.worth_left

    @property
    def gap(self) -> float:
        """How far `net` may lie above the least, as a share of it."""
        if self.proven or not self.net:
            return 0.0
        return max(0.0, float((self.net - self.bound) / abs(self.net)))

    @property
    def units(self) -> int:
        """Balloons and whatever else is bought."""
        return sum(line.units for order in self.orders for line in order.lines)
