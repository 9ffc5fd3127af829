"""The least that so many pieces of one goods can cost: exact, by dynamic programming.

Freight and minimum orders left out, no way of buying is cheaper. The programme is told so, row by
row, and is then solved many times faster.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
import numpy.typing as npt

from airwright.operations.buying.values import BreakRule, Offer

MOST_PIECES: Final = 5000
"""Above this the reckoning takes longer than it saves."""


@dataclass(frozen=True, slots=True)
class Cover:
    """The cheapest packs that hold enough: how many of each offer, in the order given."""

    cost: float
    packs: tuple[int, ...]


def cheapest_cover(offers: Sequence[Offer], pieces: int) -> Cover:
    """Packs that hold at least `pieces`, at the least price; infinite when nothing is on offer.

    Args:
        offers: lines of price lists that serve the goods; limits are not looked at.
        pieces: at most `MOST_PIECES`.
    """
    return _cheapest(
        tuple(
            (
                offer.pack,
                tuple((tier.packs, float(tier.price)) for tier in offer.tiers),
                offer.rule.value,
                offer.over_shades,
            )
            for offer in offers
        ),
        pieces,
    )


Costs = npt.NDArray[np.float64]
_Terms = tuple[int, tuple[tuple[int, float], ...], str, bool]


@lru_cache(maxsize=4096)
def _cheapest(offers: tuple[_Terms, ...], pieces: int) -> Cover:
    best = np.full(pieces + 1, np.inf)
    best[0] = 0.0
    taken = []
    for pack, tiers, rule, over in offers:
        best, counts = _with_offer(best, pack, _pack_prices(pack, tiers, rule, over, pieces))
        taken.append(counts)
    packs = []
    left = pieces
    for (pack, *_), counts in zip(reversed(offers), reversed(taken), strict=True):
        count = int(counts[left])
        packs.append(count)
        left = max(0, left - count * pack)
    return Cover(float(best[pieces]), tuple(reversed(packs)))


def _pack_prices(
    pack: int, tiers: tuple[tuple[int, float], ...], rule: str, over: bool, pieces: int
) -> list[float]:
    """Price of 0, 1, 2 … packs, as far as more could be of use."""
    most = max(-(-pieces // pack), tiers[-1][0])
    if over:  # packs of other shades may have reached the break
        return [count * tiers[-1][1] for count in range(most + 1)]
    prices = [0.0]
    for count in range(1, most + 1):
        each = next(price for packs, price in reversed(tiers) if count >= packs)
        prices.append(count * each if rule == BreakRule.ALL.value else prices[-1] + each)
    return prices


def _with_offer(
    before: Costs, pack: int, prices: list[float]
) -> tuple[Costs, npt.NDArray[np.int64]]:
    """Least cost of 0, 1, 2 … pieces when packs of one more offer may be added, and how many."""
    best, counts = before.copy(), np.zeros(len(before), np.int64)
    for count, price in enumerate(prices[1:], start=1):
        # what is held beyond the pieces asked for costs nothing more
        from_before = np.maximum(np.arange(len(before)) - count * pack, 0)
        tried = before[from_before] + price
        better = tried < best
        best[better], counts[better] = tried[better], count
    return best, counts
