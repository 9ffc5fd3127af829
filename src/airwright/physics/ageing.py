"""How long air-filled latex stays good: oxidation and ultraviolet, as the trade sees it.

All hours here are COMMON PRACTICE without a source. They are given as a range, halve for
every ten kelvin, and add up over the places a balloon goes through.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.physics.air import kelvin
from airwright.physics.errors import UnknownMethodError, require
from airwright.physics.types import Floats, Real
from airwright.units import ZERO_CELSIUS_K


@dataclass(frozen=True)
class Setting:
    """Hours that latex stays good in a place: shortest, usual, longest, at a temperature."""

    shortest_h: float
    usual_h: float
    longest_h: float
    at_c: float


SETTINGS: dict[str, Setting] = {
    "indoors": Setting(72.0, 168.0, 336.0, 21.0),
    "shade": Setting(12.0, 36.0, 72.0, 24.0),
    "sun": Setting(2.0, 6.0, 12.0, 28.0),
}
"""Place -> hours. Common practice, no source."""
Q10 = 2.0
"""Ageing doubles for every 10 K: the rule of thumb of rubber ageing."""


@dataclass(frozen=True, eq=False)
class GoodHours:
    """Hours until latex looks tired: shortest, usual, longest; arrays (N,)."""

    shortest_h: Floats
    usual_h: Floats
    longest_h: Floats


def good_hours(setting: str, temperature_c: Real) -> GoodHours:
    """How long air-filled latex stays good in one place.

    Formula: t = t_ref 2^((T_ref - T)/10).

    Parameters
    ----------
    setting : str
        "indoors", "shade" (outdoors) or "sun".
    temperature_c : float or array (N,), [°C]
        Temperature of the air there.

    Returns
    -------
    hours : GoodHours
        Shortest, usual, longest [h].

    Validity
    --------
    -60 to 80 °C; else OutOfRangeError; unknown place UnknownMethodError. Dark and clear
    shades nearer the shortest, small tight balloons too.

    References
    ----------
    [1] Common practice, no source.
    """
    if setting not in SETTINGS:
        names = ", ".join(SETTINGS)
        raise UnknownMethodError("place", setting, f"Choose one of {names}.")
    place = SETTINGS[setting]
    factor = Q10 ** ((place.at_c - (kelvin(temperature_c) - ZERO_CELSIUS_K)) / 10.0)
    hours = (place.shortest_h, place.usual_h, place.longest_h)
    return GoodHours(*(np.asarray(h * factor)[()] for h in hours))


def life_used(hours: Real, good: GoodHours) -> GoodHours:
    """Share of its life a balloon uses up in a place; add the shares of all places.

    Formula: share = hours/good hours (linear damage); above 1 it looks tired.

    Parameters
    ----------
    hours : float or array (N,), [h]
        Time spent there.
    good : GoodHours
        From `good_hours`.

    Returns
    -------
    shares : GoodHours
        Share [-] against the shortest, the usual and the longest life.

    Validity
    --------
    Hours from zero; else OutOfRangeError.

    References
    ----------
    [1] Linear damage sum (Palmgren and Miner), borrowed as an estimate.
    """
    h = require("hours", hours, "From zero.", low=0.0, unit="h")
    return GoodHours(
        *(np.asarray(h / g)[()] for g in (good.shortest_h, good.usual_h, good.longest_h))
    )
