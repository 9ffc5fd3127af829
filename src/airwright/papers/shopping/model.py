"""What a shopping list says, as plain values."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from airwright.papers.common.parts import Masthead, Occasion, masthead, occasion
from airwright.plan.money import rounded
from airwright.plan.values import Need, Plan

BALLOON = "balloon"


@dataclass(frozen=True, slots=True)
class Bag:
    """Bags of one kind: how many of them, what is in one, and its price."""

    bags: int
    holds: int
    price: Decimal


@dataclass(frozen=True, slots=True)
class BalloonBuy:
    """Balloons of one size and shade.

    Attributes:
        used, spare: `used` stand in the decor, `spare` cover what bursts.
        each: least price of one, by the bag that is cheapest for its contents.
        price: what the bags cost, rounded once.
    """

    item: str
    size_in: float
    shade: str
    used: int
    spare: int
    bags: tuple[Bag, ...]
    each: Decimal
    price: Decimal

    @property
    def total(self) -> int:
        """Used and spare."""
        return self.used + self.spare

    @property
    def bought(self) -> int:
        """Balloons in the bags."""
        return sum(bag.bags * bag.holds for bag in self.bags)

    @property
    def left(self) -> int:
        """Balloons left over for the shelf."""
        return self.bought - self.total


@dataclass(frozen=True, slots=True)
class ItemBuy:
    """Hardware, ribbon, bands, strips, gas.

    Attributes:
        used, spare: in `unit` ("each" or "m").
        lasts: jobs one lasts; 1 for what is used up. What lasts is taken to be owned.
        each: price of one unit.
        price: of all of it when it has to be bought, rounded once; 0 for what is owned.
    """

    item: str
    use: str
    unit: str
    used: float
    spare: float
    lasts: int
    each: Decimal
    price: Decimal

    @property
    def total(self) -> float:
        """Used and spare."""
        return self.used + self.spare

    @property
    def owned(self) -> bool:
        """Whether it comes off the studio's own shelf."""
        return self.lasts > 1


@dataclass(frozen=True, slots=True)
class Shopping:
    """A whole shopping list; the prices are in `currency` and add up exactly."""

    masthead: Masthead
    occasion: Occasion
    made: dt.date
    currency: str
    pieces: tuple[str, ...]
    balloons: tuple[BalloonBuy, ...]
    items: tuple[ItemBuy, ...]

    @property
    def balloons_price(self) -> Decimal:
        """All bags."""
        return sum((row.price for row in self.balloons), Decimal(0))

    @property
    def items_price(self) -> Decimal:
        """Everything else that is used up."""
        return sum((row.price for row in self.items), Decimal(0))

    @property
    def price(self) -> Decimal:
        """The whole purchase."""
        return self.balloons_price + self.items_price


def shopping_of(plan: Plan, today: dt.date) -> Shopping:
    """Read a shopping list off what the plan's scope needs.

    Args:
        plan: the whole job, planned.
        today: the day the list is made.
    """
    currency = plan.job.job.currency
    return Shopping(
        masthead=masthead(plan),
        occasion=occasion(plan),
        made=today,
        currency=currency,
        pieces=tuple(
            piece.name if piece.count == 1 else f"{piece.count} × {piece.name}"
            for piece in plan.in_scope
        ),
        balloons=_balloons(plan.needs, currency),
        items=tuple(_item(need, currency) for need in plan.needs if need.kind != BALLOON),
    )


def _balloons(needs: Sequence[Need], currency: str) -> tuple[BalloonBuy, ...]:
    return tuple(
        BalloonBuy(
            item=need.item,
            size_in=need.size_in or 0.0,
            shade=need.shade or "",
            used=int(need.used),
            spare=int(need.spare),
            bags=tuple(Bag(pack.bags, pack.count, pack.price) for pack in need.packs),
            each=need.unit_cost,
            price=rounded(need.purchase, currency),
        )
        for need in needs
        if need.kind == BALLOON
    )


def _item(need: Need, currency: str) -> ItemBuy:
    owned = need.reuses > 1
    quantity = need.total if need.unit == "m" else math.ceil(need.total - 1e-9)
    price = Decimal(0) if owned else need.unit_cost * Decimal(str(round(quantity, 6)))
    return ItemBuy(
        item=need.item,
        use=need.kind,
        unit=need.unit,
        used=need.used,
        spare=need.spare,
        lasts=need.reuses,
        each=need.unit_cost,
        price=rounded(price, currency),
    )
