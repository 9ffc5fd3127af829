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
TIGHTER, ATTEMPTS = 1e-7, 8
"""The solver is asked for a hair more when its answer misses the target by rounding."""


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
    return float(_enough(line.need, line.rate, line.seen, spare)[-1])


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
        chances = _enough(line.need, line.rate, line.seen, most)
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
    room = sum(
        (more - few) * _cost(line) for line, few, more in zip(lines, least, near, strict=True)
    )
    levels = [
        np.arange(few, few + math.floor(room / _cost(line) + 1e-9) + 1)
        for line, few in zip(lines, least, strict=True)
    ]
    return _chosen(lines, levels, risk) or tuple(near)


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


def _chosen(
    lines: Sequence[Line], levels: Sequence[NDArray[np.intp]], risk: float
) -> tuple[int, ...] | None:
    """One level a line, at least cost, so that the product of chances holds (HiGHS)."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    doubts = [
        -np.log(_enough(line.need, line.rate, line.seen, int(level[-1]))[level])
        for line, level in zip(lines, levels, strict=True)
    ]
    cost = np.concatenate(
        [(level - level[0]) * _cost(line) for line, level in zip(lines, levels, strict=True)]
    )
    one_each = np.zeros((len(lines), len(cost)))
    ends = np.cumsum([len(level) for level in levels])
    for row, end in enumerate(ends):
        one_each[row, end - len(levels[row]) : end] = 1.0
    allowed = -math.log1p(-risk)
    share = np.concatenate(doubts) / allowed
    for attempt in range(ATTEMPTS):
        found = milp(
            cost,
            constraints=[
                LinearConstraint(one_each, 1.0, 1.0),
                LinearConstraint(share[None, :], ub=1.0 - attempt * TIGHTER),
            ],
            integrality=np.ones(len(cost)),
            bounds=Bounds(0, 1),
            options={"mip_rel_gap": 0.0},
        )
        if found.x is None:
            return None
        picks = [int(np.argmax(part)) for part in np.split(found.x, ends[:-1])]
        spares = [int(level[pick]) for level, pick in zip(levels, picks, strict=True)]
        if chance_short(lines, spares) <= risk:
            return tuple(spares)
    return None
