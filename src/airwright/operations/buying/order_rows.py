"""What an order costs: packs with their breaks, freight, minimum."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping
from itertools import pairwise
from typing import Final

from airwright.operations.buying.deliveries import Delivery
from airwright.operations.buying.shape import Built, Choice, Shape
from airwright.operations.buying.values import NOTHING, BreakRule, Offer, Supplier
from airwright.operations.goods import Goods

SMALL: Final = 0.001
"""Less than a cent, and less than what a scale for parcels shows [kg]."""


def order_rows(built: Built, shape: Shape, delivery: Delivery) -> None:
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
            built.prices[choice.packs] = {choice.packs: float(offer.price)}
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
    for choice in group:
        built.prices[choice.packs] = (
            {choice.packs: float(tiers[-1].price)}
            if offer.over_shades
            else {count: float(tier.price) for count, tier in zip(counts, tiers, strict=True)}
        )
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
