"""Good orders to begin from: each goods as cheap as it can be, with some of the suppliers."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal

from airwright.operations.buying.cover import MOST_PIECES, cheapest_cover
from airwright.operations.buying.shape import Built, Choice, Shape
from airwright.operations.buying.values import NOTHING, Supplier
from airwright.operations.goods import Goods

PacksBy = dict[tuple[str, int, Goods], float]
"""Packs by supplier, what is in one, and goods."""


def first_guess(shape: Shape, built: Built) -> dict[int, float] | None:
    """Values to begin from: the best of buying with all suppliers, all but one, or one alone.

    Within such a circle each goods is bought in its cheapest packs, freight not thought of;
    freight and minimum orders then say which circle is best. None when no circle can do it.
    """
    by_goods: dict[Goods, list[Choice]] = defaultdict(list)
    for choice in built.choices:
        by_goods[choice.goods].append(choice)
    names = sorted(built.ordered)
    best: tuple[float, PacksBy] | None = None
    for circle in _circles(names):
        found = _within(shape, by_goods, circle)
        if found is not None and (best is None or found[0] < best[0]):
            best = found
    return None if best is None else on_first_days(built, best[1])


def _circles(names: list[str]) -> Iterator[frozenset[str]]:
    yield frozenset(names)
    if len(names) > 1:
        yield from (frozenset(names) - {name} for name in names)
    if len(names) > 2:
        yield from (frozenset({name}) for name in names)


def _within(
    shape: Shape, by_goods: dict[Goods, list[Choice]], circle: frozenset[str]
) -> tuple[float, PacksBy] | None:
    packs: PacksBy = defaultdict(float)
    value: dict[str, Decimal] = defaultdict(Decimal)
    weight: dict[str, Decimal] = defaultdict(Decimal)
    cost = 0.0
    for goods in shape.goods:
        needs = shape.needs(goods)
        needed = sum(need.quantity for need in needs)
        needed -= sum(lot.quantity for lot in shape.lots(goods))
        if needed <= 0:
            continue
        first = min(need.due for need in needs)
        choices = [
            choice
            for choice in by_goods[goods]
            if choice.delivery.supplier.name in circle and choice.delivery.arrives_on <= first
        ]
        if needed > MOST_PIECES:
            return None
        found = cheapest_cover([choice.offer for choice in choices], needed)
        if math.isinf(found.cost):
            return None
        cost += found.cost
        for choice, count in zip(choices, found.packs, strict=True):
            if count:
                name, offer = choice.delivery.supplier.name, choice.offer
                packs[name, offer.pack, goods] += count
                value[name] += offer.tiers[-1].price * count
                weight[name] += offer.weight_kg * count
    suppliers = {
        choice.delivery.supplier.name: choice.delivery.supplier
        for choices in by_goods.values()
        for choice in choices
    }
    return cost + float(_freight(suppliers, value, weight)), packs


def _freight(
    suppliers: dict[str, Supplier], value: dict[str, Decimal], weight: dict[str, Decimal]
) -> Decimal:
    """Freight of all orders, and what is lacking to their minimums."""
    total = NOTHING
    for name, goods in value.items():
        supplier = suppliers[name]
        total += supplier.freight.price(goods, weight[name])
        total += max(supplier.minimum - goods, NOTHING)
    return total


def on_first_days(built: Built, packs: PacksBy) -> dict[int, float]:
    """Each supplier's packs on the first day an order with it is thought of."""
    left = dict(packs)
    start: dict[int, float] = {}
    for choice in built.choices:
        key = (choice.delivery.supplier.name, choice.offer.pack, choice.goods)
        start[choice.packs] = min(left.pop(key, 0.0), built.program.upper[choice.packs])
    return start
