"""How long a helium balloon floats: three gases through a film that thickens as it shrinks.

Written in shares of the first filling, y_i = n_i/n_0, and in the skin's own time
    tau = t * P_He p A0^2 / (V_rubber n_0),
all balloons follow ONE curve per temperature and excess pressure:
    dy_i/dtau = -(P_i/P_He) Y^(4/3) (y_i/Y - r_i),   Y = sum of y_i = V/V_0,
because surface goes with Y^(2/3) and film with Y^(-2/3). One solve serves thousands.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from airwright.physics.air import STANDARD_PRESSURE_PA, air_density, kelvin
from airwright.physics.errors import UnknownMethodError, require
from airwright.physics.gas import GAS_CONSTANT, HELIUM_KG_MOL
from airwright.physics.types import Floats, Real

BARRER = 3.34640e-16
"""One barrer in mol/(m s Pa)."""

GASES = ("He", "O2", "N2")
PERMEABILITY_25C_BARRER = (28.1, 23.4, 9.4)
"""Of natural rubber. He: textbook problem; O2, N2: Michaels and Bixler 1961, Paul 1979."""
ACTIVATION_J_MOL = (28_000.0, 31_000.0, 37_000.0)
"""E_P per gas. He 28 ± 4 kJ/mol derived from hydrogen; O2, N2 from memory. Weak."""
MOLAR_KG = (HELIUM_KG_MOL, 0.031_998, 0.028_014)
OXYGEN_SHARE, NITROGEN_SHARE = 0.2095, 0.7905

FIRST_H, DOWN_H = 6.77, 18.0
"""First principles and practice for the balloon everybody knows: 11 in filled to 11 in, on a
ribbon, indoors. It is down after about 18 h (common practice, no source)."""
LONGER = 1.3
"""What each hour beyond counts in practice: 41 cm 24 to 30 h, 61 cm 48 to 56 h, 91 cm 3 to 5
days (common practice, no source)."""
GOOD_SHARE, SAFE_SHARE = 8.0 / 18.0, 12.0 / 18.0
"""Of that time it looks good, and is safe to count on: 8 and 12 of the 18 h (common practice)."""
SPREAD = 1.4
"""The end is given from t/SPREAD to t*SPREAD: what quoted times, films and fills scatter."""
COATING_LOW, COATING_HIGH = 6.0, 20.0
"""Float time with inner coating over that without. Common practice, no source."""


@dataclass(frozen=True, eq=False)
class FloatTime:
    """Hours until net lift is gone: best estimate and range; arrays (N,).

    `good_h` it looks good, `safe_h` it is safe to count on, coated ones at the least.
    `calibration` is what multiplied first principles (coating included).
    """

    hours: Floats
    shortest_h: Floats
    longest_h: Floats
    good_h: Floats
    safe_h: Floats
    calibration: Floats


def permeability(gas: str, temperature_c: Real) -> Floats:
    """Permeability of natural rubber.

    Formula: P = P25 exp(-E/R (1/T - 1/298.15)).

    Parameters
    ----------
    gas : str
        "He", "O2" or "N2".
    temperature_c : float or array (N,), [°C]
        Temperature of the film.

    Returns
    -------
    permeability : array (N,), [mol/(m s Pa)]
        Flux times thickness over pressure difference.

    Validity
    --------
    -60 to 80 °C, else OutOfRangeError; unknown gas UnknownMethodError. Measured around
    20 to 50 °C; between sources ±10 %.

    References
    ----------
    [1] A. S. Michaels, H. J. Bixler, J. Polym. Sci. 50 (1961) 413 (O2, N2).
    [2] Y. A. Çengel, Heat and Mass Transfer, problem of the helium balloon (He).
    """
    if gas not in GASES:
        raise UnknownMethodError("gas", gas, f"Choose one of {', '.join(GASES)}.")
    i = GASES.index(gas)
    t = kelvin(temperature_c)
    factor = np.exp(-ACTIVATION_J_MOL[i] / GAS_CONSTANT * (1.0 / t - 1.0 / 298.15))
    return np.asarray(PERMEABILITY_25C_BARRER[i] * BARRER * factor)[()]


@lru_cache(maxsize=64)
def _universal(
    temperature_c: float, ambient_over_inside: float, purity: float
) -> tuple[Floats, Floats, Floats]:
    """(tau, volume share, gas mass per first mole) along the shrinking of any balloon."""
    from scipy.integrate import solve_ivp

    p = np.array([float(permeability(g, temperature_c)) for g in GASES])
    ratio = p / p[0]
    outside = np.array([0.0, OXYGEN_SHARE, NITROGEN_SHARE]) * ambient_over_inside
    start = np.array([purity, (1 - purity) * OXYGEN_SHARE, (1 - purity) * NITROGEN_SHARE])

    def rate(_tau: float, y: Floats) -> Floats:
        total = y.sum()
        return np.asarray(-ratio * total ** (4.0 / 3.0) * (y / total - outside))

    solution = solve_ivp(
        rate, (0.0, 60.0), start, method="LSODA", rtol=1e-9, atol=1e-12, dense_output=True
    )
    tau = np.concatenate([[0.0], np.geomspace(1e-3, 60.0, 4000)])
    y = solution.sol(tau)
    return tau, y.sum(axis=0), np.asarray(MOLAR_KG) @ y


def life_scale(
    volume_m3: Real,
    area_m2: Real,
    rubber_kg: Real,
    density_kg_m3: float,
    temperature_c: float = 25.0,
    ambient_pa: float = STANDARD_PRESSURE_PA,
    excess_pa: float = 2_500.0,
) -> Floats:
    """The skin's own time: how long one unit of tau lasts.

    Formula: s = V_rubber n0/(P_He p A0^2).

    Parameters
    ----------
    volume_m3 : float or array (N,), [m³]
        Volume as filled.
    area_m2 : float or array (N,), [m²]
        Surface as filled.
    rubber_kg : float or array (N,), [kg]
        Mass of the stretched skin.
    density_kg_m3 : float, [kg/m³]
        Density of the rubber.
    temperature_c : float, [°C]
        Temperature of film and gas.
    ambient_pa : float, [Pa]
        Absolute air pressure.
    excess_pa : float, [Pa]
        Pressure inside above the air's.

    Returns
    -------
    scale : array (N,), [s]
        Seconds per tau.

    Validity
    --------
    All above zero; else OutOfRangeError.

    References
    ----------
    [1] The file's head.
    """
    v = require("volume", volume_m3, "Inflate first.", low=0.0, above=True, unit="m³")
    m = require("rubber", rubber_kg, "Check the mass.", low=0.0, above=True, unit="kg")
    a = require("surface", area_m2, "Inflate first.", low=0.0, above=True, unit="m²")
    p = ambient_pa + excess_pa
    n0 = p * v / (GAS_CONSTANT * kelvin(temperature_c))
    flow = permeability("He", temperature_c) * p * a**2
    return np.asarray(m / density_kg_m3 * n0 / flow)[()]


def float_hours(
    volume_m3: Real,
    area_m2: Real,
    rubber_kg: Real,
    carried_kg: Real,
    density_kg_m3: float = 930.0,
    temperature_c: float = 25.0,
    ambient_pa: float = STANDARD_PRESSURE_PA,
    excess_pa: float = 2_500.0,
    purity: float = 1.0,
) -> Floats:
    """Float time from first principles, uncalibrated and uncoated.

    Formula: the tau at which rho_air V0 Y(tau) - n0 m(tau) = carried mass, times `life_scale`;
    helium goes out, oxygen and nitrogen come in, film and surface follow the volume.

    Parameters
    ----------
    volume_m3 : float or array (N,), [m³]
        Volume as filled.
    area_m2 : float or array (N,), [m²]
        Surface as filled.
    rubber_kg : float or array (N,), [kg]
        Mass of the stretched skin (sets the film).
    carried_kg : float or array (N,), [kg]
        All that hangs on the gas: whole balloon, ribbon, share of a tail.
    density_kg_m3 : float, [kg/m³]
        Density of the rubber.
    temperature_c : float, [°C]
        Temperature of air, gas and film.
    ambient_pa : float, [Pa]
        Absolute air pressure.
    excess_pa : float, [Pa]
        Pressure inside above the air's, held constant.
    purity : float, [-]
        Helium share of the first filling.

    Returns
    -------
    hours : array (N,), [h]
        Until net lift is zero; 0 where it never floats.

    Validity
    --------
    -60 to 80 °C, purity 0.5 to 1; else OutOfRangeError. Practice lasts longer:
    use `float_time` for people.

    References
    ----------
    [1] `permeability`; the file's head.
    """
    x = float(require("helium purity", purity, "Share 0.5 to 1.", low=0.5, high=1.0))
    p = ambient_pa + excess_pa
    scale = life_scale(
        volume_m3, area_m2, rubber_kg, density_kg_m3, temperature_c, ambient_pa, excess_pa
    )
    tau, share, grams = _universal(float(temperature_c), ambient_pa / p, x)
    mole_per_m3 = p / (GAS_CONSTANT * float(kelvin(temperature_c)))
    rho = float(air_density(temperature_c, ambient_pa, 0.0))
    lift = rho * share - mole_per_m3 * grams  # kg per m³ of the first filling
    load = np.asarray(carried_kg, dtype=np.float64) / np.asarray(volume_m3, dtype=np.float64)
    # lift falls all the way, so it can be read backwards
    when = np.interp(-load, -lift, tau, left=0.0)
    return np.asarray(when * scale / 3600.0)[()]


def practice_hours(first_principles_h: Real) -> Floats:
    """Hours of practice for hours of first principles.

    Formula: t = 18/6.77 t0 up to t0 = 6.77 h, then 18 h + 1.3 (t0 - 6.77 h).

    Parameters
    ----------
    first_principles_h : float or array (N,), [h]
        From `float_hours`.

    Returns
    -------
    hours : array (N,), [h]
        Until it is down, without coating.

    Validity
    --------
    From zero; two straight lines through what the trade quotes from 28 to 91 cm.

    References
    ----------
    [1] Common practice, no source: `DOWN_H`, `LONGER`.
    """
    t = np.asarray(first_principles_h, dtype=np.float64)
    small = t * DOWN_H / FIRST_H
    return np.asarray(np.where(t <= FIRST_H, small, DOWN_H + LONGER * (t - FIRST_H)))[()]


def float_time(first_principles_h: Real, coated: Real = 0.0, own: float = 1.0) -> FloatTime:
    """Float time for people: as practice has it, as a range, with or without inner coating.

    Formula: t from `practice_hours` times the studio's own factor; range t/1.4 to 1.4 t; good
    8/18 t, safe 12/18 t; coated: best 11 t, range 6 t/1.4 to 20 t 1.4, good and safe 6 times.

    Parameters
    ----------
    first_principles_h : float or array (N,), [h]
        From `float_hours`.
    coated : float or array (N,), [-]
        1 with inner coating, 0 without.
    own : float, [-]
        A studio's own hours over those reckoned here, from its notes.

    Returns
    -------
    time : FloatTime
        Hours, shortest, longest, good, safe [h], and the factor on first principles [-].

    Validity
    --------
    Own factor 0.2 to 5; else OutOfRangeError. Coating works only when spread and dry.

    References
    ----------
    [1] Common practice, no source: 28 cm good 8 h, safe 12 h, down about 18 h, 41 cm 24 to 30 h,
        61 cm 48 h, 91 cm 3 to 5 days; coating 6 to 20 times as long.
    """
    c = float(require("own factor", own, "Hours seen over hours calculated.", low=0.2, high=5.0))
    first = np.asarray(first_principles_h, dtype=np.float64)
    t = c * practice_hours(first)
    film = np.asarray(coated) > 0.5
    best = np.where(film, np.sqrt(COATING_LOW * COATING_HIGH), 1.0)
    least = np.where(film, COATING_LOW, 1.0)
    most = np.where(film, COATING_HIGH, 1.0)
    factor = np.divide(best * t, first, out=np.zeros(np.shape(best * t)), where=first > 0)
    return FloatTime(
        hours=np.asarray(best * t)[()],
        shortest_h=np.asarray(least / SPREAD * t)[()],
        longest_h=np.asarray(most * SPREAD * t)[()],
        good_h=np.asarray(least * GOOD_SHARE * t)[()],
        safe_h=np.asarray(least * SAFE_SHARE * t)[()],
        calibration=np.asarray(factor)[()],
    )
