"""Small random questions, and their least cost by trying everything."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from itertools import combinations, product

from hypothesis import strategies as st

from airwright.operations.buying.calendar import arrival
from airwright.operations.buying.values import (
    Break,
    BreakRule,
    Freight,
    Need,
    Offer,
    Question,
    Supplier,
)
from airwright.operations.goods import Goods, Lot

TODAY = dt.date(2027, 5, 3)
CORAL, TEAL = Goods("11in round balloon", "coral"), Goods("11in round balloon", "teal")


def day(number: int) -> dt.date:
    return TODAY + dt.timedelta(days=number)


@st.composite
def offers(draw: st.DrawFn, shade: str | None) -> Offer:
    price = Decimal(draw(st.integers(100, 900))) / 100
    breaks: tuple[Break, ...] = ()
    if draw(st.booleans()):
        lower = price * Decimal(draw(st.integers(70, 99))) / 100
        breaks = (Break(draw(st.integers(2, 4)), lower.quantize(Decimal("0.01"))),)
    return Offer(
        item=CORAL.item,
        shade=shade,
        pack=draw(st.sampled_from([2, 3, 5])),
        price=price,
        breaks=breaks,
        rule=draw(st.sampled_from(BreakRule)),
        available=draw(st.sampled_from([None, None, None, 1, 3])),
    )


@st.composite
def suppliers(draw: st.DrawFn, name: str) -> Supplier:
    steps: tuple[tuple[Decimal, Decimal], ...] = ()
    if draw(st.booleans()):
        steps = ((Decimal(0), Decimal(draw(st.integers(0, 900))) / 100),)
        if draw(st.booleans()):
            steps += ((Decimal(draw(st.integers(5, 15))), Decimal(0)),)
    lead = draw(st.integers(0, 4))
    return Supplier(
        name=name,
        offers=(draw(offers("coral")), draw(offers(draw(st.sampled_from([None, "teal"]))))),
        usual_days=lead,
        late_days=lead + draw(st.integers(0, 2)),
        minimum=Decimal(draw(st.sampled_from([0, 0, 4, 8]))),
        freight=Freight(steps),
    )


@st.composite
def questions(draw: st.DrawFn) -> Question:
    count = draw(st.integers(1, 2))
    return Question(
        needs=tuple(
            Need(draw(st.sampled_from([CORAL, TEAL])), day(draw(st.integers(0, 9))),
                 draw(st.integers(1, 7)))
            for _ in range(draw(st.integers(1, 3)))
        ),
        suppliers=tuple(draw(suppliers(f"Supplier {at}")) for at in range(count)),
        currency="EUR",
        today=TODAY,
        lots=tuple(
            Lot(draw(st.sampled_from([CORAL, TEAL])), draw(st.integers(1, 4)), None,
                draw(st.sampled_from([None, day(3), day(7)])))
            for _ in range(draw(st.integers(0, 2)))
        ),
    )  # fmt: skip


@dataclass(frozen=True)
class Basket:
    """One order tried: what it costs and brings."""

    cost: Decimal
    arrives: dt.date
    coral: int
    teal: int


def pack_price(offer: Offer, packs: int, counted: int) -> Decimal:
    """Price of packs, pack by pack."""
    if offer.rule is BreakRule.ALL:
        each = offer.price
        for step in offer.breaks:
            each = step.price if counted >= step.packs else each
        return packs * each
    total = Decimal(0)
    for number in range(1, packs + 1):
        each = offer.price
        for step in offer.breaks:
            each = step.price if number >= step.packs else each
        total += each
    return total


def baskets(
    supplier: Supplier, order_on: dt.date, most: int, wanted: set[Goods]
) -> Iterator[Basket]:
    """Every order of wanted goods that may go out on a day, up to so many packs a line."""
    arrives = arrival(supplier, order_on)
    assert arrives is not None
    lines = [(offer, goods) for offer in supplier.offers for goods in wanted
             if offer.serves(goods)]  # fmt: skip
    for counts in product(range(most + 1), repeat=len(lines)):
        if not any(counts):
            continue
        together: dict[Offer, int] = {}
        for (offer, _), count in zip(lines, counts, strict=True):
            together[offer] = together.get(offer, 0) + count
        if any(offer.available is not None and count > offer.available
               for offer, count in together.items()):  # fmt: skip
            continue
        value = sum(
            (pack_price(offer, count, count)
             for (offer, _), count in zip(lines, counts, strict=True)), Decimal(0)
        )  # fmt: skip
        if value < supplier.minimum:
            continue
        freight = Decimal(0)
        for start, price in supplier.freight.steps:
            freight = price if value >= start else freight
        brought = {goods: sum(count * offer.pack for (offer, of), count
                              in zip(lines, counts, strict=True) if of == goods)
                   for goods in (CORAL, TEAL)}  # fmt: skip
        yield Basket(value + freight, arrives, brought[CORAL], brought[TEAL])


def lacking(question: Question, goods: Goods, parcels: list[tuple[dt.date, int]]) -> int:
    """How many stay short at the least, by the largest matching of single pieces to needs."""
    pieces = [
        (lot.since or TODAY, lot.good_until or dt.date.max)
        for lot in question.lots
        if lot.goods == goods
        for _ in range(lot.quantity)
    ]
    pieces += [(arrives, dt.date.max) for arrives, count in parcels for _ in range(count)]
    wants = [need.due for need in question.needs if need.goods == goods
             for _ in range(need.quantity)]  # fmt: skip
    taken: dict[int, int] = {}

    def place(want: int, seen: set[int]) -> bool:
        for at, (start, end) in enumerate(pieces):
            if at in seen or not start <= wants[want] <= end:
                continue
            seen.add(at)
            if at not in taken or place(taken[at], seen):
                taken[at] = want
                return True
        return False

    return len(wants) - sum(place(want, set()) for want in range(len(wants)))


def _undominated(tried: list[Basket]) -> list[Basket]:
    """Orders that no other one beats in everything: earlier, more of each, for less."""

    def beats(one: Basket, other: Basket) -> bool:
        return one != other and (
            one.cost <= other.cost and one.arrives <= other.arrives
            and one.coral >= other.coral and one.teal >= other.teal
        )  # fmt: skip

    return [one for one in tried if not any(beats(other, one) for other in tried)]


def least(question: Question, most: int) -> tuple[int, Decimal]:
    """(how many stay short, least cost), from all orders on all days with all suppliers."""
    last = max(need.due for need in question.needs)
    wanted = {need.goods for need in question.needs}
    choices: list[list[Basket | None]] = []
    for supplier in question.suppliers:
        mine: dict[tuple[dt.date, int, int], Basket] = {}
        for order_on in (day(n) for n in range((last - TODAY).days + 1)):
            for basket in baskets(supplier, order_on, most, wanted):
                key = (basket.arrives, basket.coral, basket.teal)
                if basket.arrives <= last and (key not in mine or basket.cost < mine[key].cost):
                    mine[key] = basket
        choices.append([None, *_undominated(list(mine.values()))])

    @cache
    def short(goods: Goods, parcels: tuple[tuple[dt.date, int], ...]) -> int:
        return lacking(question, goods, list(parcels))

    best: tuple[int, Decimal] | None = None
    for picked in product(*choices):
        orders = [basket for basket in picked if basket is not None]
        cost = sum((basket.cost for basket in orders), Decimal(0))
        missing = sum(
            short(
                goods, tuple(sorted((basket.arrives, getattr(basket, name)) for basket in orders))
            )
            for goods, name in ((CORAL, "coral"), (TEAL, "teal"))
        )
        if best is None or (missing, cost) < best:
            best = (missing, cost)
    assert best is not None
    return best


def two_orders_never_help(question: Question, most: int) -> bool:
    """Whether, for one supplier, no pair of orders beats one of up to twice as many packs."""
    (supplier,) = question.suppliers
    last = max(need.due for need in question.needs)
    wanted = {need.goods for need in question.needs}
    alone = least(question, 2 * most)
    found = [
        basket
        for order_on in (day(n) for n in range((last - TODAY).days + 1))
        for basket in baskets(supplier, order_on, most, wanted)
        if basket.arrives <= last
    ]
    for one, other in combinations(found, 2):
        missing = sum(
            lacking(question, goods, [(one.arrives, getattr(one, name)),
                                      (other.arrives, getattr(other, name))])
            for goods, name in ((CORAL, "coral"), (TEAL, "teal"))
        )  # fmt: skip
        if (missing, one.cost + other.cost) < alone:
            return False
    return True
