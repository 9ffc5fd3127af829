"""How much to keep beyond known needs, when demand is uncertain: textbook rules for a season."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stocking:
    """How many to have, and what guessing wrong costs on average."""

    quantity: float
    cost: float


def newsvendor_normal(mean: float, deviation: float, over: float, under: float) -> Stocking:
    """How many to have for one season of normally distributed demand.

    Formula: S = mean + z deviation with Phi(z) = under/(over + under); cost (over + under)
    phi(z) deviation.

    Args:
        mean, deviation: of the demand.
        over: cost of one left over.
        under: cost of one lacking.

    Raises:
        ValueError: a cost or the deviation is not above zero.

    Reference: L. V. Snyder, Z.-J. M. Shen, Fundamentals of Supply Chain Theory, section 4.3.
    """
    if over <= 0 or under <= 0 or deviation <= 0:
        raise ValueError("costs and deviation must be above zero")
    from scipy.stats import norm

    z = float(norm.ppf(under / (over + under)))
    return Stocking(mean + z * deviation, (over + under) * float(norm.pdf(z)) * deviation)


def newsvendor_poisson(mean: float, over: float, under: float) -> Stocking:
    """How many to have for one season of Poisson demand.

    Formula: the smallest S with F(S) >= under/(over + under).

    Args:
        mean: of the demand.
        over: cost of one left over.
        under: cost of one lacking.

    Raises:
        ValueError: a cost or the mean is not above zero.

    Reference: L. V. Snyder, Z.-J. M. Shen, Fundamentals of Supply Chain Theory, section 4.3.
    """
    if over <= 0 or under <= 0 or mean <= 0:
        raise ValueError("costs and mean must be above zero")
    from scipy.stats import poisson

    best = int(poisson.ppf(under / (over + under), mean))
    lacking = mean - sum(float(poisson.sf(at, mean)) for at in range(best))
    return Stocking(best, over * (best - mean + lacking) + under * lacking)


@dataclass(frozen=True, slots=True)
class PriceStep:
    """From so many on, one costs this."""

    start: float
    price: float


def order_quantity(
    yearly: float, fixed: float, holding: float, steps: Sequence[PriceStep], *, all_units: bool
) -> Stocking:
    """How many to order at a time, when use is steady and prices fall with the quantity.

    Formula: cost(Q) = yearly c(Q)/Q + fixed yearly/Q + holding c(Q)/Q Q/2, least over the best
    Q of each step; c(Q) is the price of all Q, by the all-units or the incremental rule.

    Args:
        yearly: use in a year.
        fixed: cost of one order.
        holding: cost of keeping for a year, as a share of the price.
        steps: prices, the first from 0, ascending.
        all_units: whether a step's price holds for all of an order, or for what lies beyond.

    Raises:
        ValueError: use, cost of an order or holding is not above zero.

    Reference: L. V. Snyder, Z.-J. M. Shen, Fundamentals of Supply Chain Theory, section 3.4.
    """
    if yearly <= 0 or fixed <= 0 or holding <= 0:
        raise ValueError("use, cost of an order and holding must be above zero")
    found = []
    before = 0.0
    for at, step in enumerate(steps):
        if at and not all_units:
            before += (step.start - steps[at - 1].start) * steps[at - 1].price
        lump = 0.0 if all_units else before - step.price * step.start
        best = math.sqrt(2 * yearly * (fixed + lump) / (holding * step.price))
        end = steps[at + 1].start if at + 1 < len(steps) else math.inf
        quantity = min(max(best, step.start), end if not all_units else math.nextafter(end, 0))
        price = lump + step.price * quantity
        cost = (price + fixed) * yearly / quantity + holding * price / 2
        found.append(Stocking(quantity, cost))
    return min(found, key=lambda one: one.cost)
