"""What would make possible what cannot be in time, and what each way costs."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from airwright.language import Text, message
from airwright.language.figures import said_money
from airwright.money.amount import rounded
from airwright.operations.buying.answer import Answer, Short
from airwright.operations.buying.buying import buy
from airwright.operations.buying.calendar import arrival, is_late
from airwright.operations.buying.substitutes import near_goods
from airwright.operations.buying.values import Question, Swap
from airwright.operations.goods import Goods

TRY_S: Final = 4.0
"""Time given to each way [s]."""

ALL_S: Final = 20.0
"""Time given to all of them together [s]."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way to have enough in time.

    Attributes:
        kind: "rush", "usual lead time", "substitute", "later day" or "fewer".
        what: what to do.
        more: what it adds to the cost; negative: saved.
        short: how many are still short with it.
    """

    kind: str
    what: Text
    more: Decimal
    short: int


def remedies(
    question: Question, answer: Answer, colours: Mapping[Goods, str], limit: float
) -> dict[Short, tuple[Remedy, ...]]:
    """For everything that stays short, the ways out, cheapest first, doing without last.

    Args:
        question, answer: as asked and answered.
        colours: "#rrggbb" of goods whose colour is known.
        limit: how far a substitute's colour may lie off (CIEDE2000).
    """
    end = time.monotonic() + ALL_S
    found = {}
    for short in answer.short:
        ways = []
        for kind, what, changed in _ways(question, short, colours, limit):
            if time.monotonic() > end:
                break
            other = buy(changed, TRY_S)
            still = _missing(other, short.need.goods)
            if still < _missing(answer, short.need.goods):
                ways.append(Remedy(kind, what, other.cost - answer.cost, still))
        ways.append(_fewer(short, question.currency))
        found[short] = tuple(
            sorted(ways, key=lambda way: (way.kind == "fewer", way.short, way.more, way.kind))
        )
    return found


def _missing(answer: Answer, goods: Goods) -> int:
    return sum(short.quantity for short in answer.short if short.need.goods == goods)


def _ways(
    question: Question, short: Short, colours: Mapping[Goods, str], limit: float
) -> Iterator[tuple[str, Text, Question]]:
    goods = short.need.goods
    yield from _rush(question, goods)
    yield from _usual(question, goods)
    for instead, delta in near_goods(question, goods, colours, limit)[:3]:
        swap = Swap(goods, instead)
        what = message(
            "Take {instead} in its place (color difference {delta}).",
            instead=instead.shown_shade or str(instead),
            delta=f"{delta:.1f}",
        )
        yield "substitute", what, replace(question, swaps=(*question.swaps, swap))
    yield from _later(question, short)


def _rush(question: Question, goods: Goods) -> Iterator[tuple[str, Text, Question]]:
    for supplier in question.suppliers:
        if supplier.rush_days is None or not any(o.serves(goods) for o in supplier.offers):
            continue
        quick = replace(supplier.rushed, name=f"{supplier.name} (rush)")
        what = message(
            "Order from {name} by its quicker way, for {price} more freight.",
            name=supplier.name,
            price=said_money(supplier.rush_price, question.currency),
        )
        yield "rush", what, replace(question, suppliers=(*question.suppliers, quick))


def _usual(question: Question, goods: Goods) -> Iterator[tuple[str, Text, Question]]:
    for supplier in question.suppliers:
        if supplier.usual_days < supplier.late_days and any(
            offer.serves(goods) for offer in supplier.offers
        ):
            hopeful = replace(supplier, late_days=supplier.usual_days)
            others = [one for one in question.suppliers if one is not supplier]
            what = message(
                "Count on the usual {days} working days of {name}; a late parcel is then too late.",
                days=supplier.usual_days,
                name=supplier.name,
            )
            yield "usual lead time", what, replace(question, suppliers=(*others, hopeful))


def _later(question: Question, short: Short) -> Iterator[tuple[str, Text, Question]]:
    """The first day on which a parcel with these goods could be there."""
    goods = short.need.goods
    days: list[dt.date] = []
    for supplier in question.suppliers:
        if any(offer.serves(goods) and offer.available != 0 for offer in supplier.offers):
            late = is_late(supplier, question.order_time)
            day = arrival(supplier, question.today, late=late)
            days += [] if day is None else [day]
    if not days or min(days) <= short.need.due:
        return
    first = min(days)
    needs = [
        replace(need, due=first) if need.goods == goods and need.due < first else need
        for need in question.needs
    ]
    what = message("Have it needed on {day} or later.", day=first.isoformat())
    yield "later day", what, replace(question, needs=tuple(needs))


def _fewer(short: Short, currency: str) -> Remedy:
    if short.quantity == short.need.quantity:
        return Remedy("fewer", message("Do without it."), rounded(Decimal(0), currency), 0)
    what = message(
        "Make the pieces smaller: {count} fewer of {need} ({share} %).",
        count=short.quantity,
        need=short.need.quantity,
        share=f"{100 * short.quantity / short.need.quantity:.0f}",
    )
    return Remedy("fewer", what, rounded(Decimal(0), currency), 0)
