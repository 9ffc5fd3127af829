"""The buying programme: variables, rows and costs of a question; no solver in here.

Sources of a goods are its lots on the shelf and the packs of each delivery; sinks are its needs.
Where nothing ages and keeping costs nothing it is enough that by each due day as much has come
as is needed by then; else each piece is followed from its source to its need.
"""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import pairwise
from typing import Final

from airwright.operations.buying.deliveries import Delivery, deliveries_of
from airwright.operations.buying.program import Program
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

DAYS_A_YEAR: Final = Decimal(365)
SMALL: Final = 0.001
"""Less than a cent, and less than what a scale for parcels shows [kg]."""


@dataclass(frozen=True, slots=True)
class Choice:
    """How many packs of an offer come for goods with a delivery.

    `packs` and `used` are variables: the count, and whether the delivery is ordered at all.
    """

    delivery: Delivery
    offer: Offer
    goods: Goods
    packs: int
    used: int


@dataclass(slots=True)
class Built:
    """The programme, and what its variables mean.

    Attributes:
        program: variables and rows.
        choices: packs, with the variable that counts them.
        payable: cost of goods and freight.
        net: payable with holding, less the worth of what is left over (up to `constant`).
        constant: what `net` lacks.
        missing: what stays short of a goods on a day.
        swapped: whether a need is met by other goods.
        half: whether a goods ends in a half bag.
        ordered: whether each order of a supplier is placed, by the supplier's name.
    """

    program: Program = field(default_factory=Program)
    choices: list[Choice] = field(default_factory=list)
    payable: dict[int, float] = field(default_factory=lambda: defaultdict(float))
    net: dict[int, float] = field(default_factory=lambda: defaultdict(float))
    constant: float = 0.0
    missing: dict[tuple[Goods, dt.date], int] = field(default_factory=dict)
    swapped: dict[tuple[Need, Goods], int] = field(default_factory=dict)
    half: list[int] = field(default_factory=list)
    ordered: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))

    def pay(self, variable: int, price: float) -> None:
        """Let a variable cost money."""
        self.payable[variable] += price
        self.net[variable] += price


@dataclass(frozen=True, slots=True)
class Shape:
    """A question put in order, and what all rows refer to.

    Attributes:
        deliveries: the orders that may be placed.
        goods: all that may be used.
        last: the last day on which something is due.
        followed: goods whose pieces are followed one by one.
        least: least price of one, of goods that are sold.
        scarce: goods that may stay short.
    """

    question: Question
    deliveries: tuple[Delivery, ...]
    goods: tuple[Goods, ...]
    last: dt.date
    followed: frozenset[Goods]
    least: Mapping[Goods, Decimal]
    scarce: frozenset[Goods]

    @property
    def linked(self) -> bool:
        """Whether it matters beyond freight which orders are placed."""
        return bool(self.followed) or Wish.FEW_SUPPLIERS in self.question.wishes

    def needs(self, goods: Goods) -> list[Need]:
        """Needs of goods in their own name."""
        return [need for need in self.question.needs if need.goods == goods]

    def lots(self, goods: Goods) -> list[Lot]:
        """Lots of goods that can be of use, what ages first in front."""
        lots = [lot for lot in self.question.lots if lot.goods == goods and lot.quantity > 0]
        return sorted(
            (
                lot
                for lot in lots
                if lot.good_until is None or lot.good_until >= self.question.today
            ),
            key=lambda lot: (lot.good_until or dt.date.max, lot.since or dt.date.min, lot.quantity),
        )

    def most(self, goods: Goods) -> int:
        """The most that can be needed of goods, substitutes counted."""
        stands_in_for = {s.goods for s in self.question.swaps if s.instead == goods} | {goods}
        return sum(need.quantity for need in self.question.needs if need.goods in stands_in_for)


def shape_of(question: Question, scarce: frozenset[Goods] | None = None) -> Shape:
    """A question put in order; `scarce` names what may stay short, by default what must."""
    deliveries = deliveries_of(question)
    goods = sorted({need.goods for need in question.needs} | {s.instead for s in question.swaps})
    last = max((need.due for need in question.needs), default=question.today)
    least: dict[Goods, Decimal] = {}
    offered: dict[Goods, list[tuple[Delivery, Offer]]] = defaultdict(list)
    for delivery in deliveries:
        for offer in delivery.supplier.offers:
            for one in goods:
                if offer.serves(one):
                    offered[one].append((delivery, offer))
                    least[one] = min(least.get(one, offer.least_each), offer.least_each)
    ageing = {
        one
        for one in goods
        for delivery, offer in offered[one]
        if offer.good_days is not None
        and delivery.arrives_on + dt.timedelta(days=offer.good_days) < last
    }
    followed = frozenset(goods) if question.holding else frozenset(ageing)
    if scarce is None:
        scarce = _scarce(question, offered)
    return Shape(question, deliveries, tuple(goods), last, followed, least, scarce)


def _scarce(
    question: Question, offered: Mapping[Goods, list[tuple[Delivery, Offer]]]
) -> frozenset[Goods]:
    """Goods of which some need comes before any parcel, or whose supply is limited."""
    found = set()
    for need in question.needs:
        in_time = [
            offer
            for delivery, offer in offered.get(need.goods, ())
            if delivery.arrives_on <= need.due
        ]
        if not any(offer.available is None for offer in in_time):
            found.add(need.goods)
    return frozenset(found)


def build(shape: Shape) -> Built:
    """Variables, rows and costs of a question."""
    built = Built()
    for delivery in shape.deliveries:
        _order(built, shape, delivery)
    _swaps(built, shape)
    by_goods: dict[Goods, list[Choice]] = defaultdict(list)
    for choice in built.choices:
        by_goods[choice.goods].append(choice)
    for goods in shape.goods:
        _goods(built, shape, goods, by_goods[goods])
    return built


# ---- an order: packs, breaks, freight, minimum ------------------------------------------------


def _order(built: Built, shape: Shape, delivery: Delivery) -> None:
    """Everything that may come with one delivery, and what it costs."""
    supplier, program = delivery.supplier, built.program
    used = program.variable(1, whole=True)
    built.ordered[supplier.name].append(used)
    choices: list[Choice] = []
    value: dict[int, float] = defaultdict(float)
    for offer in sorted(supplier.offers, key=Offer.key):
        mine = [
            Choice(
                delivery,
                offer,
                goods,
                program.variable(_most_packs(shape, supplier, offer, goods), whole=True),
                used,
            )
            for goods in shape.goods
            if offer.serves(goods)
        ]
        if offer.available is not None and mine:
            program.row({choice.packs: 1.0 for choice in mine}, at_most=offer.available)
        for group in [mine] if offer.over_shades else [[choice] for choice in mine]:
            if group:
                _price(built, offer, group, value)
        choices += mine
    if supplier.minimum or supplier.freight.steps or shape.linked:
        for choice in choices:
            program.row({choice.packs: 1, used: -program.upper[choice.packs]}, at_most=0)
    if supplier.minimum:
        program.row({**value, used: -float(supplier.minimum)}, at_least=0)
    _freight(built, supplier, choices, value, used)
    built.choices += choices


def _most_packs(shape: Shape, supplier: Supplier, offer: Offer, goods: Goods) -> int:
    """More packs than this are never worth buying: all needs, and every limit reached by them."""
    most = math.ceil(shape.most(goods) / offer.pack) + offer.tiers[-1].packs
    top = max((start for start, _ in supplier.freight.steps), default=NOTHING)
    least = min(tier.price for tier in offer.tiers)
    by_weight = supplier.freight.by_weight
    if least > 0:
        most += math.ceil((supplier.minimum + (NOTHING if by_weight else top)) / least)
    if by_weight and offer.weight_kg > 0:
        most += math.ceil(top / offer.weight_kg)
    return most if offer.available is None else min(most, offer.available)


def _price(built: Built, offer: Offer, group: list[Choice], value: dict[int, float]) -> None:
    """What the packs of an offer cost, with its breaks."""
    tiers = offer.tiers
    if len(tiers) == 1:
        for choice in group:
            built.pay(choice.packs, float(offer.price))
            value[choice.packs] += float(offer.price)
        return
    most = sum(built.program.upper[choice.packs] for choice in group)
    counts, reached = [], []
    for at, tier in enumerate(tiers):
        count = built.program.variable(most)
        flag = built.program.variable(1, whole=True)
        counts.append(count)
        reached.append(flag)
        built.pay(count, float(tier.price))
        value[count] += float(tier.price)
        following = tiers[at + 1].packs if at + 1 < len(tiers) else None
        if offer.rule is BreakRule.ALL:
            upper = most if following is None else min(following - 1, most)
            built.program.row({count: 1, flag: -upper}, at_most=0)
            built.program.row({count: 1, flag: -tier.packs}, at_least=0)
        else:
            room = most if following is None else following - tier.packs
            built.program.row({count: 1, flag: -room}, at_most=0)
            if at:
                before = tier.packs - tiers[at - 1].packs
                built.program.row({counts[at - 1]: 1, flag: -before}, at_least=0)
    if offer.rule is BreakRule.ALL:
        built.program.row(dict.fromkeys(reached, 1.0), at_most=1)
    # BEYOND: the first step holds packs 1 … of its break less one
    terms = {choice.packs: 1.0 for choice in group} | dict.fromkeys(counts, -1.0)
    built.program.row(terms, at_least=0, at_most=0)


def _freight(
    built: Built,
    supplier: Supplier,
    choices: list[Choice],
    value: Mapping[int, float],
    used: int,
) -> None:
    """Freight of one order: one step is taken, and the order reaches it."""
    steps, program = supplier.freight.steps, built.program
    if not any(price for _, price in steps):
        return
    measure = dict(value)
    if supplier.freight.by_weight:
        measure = {choice.packs: float(choice.offer.weight_kg) for choice in choices}
    most = sum(program.upper[at] * share for at, share in measure.items())
    floor, roof, flags = dict(measure), dict(measure), {}
    for at, (start, price) in enumerate(steps):
        flag = program.variable(1, whole=True)
        flags[flag] = 1.0
        built.pay(flag, float(price))
        floor[flag] = -float(start)
        roof[flag] = -(float(steps[at + 1][0]) - SMALL if at + 1 < len(steps) else most)
    program.row({**flags, used: -1}, at_least=0, at_most=0)
    program.row(floor, at_least=0)
    if any(later[1] > sooner[1] for sooner, later in pairwise(steps)):
        program.row(roof, at_most=0)


# ---- goods: what comes and what is needed ------------------------------------------------------


def _swaps(built: Built, shape: Shape) -> None:
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


def _goods(built: Built, shape: Shape, goods: Goods, choices: list[Choice]) -> None:
    demands = _demands(built, shape, goods)
    if not demands:
        return
    if goods in shape.followed:
        left = _followed(built, shape, goods, choices, demands)
    else:
        left = _cumulative(built, shape, goods, choices, demands)
    worth = float(shape.question.worth * shape.least.get(goods, NOTHING))
    if worth:
        kept = built.program.variable()
        built.program.row({**left.terms, kept: -1}, at_least=left.taken_off)
        built.net[kept] -= worth
        own = sum(demand.fixed for demand in demands)
        built.constant += worth * max(0, left.stock - own)
    if Wish.NO_HALF_BAGS in shape.question.wishes and choices:
        _half_bags(built, choices, left)


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
                built.net[flow] -= daily * (shape.last - demand.day).days
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
            built.net[flow] -= daily * (shape.last - demand.day).days
            most = demand.fixed + sum(max(share, 0) for share in demand.terms.values())
            program.row({flow: 1, choice.used: -most}, at_most=0)
    program.row({**flows, choice.packs: -float(pack)}, at_most=0)
    built.net[choice.packs] += daily * pack * max((shape.last - arrives).days, 0)
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
