"""How many to buy so that the chance of running short stays small."""

from __future__ import annotations

SEARCH_LIMIT = 10_000_000


def to_buy(need: int, failure_rate: float, risk: float) -> int:
    """Smallest purchase n with P[Binomial(n, failure_rate) <= n - need] >= 1 - risk.

    Args:
        need: good balloons needed.
        failure_rate: chance that one fails, each for itself, 0 <= rate < 1.
        risk: accepted chance of running short, 0 < risk < 1.

    Returns:
        Balloons to buy, `need` and spares together.

    Raises:
        ValueError: a rate or risk outside its range, a negative need.
    """
    if need < 0 or not 0 <= failure_rate < 1 or not 0 < risk < 1:
        raise ValueError("need >= 0, 0 <= failure_rate < 1 and 0 < risk < 1 are required")
    if need == 0 or failure_rate == 0:
        return need
    from scipy.special import bdtr

    low, high = need, need + 1
    while bdtr(high - need, high, failure_rate) < 1 - risk and high < SEARCH_LIMIT:
        low, high = high, 2 * high
    while low < high:
        middle = (low + high) // 2
        if bdtr(middle - need, middle, failure_rate) >= 1 - risk:
            high = middle
        else:
            low = middle + 1
    return low
