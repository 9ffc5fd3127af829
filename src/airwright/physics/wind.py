"""Wind: velocity pressure, the formulas of two codes, and the Beaufort scale.

These figures prepare a decision; where people stand near, local rules and a licensed
engineer decide.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.physics.errors import UnknownMethodError, require
from airwright.physics.types import Floats, Real
from airwright.units import FOOT_M

CODE_AIR_KG_M3 = 1.225
EN_AIR_KG_M3 = 1.25
FASTEST_M_S = 90.0
PSF_PA = 47.880_258_98

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


EXPOSURES = {"B": (7.0, 1200.0), "C": (9.5, 900.0), "D": (11.5, 700.0)}
"""ASCE 7-10 exposure -> (alpha [-], gradient height zg [ft])."""


def asce_height_factor(height_m: Real, exposure: str = "C") -> Floats:
    """Velocity pressure exposure coefficient Kz.

    Formula: Kz = 2.01 (max(z, 15 ft)/zg)^(2/alpha).

    Parameters
    ----------
    height_m : float or array (N,), [m]
        Height above ground.
    exposure : str
        "B" built-up, "C" open, "D" waterside.

    Returns
    -------
    factor : array (N,), [-]
        Kz.

    Validity
    --------
    0 m to the gradient height (213 m for D); else OutOfRangeError.

    References
    ----------
    [1] ASCE/SEI 7-10, table 27.3-1 (constants from memory, a worked example agrees).
    """
    if exposure not in EXPOSURES:
        raise UnknownMethodError("exposure", exposure, "Choose B, C or D.")
    alpha, gradient_ft = EXPOSURES[exposure]
    z = require(
        "height", height_m, "Within the boundary layer.", low=0.0, high=gradient_ft * FOOT_M
    )
    z_ft = np.maximum(z / FOOT_M, 15.0)
    return np.asarray(2.01 * (z_ft / gradient_ft) ** (2.0 / alpha))[()]


def asce_velocity_pressure(
    speed_m_s: Real,
    height_factor: Real = 1.0,
    topographic: float = 1.0,
    directionality: float = 1.0,
) -> Floats:
    """Velocity pressure by ASCE 7.

    Formula: qz = 0.613 Kz Kzt Kd V^2.

    Parameters
    ----------
    speed_m_s : float or array (N,), [m/s]
        Three-second gust at 10 m in open country.
    height_factor : float or array (N,), [-]
        Kz, see `asce_height_factor`.
    topographic : float, [-]
        Kzt.
    directionality : float, [-]
        Kd; 0.85 for signs and buildings, 1 on the safe side.

    Returns
    -------
    pressure : array (N,), [Pa]
        qz.

    Validity
    --------
    0 to 90 m/s; else OutOfRangeError.

    References
    ----------
    [1] ASCE/SEI 7-10, equation 27.3-1 (0.00256 in psf and mph).
    """
    v = _speed(speed_m_s)
    factors = np.asarray(height_factor) * topographic * directionality
    return np.asarray(0.00256 * PSF_PA / 0.44704**2 * factors * v**2)[()]


TERRAINS = {"0": 0.003, "I": 0.01, "II": 0.05, "III": 0.3, "IV": 1.0}
"""EN 1991-1-4 terrain -> roughness length z0 [m] (0 sea, I lake, II open, III suburb, IV town)."""
_LEAST_HEIGHT_M = {"0": 1.0, "I": 1.0, "II": 2.0, "III": 5.0, "IV": 10.0}


@dataclass(frozen=True, eq=False)
class PeakPressure:
    """Steps of EN 1991-1-4: roughness factor, mean wind, turbulence, peak pressure."""

    roughness_factor: Floats
    mean_m_s: Floats
    turbulence: Floats
    peak_pa: Floats


def en_peak_pressure(basic_m_s: Real, height_m: Real, terrain: str = "II") -> PeakPressure:
    """Peak velocity pressure by EN 1991-1-4, flat country.

    Formula: cr = 0.19 (z0/0.05)^0.07 ln(z/z0); vm = cr vb; Iv = 1/ln(z/z0);
    qp = (1 + 7 Iv) rho vm^2/2.

    Parameters
    ----------
    basic_m_s : float or array (N,), [m/s]
        Basic wind vb (ten-minute mean at 10 m in open country).
    height_m : float or array (N,), [m]
        Height above ground; below the terrain's least height that height is taken.
    terrain : str
        "0", "I", "II", "III" or "IV".

    Returns
    -------
    steps : PeakPressure
        cr [-], vm [m/s], Iv [-], qp [Pa].

    Validity
    --------
    0 to 90 m/s, up to 200 m; else OutOfRangeError. National annexes change constants.

    References
    ----------
    [1] EN 1991-1-4:2005, sections 4.3 to 4.5, rho 1.25 kg/m³.
    """
    if terrain not in TERRAINS:
        raise UnknownMethodError("terrain", terrain, f"Choose one of {', '.join(TERRAINS)}.")
    z0 = TERRAINS[terrain]
    z = require("height", height_m, "0 to 200 m.", low=0.0, high=200.0, unit="m")
    layers = np.log(np.maximum(z, _LEAST_HEIGHT_M[terrain]) / z0)
    cr = 0.19 * (z0 / 0.05) ** 0.07 * layers
    vm = cr * _speed(basic_m_s)
    iv = 1.0 / layers
    qp = (1.0 + 7.0 * iv) * 0.5 * EN_AIR_KG_M3 * vm**2
    return PeakPressure(*(np.asarray(x)[()] for x in (cr, vm, iv, qp)))


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


def beaufort_speed(number: Real) -> Floats:
    """Middle wind speed of a Beaufort number.

    Formula: v = 0.836 B^1.5.

    Parameters
    ----------
    number : float or array (N,), [-]
        Beaufort number.

    Returns
    -------
    speed : array (N,), [m/s]
        Equivalent speed; 9.35 for 5.

    Validity
    --------
    0 to 12; else OutOfRangeError.

    References
    ----------
    [1] WMO, empirical formula of the scale.
    """
    b = require("Beaufort number", number, "0 to 12.", low=0.0, high=12.0)
    return np.asarray(0.836 * b**1.5)[()]
