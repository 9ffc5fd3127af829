"""Where a ribbon is tied to a balloon."""

from __future__ import annotations

from functools import lru_cache

from airwright.catalog import Family
from airwright.decor.assembly import Stock
from airwright.physics.bodies import foil_tie_below
from airwright.physics.shape import TIGHTNESS_MAX, TIGHTNESS_MIN, pear_profile


def tie_below(stock: Stock) -> float:
    """Centre of a floating balloon down to its ribbon's knot: at its own knot, or on the
    tail of a foil's outline [m]."""
    if stock.family is Family.FOIL:
        return foil_tie_below(stock.outline) * stock.inflated_m / 2
    return _knot_below(round(stock.inflated_m / stock.nominal_m, 3)) * stock.inflated_m / 2


@lru_cache(maxsize=64)
def _knot_below(tightness: float) -> float:
    profile = pear_profile(48, min(max(tightness, TIGHTNESS_MIN), TIGHTNESS_MAX))
    return -profile.knot_z
