"""What comes and what is needed of goods.

Sources are the lots on the shelf and the packs of each delivery; sinks are the needs. Where
nothing ages and keeping costs nothing it is enough that by each due day as much has come as is
needed by then; else each piece is followed from its source to its need.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Final

from airwright.operations.buying.cover import MOST_PIECES, cheapest_cover
from airwright.operations.buying.program import Program
from airwright.operations.buying.shape import Built, Choice, Shape
from airwright.operations.buying.values import NOTHING, Wish
from airwright.operations.goods import Goods, Lot

DAYS_A_YEAR: Final = Decimal(365)
SLACK: Final = 1e-6


def swap_flags(built: Built, shape: Shape) -> None:
    """A variable for each need that other goods may meet, whole or not at all."""
    swaps = shape.question.swaps
    for need in sorted(shape.question.needs):
        mine = sorted(
            {s.instead for s in swaps if s.goods == need.goods and s.job in ("", need.job)}
        )
        flags = []
        for instead in mine:
            flag = built.program.variable(1, whole=True)
            built.swapped[need, instead] = flag
            flags.append(flag)
        if len(flags) > 1:
            built.program.row(dict.fromkeys(flags, 1.0), at_most=1)


@dataclass(slots=True)
class _Demand:
    """What is needed of goods on a day: a number less what variables take over."""

    day: dt.date
    fixed: int = 0
    terms: dict[int, float] = field(default_factory=lambda: defaultdict(float))


def _demands(built: Built, shape: Shape, goods: Goods) -> list[_Demand]:
    found: dict[dt.date, _Demand] = {}

    def on(day: dt.date) -> _Demand:
        return found.setdefault(day, _Demand(day))

    for need in shape.needs(goods):
        on(need.due).fixed += need.quantity
    for (need, instead), flag in built.swapped.items():
        if need.goods == goods:
            on(need.due).terms[flag] -= need.quantity
        if instead == goods:
            on(need.due).terms[flag] += need.quantity
    if goods in shape.scarce:
        for day, demand in sorted(found.items()):
            short = built.program.variable(demand.fixed)
            built.missing[goods, day] = short
            demand.terms[short] -= 1
    return [found[day] for day in sorted(found)]


def goods_rows(built: Built, shape: Shape, goods: Goods, choices: list[Choice]) -> None:
    """Rows that let all needs of goods be met, and what is left over be counted."""
    demands = _demands(built, shape, goods)
    if not demands:
        return
    if goods in shape.followed:
        left = _followed(built, shape, goods, choices, demands)
    else:
        left = _cumulative(built, shape, goods, choices, demands)
    _least_price(built, shape, goods, choices, demands)
    worth = float(shape.question.worth * shape.least.get(goods, NOTHING))
    if worth:
        kept = built.program.variable()
        built.program.row({**left.terms, kept: -1}, at_least=left.taken_off)
        built.net[kept] -= worth
        own = sum(demand.fixed for demand in demands)
        built.constant += worth * max(0, left.stock - own)
    if Wish.NO_HALF_BAGS in shape.question.wishes and choices:
        _half_bags(built, choices, left)


def _least_price(
    built: Built, shape: Shape, goods: Goods, choices: list[Choice], demands: list[_Demand]
) -> None:
    """Whatever is bought of goods costs at least what their cheapest packs cost."""
    if any(demand.terms for demand in demands):
        return  # how many are needed is not known beforehand
    needed = sum(demand.fixed for demand in demands)
    needed -= sum(lot.quantity for lot in shape.lots(goods))
    if not 0 < needed <= MOST_PIECES:
        return
    least = cheapest_cover([choice.offer for choice in choices], needed).cost
    built.floor += least
    terms: dict[int, float] = {}
    for choice in choices:
        terms |= built.prices[choice.packs]
    built.program.row(terms, at_least=least - SLACK)


@dataclass(frozen=True, slots=True)
class _Left:
    """What is left of goods in the end: terms of variables, less a number; `stock` as it is."""

    terms: dict[int, float]
    taken_off: float
    stock: int


def _lasting(shape: Shape, goods: Goods) -> list[Lot]:
    """Lots that are there all the time."""
    return [
        lot
        for lot in shape.lots(goods)
        if lot.usable(shape.question.today) and lot.usable(shape.last)
    ]


def _cumulative(
    built: Built, shape: Shape, goods: Goods, choices: list[Choice], demands: list[_Demand]
) -> _Left:
    """By each due day as much has come as is needed by then."""
    program = built.program
    steady = sum(lot.quantity for lot in _lasting(shape, goods))
    lasting = set(map(id, _lasting(shape, goods)))
    passing = [lot for lot in shape.lots(goods) if id(lot) not in lasting]
    from_lots = _from_lots(program, passing, demands)
    terms: dict[int, float] = defaultdict(float)
    needed = 0.0
    for at, demand in enumerate(demands):
        needed += demand.fixed
        for variable, share in demand.terms.items():
            terms[variable] -= share
        for variable in from_lots[at]:
            terms[variable] += 1
        come = {
            c.packs: float(c.offer.pack) for c in choices if c.delivery.arrives_on <= demand.day
        }
        program.row({**terms, **come}, at_least=needed - steady)
    every = {c.packs: float(c.offer.pack) for c in choices}
    return _Left({**terms, **every}, needed - steady, steady)


def _from_lots(program: Program, lots: list[Lot], demands: list[_Demand]) -> list[list[int]]:
    """How much of each lot goes to each demand, for lots that come later or grow too old."""
    found: list[list[int]] = [[] for _ in demands]
    takes: list[dict[int, float]] = [{} for _ in demands]
    for lot in lots:
        mine = {}
        for at, demand in enumerate(demands):
            if lot.usable(demand.day):
                variable = program.variable(lot.quantity)
                found[at].append(variable)
                takes[at][variable] = 1.0
                mine[variable] = 1.0
        if mine:
            program.row(mine, at_most=lot.quantity)
    for demand, took in zip(demands, takes, strict=True):
        if took:
            program.row(
                {**took, **{at: -share for at, share in demand.terms.items()}},
                at_most=demand.fixed,
            )
    return found


def _followed(
    built: Built, shape: Shape, goods: Goods, choices: list[Choice], demands: list[_Demand]
) -> _Left:
    """Each piece from its source to its need, with what keeping it costs."""
    program = built.program
    least = shape.least.get(goods, NOTHING)
    daily = float(shape.question.holding * least / DAYS_A_YEAR)
    met: list[dict[int, float]] = [{} for _ in demands]
    left: dict[int, float] = defaultdict(float)
    stock = 0
    for lot in shape.lots(goods):
        start = max(lot.since or shape.question.today, shape.question.today)
        flows = {}
        for at, demand in enumerate(demands):
            if lot.usable(demand.day):
                flow = program.variable(lot.quantity)
                flows[flow] = 1.0
                met[at][flow] = 1.0
                built.keep(flow, -daily * (shape.last - demand.day).days)
        if flows:
            program.row(flows, at_most=lot.quantity)
        if lot.usable(shape.last):
            stock += lot.quantity
            for flow in flows:
                left[flow] -= 1
        built.constant += daily * lot.quantity * max((shape.last - start).days, 0)
    for choice in choices:
        _packs_to_needs(built, shape, choice, demands, met, left, daily)
    for demand, sources in zip(demands, met, strict=True):
        terms = {**sources, **{at: -share for at, share in demand.terms.items()}}
        program.row(terms, at_least=demand.fixed)
    return _Left(dict(left), -float(stock), stock)


def _packs_to_needs(
    built: Built,
    shape: Shape,
    choice: Choice,
    demands: list[_Demand],
    met: list[dict[int, float]],
    left: dict[int, float],
    daily: float,
) -> None:
    """Where the packs of one delivery go, and how long they are kept."""
    program, arrives, pack = built.program, choice.delivery.arrives_on, choice.offer.pack
    days = choice.offer.good_days
    until = dt.date.max if days is None else arrives + dt.timedelta(days=days)
    flows = {}
    for at, demand in enumerate(demands):
        if arrives <= demand.day <= until:
            flow = program.variable()
            flows[flow] = 1.0
            met[at][flow] = 1.0
            built.keep(flow, -daily * (shape.last - demand.day).days)
            most = demand.fixed + sum(max(share, 0) for share in demand.terms.values())
            program.row({flow: 1, choice.used: -most}, at_most=0)
    program.row({**flows, choice.packs: -float(pack)}, at_most=0)
    built.keep(choice.packs, daily * pack * max((shape.last - arrives).days, 0))
    if until >= shape.last:
        left[choice.packs] += pack
        for flow in flows:
            left[flow] -= 1


def _half_bags(built: Built, choices: list[Choice], left: _Left) -> None:
    """Whether goods end in a bag that was bought and opened for a part of it only."""
    program = built.program
    largest = max(choice.offer.pack for choice in choices)
    whole = {}
    for choice in choices:
        unopened = program.variable(program.upper[choice.packs], whole=True)
        program.row({unopened: 1, choice.packs: -1}, at_most=0)
        whole[unopened] = -float(choice.offer.pack)
    flag = program.variable(1, whole=True)
    program.row({**left.terms, **whole}, at_least=left.taken_off)
    terms = {**left.terms, **whole, flag: -float(largest)}
    program.row(terms, at_most=left.taken_off + left.stock)
    built.half.append(flag)
