"""The cheapest bags that hold enough."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache

from airwright.catalog import Pack
from airwright.plan.piece_values import PackLine


def cheapest(packs: Sequence[Pack], total: int, rate: Decimal = Decimal(1)) -> tuple[PackLine, ...]:
    """Bags of one size and shade that hold at least `total`, at the least price.

    Args:
        packs: bags on offer.
        total: balloons needed, spares included.
        rate: price of one catalogue currency unit in the job's currency.

    Returns:
        Bags to buy, largest first; fewer leftovers win among equal prices.
    """
    key = tuple((pack.count, pack.price) for pack in packs)
    return tuple(
        PackLine(packs[at].count, bags, packs[at].price * rate)
        for at, bags in sorted(_solve(key, total), key=lambda row: -packs[row[0]].count)
    )


@lru_cache(maxsize=4096)
def _solve(packs: tuple[tuple[int, Decimal], ...], total: int) -> tuple[tuple[int, int], ...]:
    if total <= 0:
        return ()
    if len(packs) == 1:
        return ((0, -(-total // packs[0][0])),)
    import numpy as np
    from scipy.optimize import LinearConstraint, milp

    counts = np.array([count for count, _ in packs], dtype=float)
    prices = np.array([float(price) for _, price in packs])
    tie_break = 1e-7 * counts
    found = milp(
        prices + tie_break,
        constraints=LinearConstraint(counts[None, :], lb=total),
        integrality=np.ones(len(packs)),
    )
    bags = np.round(found.x).astype(int)
    return tuple((at, int(n)) for at, n in enumerate(bags) if n)


def unit_price(packs: Sequence[Pack]) -> Decimal:
    """Price of one balloon in the bag with the lowest price a balloon."""
    return min(pack.price / pack.count for pack in packs)
