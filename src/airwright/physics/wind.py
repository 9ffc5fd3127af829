"""Wind: velocity pressure and the Beaufort scale.

These figures prepare a decision; where people stand near, local rules and a licensed
engineer decide.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real

CODE_AIR_KG_M3 = 1.225
FASTEST_M_S = 90.0
PEOPLE_NEAR_LIMIT_M_S = 10.7
"""Top of Beaufort 5 (24 mph, 38 km/h): above it inflatable structures near people are taken
down (EN 14960 practice). Balloon decor is lighter still."""


def _speed(speed_m_s: Real) -> Floats:
    return require(
        "wind speed",
        speed_m_s,
        "Give the gust from 0 to 90 m/s; check the unit (m/s, km/h, mph, knots).",
        low=0.0,
        high=FASTEST_M_S,
        unit="m/s",
        code="physics.wind-speed",
    )


def velocity_pressure(speed_m_s: Real, density: Real = CODE_AIR_KG_M3) -> Floats:
    """Velocity pressure of the wind.

    Formula: q = rho v^2/2.

    Parameters
    ----------
    speed_m_s : float or array (N,), [m/s]
        Gust speed.
    density : float or array (N,), [kg/m³]
        Density of the air.

    Returns
    -------
    pressure : array (N,), [Pa]
        q; 70.6 Pa at 24 mph.

    Validity
    --------
    0 to 90 m/s; else OutOfRangeError.

    References
    ----------
    [1] Bernoulli.
    """
    v = _speed(speed_m_s)
    rho = require("air density", density, "0.3 to 2 kg/m³.", low=0.3, high=2.0)
    return np.asarray(0.5 * rho * v**2)[()]


@dataclass(frozen=True)
class Beaufort:
    """One step of the scale: number, name, and the wind [m/s] it spans."""

    number: int
    name: str
    low_m_s: float
    high_m_s: float


_NAMES = (
    ("Calm", 0.2),
    ("Light air", 1.5),
    ("Light breeze", 3.3),
    ("Gentle breeze", 5.4),
    ("Moderate breeze", 7.9),
    ("Fresh breeze", 10.7),
    ("Strong breeze", 13.8),
    ("Near gale", 17.1),
    ("Gale", 20.7),
    ("Strong gale", 24.4),
    ("Storm", 28.4),
    ("Violent storm", 32.6),
    ("Hurricane force", FASTEST_M_S),
)
BEAUFORT: tuple[Beaufort, ...] = tuple(
    Beaufort(n, name, 0.0 if n == 0 else round(_NAMES[n - 1][1] + 0.1, 1), high)
    for n, (name, high) in enumerate(_NAMES)
)
"""The scale: mean wind over ten minutes at 10 m."""


def beaufort(speed_m_s: float) -> Beaufort:
    """Beaufort step of a wind speed.

    Formula: the step whose span holds the speed rounded to 0.1 m/s.

    Parameters
    ----------
    speed_m_s : float, [m/s]
        Wind, ten-minute mean; a gust reads one to two steps higher than the mean.

    Returns
    -------
    step : Beaufort
        Number, name, span.

    Validity
    --------
    0 to 90 m/s; else OutOfRangeError.

    References
    ----------
    [1] WMO Code 1100.
    """
    v = round(float(_speed(speed_m_s)), 1)
    return next(step for step in BEAUFORT if v <= step.high_m_s)
