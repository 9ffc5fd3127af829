"""Buying by habit: each job alone, the smallest packs that fit. What the saving is counted from."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from airwright.operations.buying.buying import packs_price
from airwright.operations.buying.calendar import latest_order
from airwright.operations.buying.coverage import give
from airwright.operations.buying.values import NOTHING, Need, Offer, Question, Supplier
from airwright.operations.goods import Goods


@dataclass(frozen=True, slots=True)
class HabitLine:
    """Packs bought for one need of one job."""

    job: str
    supplier: str
    goods: Goods
    pack: int
    packs: int
    price: Decimal


@dataclass(frozen=True, slots=True)
class Habit:
    """What buying by habit comes to.

    Attributes:
        lines: what is bought.
        goods, freight: what it costs; a small order is paid up to the supplier's minimum.
        parcels: orders placed.
        units: pieces bought.
        short: pieces nobody can bring in time.
    """

    lines: tuple[HabitLine, ...]
    goods: Decimal
    freight: Decimal
    parcels: int
    units: int
    short: int

    @property
    def cost(self) -> Decimal:
        """Goods and freight to pay."""
        return self.goods + self.freight


def by_habit(question: Question) -> Habit:
    """Each job for itself: the shelf first, then the smallest packs that hold enough.

    A job is ordered from the one supplier that has all of it for least, or each line where it is
    cheapest, whichever costs less. What is left over is not thought of for the next job.
    """
    lacking, short = _after_the_shelf(question)
    lines: list[HabitLine] = []
    goods = freight = NOTHING
    parcels = 0
    for (job, due), needs in sorted(lacking.items()):
        offers = [_in_time(question, supplier, due) for supplier in question.suppliers]
        sellers = [seller for seller in offers if seller is not None]
        tries = [_basket(job, needs, [seller]) for seller in sellers]
        tries.append(_basket(job, needs, sellers))
        best = min(tries, key=lambda one: (one.missing, one.cost))
        lines += best.lines
        goods, freight = goods + best.goods, freight + best.freight
        parcels += best.parcels
        short += best.missing
    units = sum(line.pack * line.packs for line in lines)
    return Habit(tuple(lines), goods, freight, parcels, units, short)


def _after_the_shelf(
    question: Question,
) -> tuple[dict[tuple[str, dt.date], list[Need]], int]:
    """What the shelf lacks, job by job; days that have passed stay short."""
    by_goods: dict[Goods, list[Need]] = defaultdict(list)
    for need in question.needs:
        by_goods[need.goods].append(need)
    lacking: dict[tuple[str, dt.date], list[Need]] = defaultdict(list)
    for goods, needs in sorted(by_goods.items()):
        lots = [
            lot
            for lot in question.lots
            if lot.goods == goods and (lot.good_until is None or lot.good_until >= question.today)
        ]
        for need, count in give(needs, lots).short:
            lacking[need.job, need.due].append(Need(goods, need.due, count, need.job))
    return lacking, 0


def _in_time(question: Question, supplier: Supplier, due: dt.date) -> Supplier | None:
    found = latest_order(supplier, due, question.today, question.order_time)
    return supplier if found is not None else None


@dataclass(frozen=True, slots=True)
class _Basket:
    lines: tuple[HabitLine, ...]
    goods: Decimal
    freight: Decimal
    parcels: int
    missing: int

    @property
    def cost(self) -> Decimal:
        return self.goods + self.freight


def _basket(job: str, needs: list[Need], sellers: list[Supplier]) -> _Basket:
    """One job's shopping at these suppliers, each line where it is cheapest."""
    lines: list[HabitLine] = []
    missing = 0
    value: dict[str, Decimal] = defaultdict(Decimal)
    weight: dict[str, Decimal] = defaultdict(Decimal)
    for need in needs:
        choices = [
            (price, seller.name, offer, packs)
            for seller in sellers
            if (fit := _smallest_fit(seller, need)) is not None
            for price, offer, packs in [fit]
        ]
        if not choices:
            missing += need.quantity
            continue
        price, name, offer, packs = min(choices, key=lambda one: (one[0], one[1]))
        lines.append(HabitLine(job, name, need.goods, offer.pack, packs, price))
        value[name] += price
        weight[name] += offer.weight_kg * packs
    goods = freight = NOTHING
    for seller in sellers:
        if seller.name in value:
            paid = max(value[seller.name], seller.minimum)
            goods += paid
            freight += seller.freight.price(paid, weight[seller.name])
    return _Basket(tuple(lines), goods, freight, len(value), missing)


def _smallest_fit(seller: Supplier, need: Need) -> tuple[Decimal, Offer, int] | None:
    """The smallest pack that holds enough, else so many of the largest."""
    offers = [offer for offer in seller.offers if offer.serves(need.goods)]
    offers = [offer for offer in offers if offer.available is None or offer.available > 0]
    if not offers:
        return None
    fitting = [offer for offer in offers if offer.pack >= need.quantity]
    if fitting:
        chosen = min(fitting, key=lambda one: (one.pack, one.price))
    else:
        chosen = max(offers, key=lambda one: (one.pack, -one.price))
    packs = -(-need.quantity // chosen.pack)
    if chosen.available is not None and packs > chosen.available:
        return None
    return packs_price(chosen, packs, packs)[0], chosen, packs
