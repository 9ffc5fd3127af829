"""What a shopping list says, as plain values."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from airwright.catalog import Catalog
from airwright.money.amount import rounded
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import OnShelf
from airwright.papers.common.mark import PaperMark, paper_mark
from airwright.papers.common.parts import Masthead, Occasion, masthead, occasion
from airwright.plan.packs import cheapest
from airwright.plan.rates import priced
from airwright.plan.values import Need, Plan
from airwright.units import System

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
        shelf: of both, what the studio's own shelf has for this job.
        bags: for the rest.
        each: least price of one, by the bag that is cheapest for its contents.
        price: what the bags cost, rounded once.
    """

    item: str
    size_in: float
    shade: str
    used: int
    spare: int
    shelf: int
    bags: tuple[Bag, ...]
    each: Decimal
    price: Decimal

    @property
    def total(self) -> int:
        """Used and spare."""
        return self.used + self.spare

    @property
    def buy(self) -> int:
        """What the shelf lacks."""
        return self.total - self.shelf

    @property
    def bought(self) -> int:
        """Balloons in the bags."""
        return sum(bag.bags * bag.holds for bag in self.bags)

    @property
    def left(self) -> int:
        """Balloons left over for the shelf."""
        return self.bought - self.buy


@dataclass(frozen=True, slots=True)
class ItemBuy:
    """Hardware, ribbon, bands, strips, gas.

    Attributes:
        shade: of what has one, a sleeve's strip; else empty.
        used, spare: in `unit` ("each" or "m").
        lasts: jobs one lasts; 1 for what is used up.
        shelf: how much of it comes off the studio's own shelf: what was counted there; of what
            lasts and was never counted, all.
        each: price of one unit.
        price: of what has to be bought, rounded once.
    """

    item: str
    shade: str
    use: str
    unit: str
    used: float
    spare: float
    lasts: int
    shelf: float
    each: Decimal
    price: Decimal

    @property
    def total(self) -> float:
        """Used and spare."""
        return self.used + self.spare

    @property
    def buy(self) -> float:
        """What the shelf lacks; whole ones of what is sold each."""
        return lacking(self.total, self.shelf, self.unit)


@dataclass(frozen=True, slots=True)
class Shopping:
    """A whole shopping list; the prices are in `currency` and add up exactly.

    `chance_short` is the chance that any balloon runs short in spite of the spares [-]; `mark` the
    number and day all papers of this state of the job bear; `system` the units it is printed in.
    """

    masthead: Masthead
    occasion: Occasion
    made: dt.date
    currency: str
    pieces: tuple[str, ...]
    balloons: tuple[BalloonBuy, ...]
    items: tuple[ItemBuy, ...]
    chance_short: float
    mark: PaperMark
    system: System

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


def shopping_of(
    plan: Plan, today: dt.date, shelf: Mapping[Goods, OnShelf] | None = None
) -> Shopping:
    """Read a shopping list off what the plan's scope needs.

    Args:
        plan: the whole job, planned.
        today: the day the list is made.
        shelf: what the studio's shelf has for this job.
    """
    currency, held = plan.job.job.currency, shelf or {}
    return Shopping(
        masthead=masthead(plan),
        occasion=occasion(plan),
        made=today,
        currency=currency,
        pieces=tuple(
            piece.name if piece.count == 1 else f"{piece.count} × {piece.name}"
            for piece in plan.in_scope
        ),
        balloons=_balloons(plan, currency, held),
        items=tuple(
            _item(need, plan.context.catalog, currency, held)
            for need in plan.needs
            if need.kind != BALLOON
        ),
        chance_short=plan.chance_short,
        mark=paper_mark(plan, today),
        system=plan.studio.studio.units,
    )


def _balloons(plan: Plan, currency: str, held: Mapping[Goods, OnShelf]) -> tuple[BalloonBuy, ...]:
    catalog, shop, _ = priced(plan.context.catalog, plan.studio, currency)
    found = []
    for need in plan.needs:
        if need.kind != BALLOON:
            continue
        total = int(need.used) + int(need.spare)
        shelf = min(total, _held(held, need))
        packs = need.packs
        if shelf:
            row = catalog.balloon_listed(need.item)
            missing = total - shelf
            packs = cheapest(row.packs, missing, shop.pricing.catalog_rate) if missing else ()
        found.append(
            BalloonBuy(
                item=need.item,
                size_in=need.size_in or 0.0,
                shade=need.shade or "",
                used=int(need.used),
                spare=int(need.spare),
                shelf=shelf,
                bags=tuple(Bag(pack.bags, pack.count, pack.price) for pack in packs),
                each=need.unit_cost,
                price=rounded(sum((p.price * p.bags for p in packs), Decimal(0)), currency),
            )
        )
    return tuple(found)


def _held(held: Mapping[Goods, OnShelf], need: Need) -> int:
    found = held.get(Goods.named(need.item, need.shade))
    return 0 if found is None else found.quantity


def _item(need: Need, catalog: Catalog, currency: str, held: Mapping[Goods, OnShelf]) -> ItemBuy:
    row = catalog.hardware.get(need.item)
    counted = row.owned if row is not None else None
    if Goods.named(need.item, need.shade) in held:
        counted = _held(held, need)
    if counted is None:
        shelf = need.total if need.reuses > 1 else 0.0
    else:
        shelf = min(float(counted), need.total)
    buy = lacking(need.total, shelf, need.unit)
    each, price = need.unit_cost, need.unit_cost * Decimal(str(round(buy, 6)))
    if need.packs:  # a cylinder is paid for full, whatever the job is charged
        each, price = need.packs[0].price, need.purchase
    elif need.kind == "gas":  # paid for with its cylinders
        each = price = Decimal(0)
    return ItemBuy(
        item=need.item,
        shade=need.shade or "",
        use=need.kind,
        unit=need.unit,
        used=need.used,
        spare=need.spare,
        lasts=need.reuses,
        shelf=shelf,
        each=each,
        price=rounded(price, currency),
    )


def lacking(total: float, shelf: float, unit: str) -> float:
    """What is to be bought, in `unit`; whole ones of what is sold each."""
    missing = max(total - shelf, 0.0)
    return float(math.ceil(missing - 1e-9)) if unit == "each" else missing
