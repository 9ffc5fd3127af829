"""The buying programme: variables, rows and costs of a question; no solver in here."""

from __future__ import annotations

from collections import defaultdict

from airwright.operations.buying.goods_rows import goods_rows, swap_flags
from airwright.operations.buying.order_rows import order_rows
from airwright.operations.buying.shape import Built, Choice, Shape
from airwright.operations.buying.values import Offer
from airwright.operations.goods import Goods


def build(shape: Shape) -> Built:
    """Variables, rows and costs of a question."""
    built = Built()
    for delivery in shape.deliveries:
        order_rows(built, shape, delivery)
    _what_suppliers_have(built)
    swap_flags(built, shape)
    by_goods: dict[Goods, list[Choice]] = defaultdict(list)
    for choice in built.choices:
        by_goods[choice.goods].append(choice)
    for goods in shape.goods:
        goods_rows(built, shape, goods, by_goods[goods])
    return built


def _what_suppliers_have(built: Built) -> None:
    """No more packs than a supplier has, over all orders."""
    packs: dict[tuple[str, Offer], dict[int, float]] = defaultdict(dict)
    for choice in built.choices:
        if choice.offer.available is not None:
            packs[choice.delivery.supplier.name, choice.offer][choice.packs] = 1.0
    for (_, offer), counts in packs.items():
        built.program.row(counts, at_most=float(offer.available or 0))
