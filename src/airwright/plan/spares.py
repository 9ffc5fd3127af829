"""How many to buy so that the chance of running short stays small, for a line and for a job.

A balloon fails with a rate that is itself only known from so many balloons: it is drawn from
Beta(rate x seen, (1 - rate) x seen). Failures before the last good balloon is found are then
beta negative binomial, which gives the chance of every number of spares in one sweep. Lines
fail each for itself, so the chance that nothing is short is the product over the lines.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats

SEARCH_LIMIT = 10_000_000
LEAST_COST = 1e-4
"""Spares that cost nothing still count, so that no more than needed are named."""
MOST_PRICE, HALVINGS = 1e12, 60
"""Search for the price on doubt at which the lines together are just sure enough."""

Levels = NDArray[np.intp]
"""Numbers of spares of one line that are weighed, rising."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a job's balloons.

    Attributes:
        need: good balloons needed.
        rate: share that fails, 0 <= rate < 1.
        seen: balloons that rate was learnt from, > 0; inf where the rate is certain.
        cost: of one spare, >= 0.
        least: spares it has whatever the chance.
    """

    need: int
    rate: float
    seen: float
    cost: float = 1.0
    least: int = 0

    def __post_init__(self) -> None:
        fine = self.need >= 0 and 0 <= self.rate < 1 and self.seen > 0
        if not fine or not self.cost >= 0 or self.least < 0:
            raise ValueError("need, cost and least >= 0, 0 <= rate < 1 and seen > 0 are required")


def chance_enough(line: Line, spare: int) -> float:
    """Chance that `need` and `spare` balloons together hold at least `need` good ones [-]."""
    return float(_table(line, spare)[spare])


def to_buy(need: int, rate: float, risk: float, seen: float = math.inf) -> int:
    """Smallest purchase that runs short with a chance of at most `risk`, for one line alone.

    Args:
        need: good balloons needed.
        rate: chance that one fails, 0 <= rate < 1.
        risk: accepted chance of running short, 0 < risk < 1.
        seen: balloons the rate was learnt from; inf: the rate is certain (plain binomial).

    Returns:
        Balloons to buy, `need` and spares together.

    Raises:
        ValueError: a rate or risk outside its range, a negative need.
    """
    _check(risk)
    return need + _fewest(Line(need, rate, seen), 1 - risk)


def cheapest_spares(lines: Sequence[Line], risk: float) -> tuple[int, ...]:
    """The cheapest spares with which all lines together run short with a chance of at most risk.

    Exact: of all sets that keep P(nothing short) = product over lines >= 1 - risk, none costs
    less (fewer balloons win among equal costs).

    Args:
        lines: failing each for itself.
        risk: accepted chance that any line is short, 0 < risk < 1.

    Raises:
        ValueError: a risk outside its range.
    """
    _check(risk)
    return _solved(tuple(lines), risk)


def chance_short(lines: Sequence[Line], spares: Sequence[int]) -> float:
    """Chance that at least one line is short with these spares [-]."""
    pairs = zip(lines, spares, strict=True)
    return 1.0 - math.prod(chance_enough(line, spare) for line, spare in pairs)


def _check(risk: float) -> None:
    if not 0 < risk < 1:
        raise ValueError("0 < risk < 1 is required")


def _table(line: Line, spare: int) -> Floats:
    """Chances of 0, 1, … spares, up to `spare` at least; grown by doubling, so seldom anew."""
    most = 16
    while most < spare:
        most *= 2
    return _enough(line.need, line.rate, line.seen, most)


@lru_cache(maxsize=16384)
def _enough(need: int, rate: float, seen: float, most: int) -> Floats:
    """(most + 1,) chance that 0, 1, … `most` spares are enough [-]."""
    if need == 0 or rate == 0:
        return np.ones(most + 1)
    from scipy.stats import betanbinom, nbinom

    failures = np.arange(most + 1)
    if math.isinf(seen):
        return np.asarray(nbinom.cdf(failures, need, 1 - rate))
    chances = betanbinom.pmf(failures, need, (1 - rate) * seen, rate * seen)
    return np.asarray(np.minimum(np.cumsum(chances), 1.0))


def _fewest(line: Line, sure: float) -> int:
    """Fewest spares that make one line that sure."""
    most = 8
    while True:
        chances = _table(line, most)
        if chances[-1] >= sure or most > SEARCH_LIMIT:
            return max(int(np.searchsorted(chances, sure)), line.least)
        most *= 2


@lru_cache(maxsize=4096)
def _solved(lines: tuple[Line, ...], risk: float) -> tuple[int, ...]:
    if not lines:
        return ()
    least = [_fewest(line, 1 - risk) for line in lines]
    near = _greedy(lines, least, risk)
    if near == least or len(lines) == 1:
        return tuple(near)
    # whatever beats the greedy set spends on each line no more than the greedy set does in all
    room = _spent(lines, near) - _spent(lines, least)
    levels = [
        np.arange(few, few + math.floor(room / _cost(line) + 1e-9) + 1)
        for line, few in zip(lines, least, strict=True)
    ]
    best = _cheapest_choice(lines, levels, _spent(lines, near), -math.log1p(-risk))
    return tuple(near) if best is None or chance_short(lines, best) > risk else best


def _spent(lines: Sequence[Line], spares: Sequence[int]) -> float:
    return sum(spare * _cost(line) for line, spare in zip(lines, spares, strict=True))


@dataclass(frozen=True, slots=True, eq=False)
class _Sets:
    """Sets of spares for the first lines: cost, doubt, and the level picked of each line."""

    cost: Floats
    doubt: Floats
    picks: NDArray[np.intp]


def _cheapest_choice(
    lines: Sequence[Line], levels: Sequence[Levels], near: float, allowed: float
) -> tuple[int, ...] | None:
    """One level a line, at least cost, with doubts that add up to what is allowed.

    Line by line, sets that cost more and are less sure than another are dropped, and so is what
    cannot lead to anything cheaper than a set already known: with a price on doubt, what each
    further line costs at its best is a lower bound (Lagrange). None where `near` stays cheapest.
    """
    rows = [
        (np.asarray(_cost(line) * level, dtype=np.float64), _doubts(line, level))
        for line, level in zip(lines, levels, strict=True)
    ]
    price = _price_on_doubt(rows, allowed)
    best = [float((cost + price * doubt).min()) for cost, doubt in rows]
    sets = _Sets(np.zeros(1), np.zeros(1), np.zeros((1, 0), dtype=np.intp))
    for at, (cost, doubt) in enumerate(rows):
        room = near + LEAST_COST / 2 + price * allowed - sum(best[at + 1 :])
        sets = _longer(sets, cost, doubt, price, room)
    sure = np.flatnonzero(sets.doubt <= allowed)
    if len(sure) == 0:
        return None
    picks = sets.picks[sure[np.argmin(sets.cost[sure])]]
    return tuple(int(level[pick]) for level, pick in zip(levels, picks, strict=True))


def _longer(sets: _Sets, cost: Floats, doubt: Floats, price: float, room: float) -> _Sets:
    """The sets with one more line, as far as any of them may still be the cheapest."""
    old, new = (part.ravel() for part in np.indices((len(sets.cost), len(cost))))
    costs, doubts = sets.cost[old] + cost[new], sets.doubt[old] + doubt[new]
    fine = np.flatnonzero(costs + price * doubts <= room)
    order = fine[np.lexsort((doubts[fine], costs[fine]))]
    before = np.minimum.accumulate(np.concatenate([[np.inf], doubts[order][:-1]]))
    kept = order[doubts[order] < before]  # surer than all that is cheaper
    picks = np.column_stack([sets.picks[old[kept]], new[kept]])
    return _Sets(costs[kept], doubts[kept], picks)


def _price_on_doubt(rows: Sequence[tuple[Floats, Floats]], allowed: float) -> float:
    """The price at which the lines, each at its best, are together just sure enough."""

    def short_of(price: float) -> float:
        return sum(float(doubt[np.argmin(cost + price * doubt)]) for cost, doubt in rows) - allowed

    low, high = 0.0, 1.0
    while short_of(high) > 0 and high < MOST_PRICE:
        low, high = high, 2 * high
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if short_of(middle) > 0 else (low, middle)
    return high


def _doubts(line: Line, level: Levels) -> Floats:
    """Minus the logarithm of the chance that so many spares are enough [-]."""
    return np.asarray(-np.log(_table(line, int(level[-1]))[level]), dtype=np.float64)


def _cost(line: Line) -> float:
    return line.cost + LEAST_COST


def _greedy(lines: Sequence[Line], least: Sequence[int], risk: float) -> list[int]:
    """A good set: the spare that buys the most certainty for its cost, again and again."""
    spares = list(least)
    target = math.log1p(-risk)
    logs = [math.log(chance_enough(*row)) for row in zip(lines, spares, strict=True)]
    while sum(logs) < target:
        gains = [
            math.log(chance_enough(line, spare + 1)) - now
            for line, spare, now in zip(lines, spares, logs, strict=True)
        ]
        at = max(range(len(lines)), key=lambda k: gains[k] / _cost(lines[k]))
        spares[at] += 1
        logs[at] += gains[at]
    return spares
