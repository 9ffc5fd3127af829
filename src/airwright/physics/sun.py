"""How warm the gas gets in the sun: a heat balance of the skin.

    absorbed sunlight = convection to the air + radiation to the surroundings

At rest the gas takes the skin's mean temperature; a balloon gets there in minutes. The
absorptance of a shade is an ESTIMATE from its luminance and finish, given with its doubt.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.physics.air import STANDARD_PRESSURE_PA, air_density, air_viscosity, kelvin
from airwright.physics.errors import NotSolvedError, UnknownMethodError, require
from airwright.physics.types import Floats, Real
from airwright.units import GRAVITY_M_S2, ZERO_CELSIUS_K

STEFAN_BOLTZMANN = 5.670374419e-8
PRANDTL = 0.71
FULL_SUN_W_M2 = 1000.0
"""Sun and sky on a surface facing them at noon, clear. Common practice in solar tests."""
DIFFUSE_SHARE = 0.15
GROUND_ALBEDO = 0.2
EMITTANCE = 0.9
"""Infrared emittance of rubber. From memory."""
ABSORPTANCE_DOUBT = 0.15


@dataclass(frozen=True)
class Finish:
    """Share of sunlight a white and a black skin of this finish keeps; infrared emittance."""

    white: float
    black: float
    emittance: float


FINISHES: dict[str, Finish] = {
    "matte": Finish(0.25, 0.90, EMITTANCE),
    "pearl": Finish(0.30, 0.80, EMITTANCE),
    "clear": Finish(0.10, 0.45, EMITTANCE),
    "metallic": Finish(0.30, 0.55, 0.7),
    "foil": Finish(0.15, 0.50, 0.5),
}
"""Finish -> how much sun it keeps. Estimates, no source; see ABSORPTANCE_DOUBT."""


def solar_absorptance(luminance: Real, finish: str = "matte") -> Floats:
    """Estimated share of sunlight that a balloon keeps.

    Formula: alpha = white + (black - white)(1 - sqrt(Y)).

    Parameters
    ----------
    luminance : float or array (N,), [-]
        Relative luminance Y of the shade, 0 black to 1 white (linear light).
    finish : str
        A key of FINISHES: "matte", "pearl", "clear", "metallic", "foil".

    Returns
    -------
    absorptance : array (N,), [-]
        Estimate, ±0.15.

    Validity
    --------
    0 <= Y <= 1; else OutOfRangeError; unknown finish UnknownMethodError. Half of sunlight is
    infrared, which the eye does not see: two equal shades may differ by more than the doubt.

    References
    ----------
    [1] Own estimate between remembered values of white and black paint (0.2 and 0.95).
    """
    if finish not in FINISHES:
        raise UnknownMethodError("finish", finish, f"Choose one of {', '.join(FINISHES)}.")
    y = require(
        "luminance of the shade", luminance, "0 for black to 1 for white.", low=0.0, high=1.0
    )
    kind = FINISHES[finish]
    return np.asarray(kind.white + (kind.black - kind.white) * (1.0 - np.sqrt(y)))[()]


def convection(
    diameter_m: Real,
    skin_c: Real,
    air_c: Real,
    wind_m_s: Real,
    ambient_pa: Real = STANDARD_PRESSURE_PA,
) -> Floats:
    """Heat transfer coefficient between a sphere and the air around it.

    Formula: Nu^3 = Nu_free^3 + Nu_wind^3; Nu_free = 2 + 0.589 Ra^(1/4)/(1 + (0.469/Pr)^(9/16))
    ^(4/9); Nu_wind = 2 + 0.6 Re^(1/2) Pr^(1/3); h = Nu k/d.

    Parameters
    ----------
    diameter_m : float or array (N,), [m]
        Diameter.
    skin_c : float or array (N,), [°C]
        Temperature of the skin.
    air_c : float or array (N,), [°C]
        Temperature of the air.
    wind_m_s : float or array (N,), [m/s]
        Wind at the balloon.
    ambient_pa : float or array (N,), [Pa]
        Absolute air pressure.

    Returns
    -------
    coefficient : array (N,), [W/(m² K)]
        Mean over the sphere; 3 to 6 in still air.

    Validity
    --------
    Diameter above zero, wind 0 to 40 m/s; else OutOfRangeError. Correlations ±20 %.

    References
    ----------
    [1] S. W. Churchill, free convection around spheres (1983), as in Incropera's Fundamentals
        of Heat and Mass Transfer. From memory.
    [2] W. E. Ranz, W. R. Marshall, Chem. Eng. Prog. 48 (1952) 141. From memory.
    """
    d = require("diameter", diameter_m, "Give a diameter above zero.", low=0.0, above=True)
    v = require("wind", wind_m_s, "0 to 40 m/s.", low=0.0, high=40.0, unit="m/s")
    skin_k, air_k = np.asarray(skin_c) + ZERO_CELSIUS_K, kelvin(air_c)
    film_c = np.clip(0.5 * (skin_k + air_k) - ZERO_CELSIUS_K, -60.0, 80.0)
    rho = air_density(film_c, ambient_pa, 0.0)
    nu = air_viscosity(film_c) / rho
    k = 0.0241 + 7.3e-5 * film_c  # conductivity of air, W/(m K), linear near room temperature
    rayleigh = GRAVITY_M_S2 * np.abs(skin_k - air_k) / air_k * d**3 / nu**2 * PRANDTL
    free = 2.0 + 0.589 * rayleigh**0.25 / (1.0 + (0.469 / PRANDTL) ** (9 / 16)) ** (4 / 9)
    forced = 2.0 + 0.6 * np.sqrt(v * d / nu) * PRANDTL ** (1 / 3)
    return np.asarray((free**3 + forced**3 - 8.0) ** (1 / 3) * k / d)[()]


def gas_temperature(
    diameter_m: Real,
    air_c: Real,
    absorptance: Real,
    sun_w_m2: Real = FULL_SUN_W_M2,
    wind_m_s: Real = 0.5,
    emittance: Real = EMITTANCE,
    ambient_pa: Real = STANDARD_PRESSURE_PA,
) -> Floats:
    """Temperature of the gas in a balloon in the sun.

    Formula: alpha G ((1 - f)/4 + (f + albedo)/2) = h (T - Ta) + e s (T^4 - Ta^4), f the
    diffuse share; a sphere shows the sun a quarter of its surface.

    Parameters
    ----------
    diameter_m : float or array (N,), [m]
        Diameter.
    air_c : float or array (N,), [°C]
        Temperature of the air; the surroundings are taken to be as warm.
    absorptance : float or array (N,), [-]
        Share of sunlight kept, see `solar_absorptance`.
    sun_w_m2 : float or array (N,), [W/m²]
        Sun and sky on a surface facing the sun; 0 in shade, 1000 clear noon.
    wind_m_s : float or array (N,), [m/s]
        Wind at the balloon; 0.5 is what a calm day leaves.
    emittance : float or array (N,), [-]
        Infrared emittance of the skin.
    ambient_pa : float or array (N,), [Pa]
        Absolute air pressure.

    Returns
    -------
    temperature : array (N,), [°C]
        Mean temperature of skin and gas at rest.

    Validity
    --------
    Sun 0 to 1400 W/m², absorptance and emittance 0 to 1, air -60 to 80 °C; else
    OutOfRangeError. With the doubt of absorptance and convection the RISE holds ±35 %.

    References
    ----------
    [1] Energy balance; `convection`; Stefan-Boltzmann law.
    """
    d = require("diameter", diameter_m, "Give a diameter above zero.", low=0.0, above=True)
    sun = require("sun", sun_w_m2, "0 in shade to 1400 W/m².", low=0.0, high=1400.0)
    a = require("absorptance", absorptance, "0 to 1.", low=0.0, high=1.0)
    e = require("emittance", emittance, "0 to 1.", low=0.0, high=1.0)
    air = kelvin(air_c)
    seen = 0.25 * (1.0 - DIFFUSE_SHARE) + 0.5 * (DIFFUSE_SHARE + GROUND_ALBEDO)
    gained = a * sun * seen
    # the loss rises with the rise, so a bracket of 0 to 150 K holds the root
    shape = np.broadcast_shapes(*(np.shape(x) for x in (d, gained, air, wind_m_s, e)))
    low, high = np.zeros(shape), np.full(shape, 150.0)
    for _ in range(50):
        rise = 0.5 * (low + high)
        h = convection(d, air + rise - ZERO_CELSIUS_K, air_c, wind_m_s, ambient_pa)
        loss = h * rise + e * STEFAN_BOLTZMANN * ((air + rise) ** 4 - air**4)
        high = np.where(loss > gained, rise, high)
        low = np.where(loss > gained, low, rise)
    if np.any(low > 149.0):
        raise NotSolvedError("heat balance", float(np.max(low)), "Check sun and absorptance.")
    return np.asarray(air + 0.5 * (low + high) - ZERO_CELSIUS_K)[()]
