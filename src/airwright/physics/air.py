"""The air around the balloon: standard atmosphere, moist air, viscosity."""

from __future__ import annotations

import numpy as np

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real
from airwright.units import ZERO_CELSIUS_K

COLDEST_C = -60.0
HOTTEST_C = 80.0
STANDARD_PRESSURE_PA = 101_325.0

# Below this altitude lies no venue; above it no decorator works without oxygen.
LOWEST_M = -500.0
HIGHEST_M = 9_000.0

# Defining constants of the 1976 standard atmosphere.
_SEA_LEVEL_K = 288.15
_LAPSE_K_M = -6.5e-3
_EARTH_M = 6_356_766.0
_GRAVITY = 9.80665
_STANDARD_R = 8.31432  # J/(mol K)
_STANDARD_KG_MOL = 0.028_964_4

_R = 8.314472  # J/(mol K), the value CIPM-2007 was fitted with
_DRY_AIR_KG_MOL = 0.028_965_46  # at 400 ppm CO2
_WATER_KG_MOL = 0.018_015_28


def kelvin(temperature_c: Real) -> Floats:
    """Absolute temperature, refusing what no balloon meets.

    Formula: T = t + 273.15.

    Parameters
    ----------
    temperature_c : float or array (N,), [°C]
        Temperature of air, gas or film.

    Returns
    -------
    temperature : array (N,), [K]
        Absolute temperature.

    Validity
    --------
    -60 °C to 80 °C; else OutOfRangeError (its own code below absolute zero).

    References
    ----------
    [1] Definition of the Celsius scale.
    """
    t = require(
        "temperature",
        temperature_c,
        "No such temperature exists; check the unit (°C or °F) and the sign.",
        low=-ZERO_CELSIUS_K,
        above=True,
        unit="°C",
        code="physics.below-absolute-zero",
    )
    require(
        "temperature",
        t,
        "Answers hold from -60 °C to 80 °C; check the unit (°C or °F).",
        low=COLDEST_C,
        high=HOTTEST_C,
        unit="°C",
        code="physics.temperature",
    )
    return np.asarray(t + ZERO_CELSIUS_K)[()]


def standard_atmosphere(altitude_m: Real) -> tuple[Floats, Floats, Floats]:
    """Temperature, pressure and density of the standard atmosphere.

    Formula: T = T0 - L H with L = 6.5 K/km in geopotential height H = r0 z/(r0 + z);
    p = p0 (T0/T)^(-g0 M/(R L)) from hydrostatic balance; rho = p M/(R T).

    Parameters
    ----------
    altitude_m : float or array (N,), [m]
        Geometric altitude above sea level (what a map or a phone shows).

    Returns
    -------
    temperature : array (N,), [°C]
        Standard temperature.
    pressure : array (N,), [Pa]
        Static pressure.
    density : array (N,), [kg/m³]
        Density of dry air.

    Validity
    --------
    -500 m to 9000 m; else OutOfRangeError. Weather moves the pressure by up to 5 %.

    References
    ----------
    [1] U.S. Standard Atmosphere 1976 = ISO 2533 below 32 km. All venues lie in its lowest
        layer; the same figures come from the fluids library (test_fluids_atmosphere.py).
    """
    z = require(
        "altitude",
        altitude_m,
        "Give the venue's height above sea level in metres or feet with its unit.",
        low=LOWEST_M,
        high=HIGHEST_M,
        unit="m",
        code="physics.altitude",
    )
    height = _EARTH_M * z / (_EARTH_M + z)
    t = _SEA_LEVEL_K + _LAPSE_K_M * height
    power = _GRAVITY * _STANDARD_KG_MOL / (_STANDARD_R * _LAPSE_K_M)
    p = STANDARD_PRESSURE_PA * (_SEA_LEVEL_K / t) ** power
    rho = p * _STANDARD_KG_MOL / (_STANDARD_R * t)
    return np.asarray(t - ZERO_CELSIUS_K)[()], np.asarray(p)[()], np.asarray(rho)[()]


def standard_pressure(altitude_m: Real) -> Floats:
    """Pressure of the standard atmosphere at a geometric altitude.

    Formula: see `standard_atmosphere`.

    Parameters
    ----------
    altitude_m : float or array (N,), [m]
        Geometric altitude above sea level.

    Returns
    -------
    pressure : array (N,), [Pa]
        Static pressure; 101 325 at sea level.

    Validity
    --------
    -500 m to 9000 m; else OutOfRangeError.

    References
    ----------
    [1] U.S. Standard Atmosphere 1976, as in `standard_atmosphere`.
    """
    return standard_atmosphere(altitude_m)[1]


def saturation_pressure(temperature_c: Real) -> Floats:
    """Vapour pressure of water at saturation.

    Formula: psv = exp(A T^2 + B T + C + D/T).

    Parameters
    ----------
    temperature_c : float or array (N,), [°C]
        Air temperature.

    Returns
    -------
    pressure : array (N,), [Pa]
        Saturation vapour pressure over liquid water.

    Validity
    --------
    Fitted for 0 to 30 °C, used from -60 to 80 °C (1 % off at the ends, where water carries
    little or the sun dries the air); outside OutOfRangeError.

    References
    ----------
    [1] A. Picard et al., "Revised formula for the density of moist air (CIPM-2007)",
        Metrologia 45 (2008) 149, appendix A.
    """
    t = kelvin(temperature_c)
    exponent = 1.2378847e-5 * t**2 - 1.9121316e-2 * t + 33.93711047 - 6.3431645e3 / t
    return np.asarray(np.exp(exponent))[()]


def air_density(
    temperature_c: Real,
    pressure_pa: Real = STANDARD_PRESSURE_PA,
    relative_humidity: Real = 0.5,
) -> Floats:
    """Density of moist air.

    Formula: rho = p Ma/(Z R T) (1 - x (1 - Mv/Ma)), x = h f psv/p.

    Parameters
    ----------
    temperature_c : float or array (N,), [°C]
        Air temperature.
    pressure_pa : float or array (N,), [Pa]
        Absolute pressure of the air.
    relative_humidity : float or array (N,), [-]
        0 dry to 1 saturated.

    Returns
    -------
    density : array (N,), [kg/m³]
        Mass of air per volume.

    Validity
    --------
    -60 to 80 °C, 30 to 110 kPa, humidity 0 to 1; else OutOfRangeError. Fitted for 15 to
    27 °C and 60 to 110 kPa (22 ppm), within 3e-4 of CoolProp over 0 to 40 °C.

    References
    ----------
    [1] A. Picard et al., Metrologia 45 (2008) 149 (CIPM-2007), 400 ppm CO2.
    """
    t = kelvin(temperature_c)
    c = t - ZERO_CELSIUS_K
    p = require(
        "air pressure",
        pressure_pa,
        "Give the air pressure in pascal; 101 325 at sea level.",
        low=30_000.0,
        high=110_000.0,
        unit="Pa",
    )
    h = require(
        "relative humidity",
        relative_humidity,
        "Give the humidity as a share: 0.5 for 50 %.",
        low=0.0,
        high=1.0,
    )
    enhance = 1.00062 + 3.14e-8 * p + 5.6e-7 * c**2
    # near 80 °C the vapour could exceed a mountain's pressure; air then holds at most itself
    x = np.minimum(h * enhance * saturation_pressure(temperature_c) / p, 1.0)
    z = _compressibility(p, t, c, x)
    dry = p * _DRY_AIR_KG_MOL / (z * _R * t)
    return np.asarray(dry * (1.0 - x * (1.0 - _WATER_KG_MOL / _DRY_AIR_KG_MOL)))[()]


def _compressibility(p: Floats, t: Floats, c: Floats, x: Floats) -> Floats:
    first = 1.58123e-6 - 2.9331e-8 * c + 1.1043e-10 * c**2
    second = (5.707e-6 - 2.051e-8 * c) * x + (1.9898e-4 - 2.376e-6 * c) * x**2
    third = 1.83e-11 - 0.765e-8 * x**2
    ratio = p / t
    return np.asarray(1.0 - ratio * (first + second) + ratio**2 * third)


def air_viscosity(temperature_c: Real) -> Floats:
    """Dynamic viscosity of air.

    Formula: mu = 1.458e-6 T^1.5/(T + 110.4) (Sutherland).

    Parameters
    ----------
    temperature_c : float or array (N,), [°C]
        Air temperature.

    Returns
    -------
    viscosity : array (N,), [Pa·s]
        Dynamic viscosity; 1.789e-5 at 15 °C.

    Validity
    --------
    -60 to 80 °C; else OutOfRangeError.

    References
    ----------
    [1] U.S. Standard Atmosphere 1976, equation 51.
    """
    t = kelvin(temperature_c)
    return np.asarray(1.458e-6 * t**1.5 / (t + 110.4))[()]
