"""Near shades in place of dear, late or sold-out ones: how near they are, and what they save."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from typing import Final

from airwright.operations.buying.answer import Answer
from airwright.operations.buying.buying import buy
from airwright.operations.buying.values import Question, Swap
from airwright.operations.goods import Goods

NEAR: Final = 5.0
"""CIEDE2000 up to which two shades pass for one another in a cluster (our choice: side by side
a trained eye sees 1, and 5 is plain but near)."""

TRY_S: Final = 3.0
ALL_S: Final = 10.0
"""Time given to one proposal, and to all together [s]."""

MOST_FOR_ONE: Final = 2
"""Proposals tried for one shade, the nearest first."""


@dataclass(frozen=True, slots=True)
class Substitute:
    """A proposal: goods in place of others for all that need them; nothing is done without a yes.

    Attributes:
        goods, instead: what is needed, and what could stand in.
        colours: of both, "#rrggbb".
        delta_e: CIEDE2000 between them.
        quantity: how many are needed.
        jobs: what for.
        saving: how much less is paid; negative: more.
        short: how many fewer stay short.
    """

    goods: Goods
    instead: Goods
    colours: tuple[str, str]
    delta_e: float
    quantity: int
    jobs: tuple[str, ...]
    saving: Decimal
    short: int


@lru_cache(maxsize=100_000)
def difference(one: str, other: str) -> float:
    """CIEDE2000 of two sRGB colours "#rrggbb"."""
    from coloraide import Color

    return float(Color(one).delta_e(other, method="2000"))


def near_goods(
    question: Question, goods: Goods, colours: Mapping[Goods, str], limit: float
) -> list[tuple[Goods, float]]:
    """The same item in near shades that are sold or on the shelf, nearest first."""
    mine = colours.get(goods)
    if mine is None:
        return []
    offered = {(offer.item, offer.shade) for s in question.suppliers for offer in s.offers}
    kept = {lot.goods for lot in question.lots if lot.quantity > 0}
    found = []
    for other, colour in colours.items():
        if other.item != goods.item or other == goods:
            continue
        sold = (other.item, other.shade) in offered or (other.item, None) in offered
        if (sold or other in kept) and (delta := difference(mine, colour)) <= limit:
            found.append((other, delta))
    return sorted(found, key=lambda row: (row[1], row[0]))


def proposals(
    question: Question, answer: Answer, colours: Mapping[Goods, str], limit: float = NEAR
) -> tuple[Substitute, ...]:
    """Substitutes that save money or make something possible, best first.

    Args:
        question, answer: as asked and answered.
        colours: "#rrggbb" of goods whose colour is known.
        limit: how far a substitute's colour may lie off (CIEDE2000).
    """
    end = time.monotonic() + ALL_S
    short = sum(one.quantity for one in answer.short)
    bought = {line.goods for order in answer.orders for line in order.lines}
    bought |= {one.need.goods for one in answer.short}
    found = []
    for goods in sorted(bought):
        for instead, delta in near_goods(question, goods, colours, limit)[:MOST_FOR_ONE]:
            if time.monotonic() > end:
                break
            swap = Swap(goods, instead)
            other = buy(replace(question, swaps=(*question.swaps, swap)), TRY_S)
            fewer = short - sum(one.quantity for one in other.short)
            saving = answer.cost - other.cost
            if fewer > 0 or (fewer == 0 and saving > 0):
                found.append(_substitute(question, swap, colours, delta, saving, fewer))
    return tuple(sorted(found, key=lambda one: (-one.short, -one.saving, one.delta_e, one.goods)))


def _substitute(
    question: Question,
    swap: Swap,
    colours: Mapping[Goods, str],
    delta: float,
    saving: Decimal,
    fewer: int,
) -> Substitute:
    needs = [need for need in question.needs if need.goods == swap.goods]
    return Substitute(
        swap.goods,
        swap.instead,
        (colours[swap.goods], colours[swap.instead]),
        delta,
        sum(need.quantity for need in needs),
        tuple(sorted({need.job for need in needs if need.job})),
        saving,
        fewer,
    )
