"""The least cost for a question: builds the programme, has it solved, reckons the answer anew."""

from __future__ import annotations

import datetime as dt
import time
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Final

from airwright.money.amount import cent, rounded
from airwright.operations.buying.answer import Answer, LeftOver, Line, Order, Short, Swapped
from airwright.operations.buying.calendar import arrival, latest_order
from airwright.operations.buying.coverage import Given, give
from airwright.operations.buying.deliveries import (
    Delivery,
    dues_at,
    one_order_is_enough,
    wanted_goods,
)
from airwright.operations.buying.first_guess import PacksBy, first_guess, on_first_days
from airwright.operations.buying.goods_rows import DAYS_A_YEAR
from airwright.operations.buying.model import build
from airwright.operations.buying.program import CLOSE, NoSolution, OutOfTime, Solved
from airwright.operations.buying.shape import Built, Shape, shape_of
from airwright.operations.buying.values import (
    NOTHING,
    BreakRule,
    Need,
    Offer,
    Question,
    Supplier,
    Wish,
)
from airwright.operations.goods import Goods, Lot

PATIENCE_S: Final = 20.0
"""Time given to prove that nothing is cheaper [s]."""

SMALL_GAP: Final = 0.004
"""Gap up to which the simpler question counts as solved; less than half a cent."""

MANY: Final = 60
"""Choices above which it pays to look for a start first."""

EARLIER_DUE: Final = 1e-3
"""How much more a missing piece counts a due day earlier, when something must stay short."""


def buy(question: Question, seconds: float = PATIENCE_S) -> Answer:
    """What to order where and when, so that as little as possible is short, at the least cost.

    Args:
        question: needs, suppliers, shelf.
        seconds: time given; after it the best found so far is returned with its bound.

    Returns:
        The orders, reckoned anew from the packs in exact amounts; never the solver's own figures.
    """
    question = _in_order(question)
    if not question.needs:
        return _nothing(question.currency)
    started = time.perf_counter()
    best = _early(question, seconds)
    left = seconds - (time.perf_counter() - started)
    if best is None:
        best = _whole(question, seconds, None)
    elif not best.proven and left > seconds / 4:
        best = _better(best, question, left)
    return replace(best, seconds=time.perf_counter() - started)


def _better(best: Answer, question: Question, seconds: float) -> Answer:
    """The best of an early answer and the whole programme's; either bound holds for both."""
    try:
        other = _whole(question, seconds, best)
    except OutOfTime:
        return best
    bound = max(best.bound, other.bound)
    found = replace(min(best, other, key=lambda one: one.net), bound=bound)
    return replace(found, proven=found.net <= bound)


def _whole(question: Question, seconds: float, early: Answer | None) -> Answer:
    """The answer of the whole programme."""
    shape = shape_of(question)
    try:
        built, solved = _solve(shape, seconds, early)
    except NoSolution:  # limits and minimum orders together leave something short
        shape = shape_of(question, frozenset(need.goods for need in question.needs))
        built, solved = _solve(shape, seconds, early)
    return _Reading(shape, built, solved).answer()


def _early(question: Question, seconds: float) -> Answer | None:
    """Where keeping goods costs something: the best single order with each supplier.

    Leaving out what keeping costs, one early order a supplier is the best there is; so no other
    way pays less for goods and freight. None where that does not hold.
    """
    if not question.holding or question.worth or question.wishes:
        return None
    simpler = replace(question, holding=NOTHING)
    shape = shape_of(simpler)
    if shape.scarce or not _one_order_each(simpler):
        return None
    try:
        built, solved = _solve(shape, seconds / 2, None)
    except NoSolution:
        return None
    return _Reading(shape, built, solved, question).answer()


def _in_order(question: Question) -> Question:
    """Needs of one day added up, everything in an order of its own."""
    needs: dict[tuple[Goods, dt.date, str], int] = defaultdict(int)
    wanted = wanted_goods(question)
    swappable = {swap.goods for swap in question.swaps}
    for need in question.needs:
        job = need.job if need.goods in swappable else ""
        needs[need.goods, need.due, job] += need.quantity
    return replace(
        question,
        needs=tuple(
            Need(goods, due, quantity, job)
            for (goods, due, job), quantity in sorted(needs.items())
            if quantity > 0
        ),
        suppliers=tuple(
            replace(one, offers=_of_use(one, wanted))
            for one in sorted(question.suppliers, key=lambda one: one.name)
        ),
        swaps=tuple(sorted(set(question.swaps))),
    )


def _of_use(supplier: Supplier, wanted: frozenset[Goods]) -> tuple[Offer, ...]:
    """The lines of a price list that serve something wanted."""
    by_item: dict[str, set[str]] = defaultdict(set)
    for goods in wanted:
        by_item[goods.item].add(goods.shade)
    return tuple(
        offer
        for offer in supplier.offers
        if offer.item in by_item and (offer.shade is None or offer.shade in by_item[offer.item])
    )


def _nothing(currency: str) -> Answer:
    zero = rounded(NOTHING, currency)
    return Answer(currency, (), zero, zero, zero, zero, True, (), (), (), 0.0)


def _solve(shape: Shape, seconds: float, early: Answer | None) -> tuple[Built, Solved]:
    """First as little short as can be, then the wishes, then the cost."""
    built = build(shape)
    end = time.perf_counter() + seconds
    first = _before_cost(shape, built)
    for costs in first:
        found = built.program.minimise(costs, end - time.perf_counter())
        built.program.row(costs, at_most=found.objective + CLOSE)
    start, guess = None, None
    if early is not None:
        paid = {at: cost - built.keeping.get(at, 0.0) for at, cost in built.net.items()}
        built.program.row(paid, at_least=float(early.bound) - SMALL_GAP)
        start = on_first_days(built, _packs_of(early))
    elif not first and len(built.choices) > MANY:
        start = first_guess(shape, built)
        guess = None if start is None else _guessed(shape, built, start)
    exact = not shape.question.holding and not shape.question.worth
    gap = float(cent(shape.question.currency)) * (0.4 if exact else 0.01)
    left = end - time.perf_counter()
    must = early is None and guess is None
    try:
        found = built.program.minimise(built.net, left, gap, start, must=must)
    except OutOfTime:
        if guess is None:
            raise
        return built, guess
    if guess is not None and guess.objective < found.objective:
        found = replace(guess, bound=found.bound)
    return built, found


def _guessed(shape: Shape, built: Built, start: dict[int, float]) -> Solved | None:
    """The first guess as if it came from the solver, if it keeps to all terms."""
    values = tuple(start.get(at, 0.0) for at in range(len(built.program.lower)))
    solved = Solved(values, 0.0, 0.0, proven=False, seconds=0.0)
    answer = _Reading(shape, built, solved).answer()
    terms = {supplier.name: supplier for supplier in shape.question.suppliers}
    if answer.short or any(one.goods < terms[one.supplier].minimum for one in answer.orders):
        return None
    limited = [choice for choice in built.choices if choice.offer.available is not None]
    if any(start.get(choice.packs, 0.0) for choice in limited):
        return None
    return replace(solved, objective=float(answer.net) - built.constant)


def _packs_of(answer: Answer) -> PacksBy:
    found: PacksBy = defaultdict(float)
    for order in answer.orders:
        for line in order.lines:
            found[order.supplier, line.pack, line.goods] += line.packs
    return found


def _one_order_each(question: Question) -> bool:
    return all(
        one_order_is_enough(question, supplier, dues)
        for supplier in question.suppliers
        if (dues := dues_at(question, supplier))
    )


def _before_cost(shape: Shape, built: Built) -> list[dict[int, float]]:
    """What matters more than money."""
    found = []
    if built.missing:
        days = sorted({day for _, day in built.missing})
        found.append(
            {
                variable: 1 + EARLIER_DUE * (len(days) - days.index(day))
                for (_, day), variable in built.missing.items()
            }
        )
    if Wish.FEW_SUPPLIERS in shape.question.wishes:
        found.append(_suppliers(built))
    if built.half:
        found.append(dict.fromkeys(built.half, 1.0))
    return found


def _suppliers(built: Built) -> dict[int, float]:
    """A variable a supplier: whether anything is ordered from it."""
    costs = {}
    for name in sorted(built.ordered):
        asked = built.program.variable(1, whole=True)
        for used in built.ordered[name]:
            built.program.row({asked: 1, used: -1}, at_least=0)
        costs[asked] = 1.0
    return costs


@dataclass(frozen=True, slots=True)
class _Placed:
    """An order read off the solution: packs by offer and goods."""

    delivery: Delivery
    packs: tuple[tuple[Offer, Goods, int], ...]

    def lots(self, goods: Goods) -> list[Lot]:
        """What of goods comes with it."""
        return [
            Lot(
                goods,
                count * offer.pack,
                self.delivery.arrives_on,
                None
                if offer.good_days is None
                else self.delivery.arrives_on + dt.timedelta(days=offer.good_days),
            )
            for offer, of, count in self.packs
            if of == goods
        ]


class _Reading:
    """A solution, read off and reckoned anew."""

    def __init__(
        self, shape: Shape, built: Built, solved: Solved, question: Question | None = None
    ) -> None:
        self.shape, self.solved, self.built = shape, solved, built
        self.question = shape.question if question is None else question
        self.swapped = tuple(
            Swapped(need, instead)
            for (need, instead), flag in sorted(built.swapped.items())
            if solved.values[flag] > 0.5
        )
        away = {one.need for one in self.swapped}
        self.needs: dict[Goods, list[Need]] = defaultdict(list)
        for need in self.question.needs:
            if need not in away:
                self.needs[need.goods].append(need)
        for one in self.swapped:
            self.needs[one.instead].append(one.need)

    def answer(self) -> Answer:
        """The answer to the question, which may ask for more than the programme did."""
        placed = self._latest(self._placed())
        orders = tuple(sorted(map(_order_of, placed), key=lambda one: (one.order_on, one.supplier)))
        cost = sum((order.cost for order in orders), rounded(NOTHING, self.question.currency))
        given = {goods: self._given(goods, placed) for goods in self.shape.goods}
        holding, worth_left, left_over = self._afterwards(given, placed)
        bound, proven = self._bound(cost + holding - worth_left)
        return Answer(
            self.question.currency,
            orders,
            cost,
            holding,
            worth_left,
            bound,
            proven,
            left_over,
            tuple(Short(*row) for goods in self.shape.goods for row in given[goods][0].short),
            self.swapped,
            self.solved.seconds,
        )

    def _placed(self) -> list[_Placed]:
        found: dict[int, tuple[Delivery, list[tuple[Offer, Goods, int]]]] = {}
        for choice in self.built.choices:
            count = round(self.solved.values[choice.packs])
            if count:
                row = found.setdefault(choice.used, (choice.delivery, []))
                row[1].append((choice.offer, choice.goods, count))
        return [_Placed(delivery, tuple(packs)) for delivery, packs in found.values()]

    def _sources(self, goods: Goods, placed: Sequence[_Placed]) -> list[Lot]:
        return [*self.shape.lots(goods), *(lot for one in placed for lot in one.lots(goods))]

    def _given(self, goods: Goods, placed: Sequence[_Placed]) -> tuple[Given, list[Lot]]:
        sources = self._sources(goods, placed)
        return give(self.needs[goods], sources), sources

    def _latest(self, placed: list[_Placed]) -> list[_Placed]:
        """Orders put off as long as nothing comes too late by it: fresher, and paid later."""
        asked = self.shape.question
        if asked.holding:
            return placed
        for at, one in enumerate(placed):
            supplier = one.delivery.supplier
            dues = dues_at(asked, supplier)
            if not one_order_is_enough(asked, supplier, dues):
                continue
            for due in reversed(dues):
                days = latest_order(supplier, due, self.question.today, self.question.order_time)
                if days is None or days[1] < one.delivery.arrives_on:
                    break
                later = replace(one, delivery=Delivery(supplier, *days))
                moved = [*placed[:at], later, *placed[at + 1 :]]
                if all(
                    self._given(goods, moved)[0].missing <= self._given(goods, placed)[0].missing
                    for goods in {goods for _, goods, _ in one.packs}
                ):
                    placed = moved
                    break
        return placed

    def _afterwards(
        self, given: Mapping[Goods, tuple[Given, list[Lot]]], placed: Sequence[_Placed]
    ) -> tuple[Decimal, Decimal, tuple[LeftOver, ...]]:
        """Holding, worth of what is left of the orders, and all that is left."""
        holding = worth_left = NOTHING
        rows = []
        for goods, (dealt, sources) in given.items():
            least = self.shape.least.get(goods, NOTHING)
            daily = self.question.holding * least / DAYS_A_YEAR
            days = sum(
                lot.quantity
                * (
                    self.shape.last - max(lot.since or self.question.today, self.question.today)
                ).days
                for lot in sources
            ) - sum(count * (self.shape.last - need.due).days for need, _, count in dealt.taken)
            holding += daily * days
            left = sum(
                count
                for lot, count in zip(sources, dealt.left, strict=True)
                if lot.usable(self.shape.last)
            )
            own = len(self.shape.lots(goods))
            bought = sum(
                count
                for lot, count in zip(sources[own:], dealt.left[own:], strict=True)
                if lot.usable(self.shape.last)
            )
            each = self.question.worth * least
            worth_left += each * bought
            if left:
                currency = self.question.currency
                rows.append(LeftOver(goods, left, rounded(each * left, currency)))
        currency = self.question.currency
        return rounded(holding, currency), rounded(worth_left, currency), tuple(rows)

    def _days_kept(self, dealt: Given, sources: Sequence[Lot]) -> int:
        """Pieces times days on the shelf, from today to the last day."""
        today, last = self.question.today, self.shape.last
        whole = sum(lot.quantity * (last - max(lot.since or today, today)).days for lot in sources)
        return whole - sum(count * (last - need.due).days for need, _, count in dealt.taken)

    def _bound(self, net: Decimal) -> tuple[Decimal, bool]:
        """What nothing can go below, and whether the answer is there already, to the cent."""
        unit = cent(self.question.currency)
        # Nothing is worth more than it costs, so the least can never lie below zero.
        floor = 0.0 if self.question.worth else self.built.floor
        raw = Decimal(repr(max(self.solved.bound + self.built.constant, floor)))
        exact = not self.question.holding and not self.question.worth
        slack = min(raw, Decimal(repr(CLOSE)) * max(Decimal(1), raw))
        whole = ROUND_CEILING if exact else ROUND_FLOOR
        bound = ((raw - slack) / unit).to_integral_value(rounding=whole) * unit
        whole_question = self.question == self.shape.question
        if (self.solved.proven and whole_question) or bound >= net:
            return net, True
        return bound.quantize(unit), False


def _order_of(placed: _Placed) -> Order:
    """An order with its prices, from packs alone."""
    supplier = placed.delivery.supplier
    lines = tuple(sorted(_lines(placed)))
    value = sum((line.price for line in lines), NOTHING)
    weight = sum((offer.weight_kg * count for offer, _, count in placed.packs), NOTHING)
    usual = arrival(supplier, placed.delivery.order_on, supplier.usual_days)
    arrives = placed.delivery.arrives_on
    return Order(
        supplier=supplier.name,
        order_on=placed.delivery.order_on,
        arrives_on=arrives,
        usual_on=arrives if usual is None else min(usual, arrives),
        lines=lines,
        freight=supplier.freight.price(value, weight),
    )


def _lines(placed: _Placed) -> list[Line]:
    together: dict[Offer, int] = defaultdict(int)
    for offer, _, count in placed.packs:
        together[offer] += count
    found = []
    for offer, goods, count in placed.packs:
        price, each = packs_price(offer, count, together[offer] if offer.over_shades else count)
        found.append(Line(goods, offer.pack, count, price, each))
    return found


def packs_price(offer: Offer, count: int, counted: int) -> tuple[Decimal, Decimal | None]:
    """Price of so many packs, and of one where all cost the same.

    Args:
        offer: with its breaks.
        count: packs bought.
        counted: packs that count towards the breaks.
    """
    if offer.rule is BreakRule.ALL:
        each = next(tier.price for tier in reversed(offer.tiers) if counted >= tier.packs)
        return each * count, each
    price, used = NOTHING, set()
    ends = [*(tier.packs - 1 for tier in offer.tiers[1:]), count]
    for tier, end in zip(offer.tiers, ends, strict=True):
        part = max(0, min(count, end) - tier.packs + 1)
        price += tier.price * part
        if part:
            used.add(tier.price)
    return price, used.pop() if len(used) == 1 else None


__all__ = ["PATIENCE_S", "Supplier", "buy", "packs_price"]
