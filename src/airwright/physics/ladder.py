"""Leaning a ladder: two rules that are often mixed up, and neither is a licence to climb."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.physics.errors import UnknownMethodError, require
from airwright.physics.types import Floats, Real

RULES = ("quarter of length", "one in four")
LANDING_OVERLAP_M = 0.9
"""Rails above a landing one steps onto: 3 ft (29 CFR 1926.1053(b)(1))."""
LEAST_ANGLE_DEG, LARGEST_ANGLE_DEG = 65.0, 75.5
"""Usual band for leaning ladders. From memory (EN 131)."""


@dataclass(frozen=True, eq=False)
class LadderSetting:
    """Where a ladder's foot goes: distance out [m], angle [deg], reach up the wall [m]."""

    foot_out_m: Floats
    angle_deg: Floats
    height_m: Floats


def ladder_setting(working_length_m: Real, rule: str = "quarter of length") -> LadderSetting:
    """Foot distance, angle and height of a leaning ladder.

    Formula: quarter of length: out = L/4, angle = acos(1/4); one in four: out = height/4,
    angle = atan 4.

    Parameters
    ----------
    working_length_m : float or array (N,), [m]
        Length along the ladder from foot to the top support.
    rule : str
        "quarter of length" (29 CFR 1926.1053) or "one in four" (by height; HSE).

    Returns
    -------
    setting : LadderSetting
        Out [m], angle [deg], height of the top support [m].

    Validity
    --------
    0.5 to 15 m; else OutOfRangeError; unknown rule UnknownMethodError. Local rules and the
    ladder's own label decide.

    References
    ----------
    [1] 29 CFR 1926.1053(b)(5)(i).
    [2] HSE, Safe use of ladders (1 out for 4 up). From memory.
    """
    length = require("ladder", working_length_m, "0.5 to 15 m.", low=0.5, high=15.0, unit="m")
    if rule not in RULES:
        raise UnknownMethodError("ladder rule", rule, f"Choose one of {', '.join(RULES)}.")
    angle = np.arccos(0.25) if rule == RULES[0] else np.arctan(4.0)
    return LadderSetting(
        np.asarray(length * np.cos(angle))[()],
        np.asarray(np.full(length.shape, np.degrees(angle)))[()],
        np.asarray(length * np.sin(angle))[()],
    )


def ladder_length(support_height_m: Real, landing: bool = False) -> Floats:
    """Ladder length for a support height by the quarter-of-length rule.

    Formula: L = h/sin(acos(1/4)), plus 0.9 m along the ladder above a landing.

    Parameters
    ----------
    support_height_m : float or array (N,), [m]
        Height of the top support.
    landing : bool
        True when people step off at the top.

    Returns
    -------
    length : array (N,), [m]
        Least length of the ladder.

    Validity
    --------
    0.4 to 14 m; else OutOfRangeError.

    References
    ----------
    [1] 29 CFR 1926.1053(b)(1) and (b)(5)(i).
    """
    h = require("support height", support_height_m, "0.4 to 14 m.", low=0.4, high=14.0, unit="m")
    slant = np.sqrt(1.0 - 0.25**2)
    return np.asarray((h + (LANDING_OVERLAP_M if landing else 0.0)) / slant)[()]
