"""Lifting by hand: the revised NIOSH equation, in both of its official roundings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from airwright.physics.errors import UnknownMethodError, require
from airwright.physics.types import Floats, Real
from airwright.units import INCH_M, POUND_KG

INCH_CM = 100.0 * INCH_M


@dataclass(frozen=True)
class LiftingConstants:
    """Load constant [kg], reach [cm], best height [cm], slope [1/cm], travel term [cm]."""

    load_kg: float
    reach_cm: float
    best_height_cm: float
    height_slope: float
    travel_cm: float


METRIC = LiftingConstants(23.0, 25.0, 75.0, 0.003, 4.5)
US = LiftingConstants(51 * POUND_KG, 10 * INCH_CM, 30 * INCH_CM, 0.0075 / INCH_CM, 1.8 * INCH_CM)
"""The equation printed in pounds and inches is up to 2 % more lenient than in kilograms."""

# lifts a minute; then multiplier for up to 1, 2 and 8 hours, hands below / above 75 cm
_FREQUENCY = np.array([0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15])
_MULTIPLIERS = {
    (1, "low"): [1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37,
                 0, 0, 0],
    (1, "high"): [1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37,
                  0.34, 0.31, 0.28],
    (2, "low"): [0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0, 0,
                 0, 0, 0],
    (2, "high"): [0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0.23,
                  0.21, 0, 0, 0],
    (8, "low"): [0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0, 0, 0, 0, 0, 0, 0],
    (8, "high"): [0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0, 0,
                  0, 0, 0],
}  # fmt: skip
_COUPLING = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.9, 0.9)}


def frequency_multiplier(
    lifts_per_minute: float, hours: Literal[1, 2, 8] = 1, height_m: float = 0.75
) -> float:
    """Frequency multiplier FM.

    Formula: table, straight between its rows; 0 above its last row.

    Parameters
    ----------
    lifts_per_minute : float, [1/min]
        Mean over 15 minutes; below 0.2 counts as 0.2.
    hours : int
        Lifting up to 1, 2 or 8 hours a day.
    height_m : float, [m]
        Hands above the floor.

    Returns
    -------
    multiplier : float, [-]
        FM.

    Validity
    --------
    Frequency from zero; else OutOfRangeError; other durations UnknownMethodError.

    References
    ----------
    [1] NIOSH Publication 94-110, table 5. From memory.
    """
    if hours not in (1, 2, 8):
        raise UnknownMethodError("duration of lifting", str(hours), "Choose 1, 2 or 8 hours.")
    f = float(require("lifts a minute", lifts_per_minute, "From zero.", low=0.0))
    row = _MULTIPLIERS[hours, "high" if height_m >= 0.75 else "low"]
    return float(np.interp(f, _FREQUENCY, row, right=0.0))


def recommended_weight(
    reach_m: Real,
    height_m: Real,
    travel_m: Real,
    twist_deg: Real = 0.0,
    frequency: Real = 1.0,
    coupling: Literal["good", "fair", "poor"] = "good",
    constants: LiftingConstants = METRIC,
) -> Floats:
    """Recommended weight limit of a lift by one person with both hands.

    Formula: RWL = 23 (25/H)(1 - 0.003|V - 75|)(0.82 + 4.5/D)(1 - 0.0032 A) FM CM.

    Parameters
    ----------
    reach_m : float or array (N,), [m]
        H, hands in front of the ankles; below 0.25 counts as 0.25.
    height_m : float or array (N,), [m]
        V, hands above the floor.
    travel_m : float or array (N,), [m]
        D, vertical travel; below 0.25 counts as 0.25.
    twist_deg : float or array (N,), [deg]
        A, turn of the body.
    frequency : float or array (N,), [-]
        FM, see `frequency_multiplier`.
    coupling : str
        Grip: "good", "fair" or "poor".
    constants : LiftingConstants
        METRIC or US.

    Returns
    -------
    limit : array (N,), [kg]
        Weight that nearly all healthy adults may lift so.

    Validity
    --------
    H to 0.63 m, V to 1.75 m, D to 1.75 m, A to 135°; beyond them OutOfRangeError (the limit
    is zero). Not for one-handed, seated or team lifting, nor for catching and carrying.

    References
    ----------
    [1] T. R. Waters et al., Applications Manual for the Revised NIOSH Lifting Equation,
        NIOSH Publication 94-110 (revised 2021).
    """
    if coupling not in _COUPLING:
        raise UnknownMethodError("grip", coupling, "Choose good, fair or poor.")
    far = "Bring the load closer, or lift it with two people or a trolley."
    h = np.maximum(
        require("reach", reach_m, far, low=0.0, high=0.635, unit="m") * 100, constants.reach_cm
    )
    v = require("height of the hands", height_m, far, low=0.0, high=1.78, unit="m") * 100
    d = np.maximum(
        require("travel", travel_m, far, low=0.0, high=1.78, unit="m") * 100, constants.reach_cm
    )
    a = require("twist", twist_deg, far, low=0.0, high=135.0, unit="°")
    fm = require("frequency multiplier", frequency, "0 to 1.", low=0.0, high=1.0)
    grip = np.where(v < constants.best_height_cm, *_COUPLING[coupling])
    limit = constants.load_kg * (constants.reach_cm / h)
    limit = limit * (1.0 - constants.height_slope * np.abs(v - constants.best_height_cm))
    limit = limit * (0.82 + constants.travel_cm / d) * (1.0 - 0.0032 * a)
    return np.asarray(limit * fm * grip)[()]
