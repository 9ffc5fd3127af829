"""One balloon, or thousands: inflated here, met by another temperature, altitude, sun.

The skin is a Gent membrane that bursts a fifth above the nominal size; the body is the pear
of `shape`. Taking a balloon elsewhere keeps its gas and solves
    n R T = (p_outside + p_skin(d)) V(d)
for the new diameter d, all balloons at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.physics.air import STANDARD_PRESSURE_PA, kelvin
from airwright.physics.errors import NotSolvedError, require
from airwright.physics.gas import GAS_CONSTANT
from airwright.physics.rubber import RUBBER_KG_M3, check_below_burst, gent_invariant, gent_limit
from airwright.physics.shape import (
    TIGHTNESS_MAX,
    TIGHTNESS_MIN,
    pear_area_factor,
    pear_volume_factor,
)
from airwright.physics.types import Floats, Real

SHEAR_MODULUS_PA = 0.337e6
LIMIT_INVARIANT = 97.0
"""Gent constants mu and Jm of balloon rubber: fit of Treloar's EQUIBIAXIAL data of 1944 between
stretch 2.5 and 4.45, where balloons work (within 2 % there; locks at a stretch of 7.1)."""

BURST_OVER_NOMINAL = 1.2
"""Diameter at which the skin is taken to burst, over nominal. Round latex bursts some 10 to
20 % above its nominal size: common practice, no source."""

NECK_SHARE = 0.15
"""Share of the mass in neck and lip, which the gas does not stretch. From memory."""

PRESSURE_DOUBT = 0.3
"""Relative doubt of the excess pressure: rubber, flat width and neck share are remembered."""

TOLERANCE = 1e-10
"""Relative residual of the gas law below which a balance counts as solved."""


@dataclass(frozen=True, eq=False)
class Skin:
    """Uninflated balloons: nominal diameter [m], mass [kg], flat width [m]; arrays (N,)."""

    nominal_m: Floats
    mass_kg: Floats
    flat_width_m: Floats

    @property
    def slack_radius_m(self) -> Floats:
        """Radius at rest [m]: half the flat circumference 2 w over pi."""
        return np.asarray(self.flat_width_m / np.pi)

    @property
    def slack_wall_m(self) -> Floats:
        """Wall at rest [m]: body mass over density and slack surface."""
        body = self.mass_kg * (1.0 - NECK_SHARE) / RUBBER_KG_M3
        return np.asarray(body / (4.0 * np.pi * self.slack_radius_m**2))

    @property
    def burst_m(self) -> Floats:
        """Diameter [m] at which the skin is taken to burst."""
        return np.asarray(BURST_OVER_NOMINAL * self.nominal_m)

    @property
    def limit_invariant(self) -> Floats:
        """Jm [-]: the rubber's, raised where the sold size stretches it further than that."""
        at_burst = gent_invariant(self.burst_m / (2.0 * self.slack_radius_m))
        return np.asarray(np.maximum(LIMIT_INVARIANT, at_burst))

    @property
    def lock_m(self) -> Floats:
        """Diameter [m] at which the model's skin locks, at or beyond bursting."""
        return np.asarray(2.0 * self.slack_radius_m * gent_limit(self.limit_invariant))


@dataclass(frozen=True, eq=False)
class Inflated:
    """Balloons in one state; arrays (N,). `residual` is the gas law's relative error."""

    diameter_m: Floats
    stretch: Floats
    film_m: Floats
    excess_pa: Floats
    volume_m3: Floats
    area_m2: Floats
    gas_mol: Floats
    margin: Floats
    burst_share: Floats
    residual: Floats


def skin(nominal_m: Real, mass_kg: Real, flat_width_m: Real) -> Skin:
    """Describe uninflated balloons, refusing impossible ones.

    Formula: none; R0 = w/pi, H0 = m (1 - neck share)/(rho 4 pi R0^2) follow.

    Parameters
    ----------
    nominal_m : float or array (N,), [m]
        Nominal (full) diameter.
    mass_kg : float or array (N,), [kg]
        Mass of one balloon.
    flat_width_m : float or array (N,), [m]
        Width of the uninflated balloon lying flat.

    Returns
    -------
    skin : Skin
        The three, broadcast to one shape.

    Validity
    --------
    Nominal 4 cm to 3 m, mass 0.1 g to 5 kg and 5 to 500 g per square
    metre of nominal size, flat width between a tenth and half of the
    nominal diameter; else OutOfRangeError.

    References
    ----------
    [1] Geometry; density and neck share from memory.
    """
    nominal = require(
        "nominal balloon size",
        nominal_m,
        "Give the size printed on the bag, 2 in to 10 ft.",
        low=0.04,
        high=3.1,
        unit="m",
    )
    mass = require(
        "mass of one balloon",
        mass_kg,
        "Weigh ten on a letter scale and divide by ten.",
        low=1e-4,
        high=5.0,
        unit="kg",
        code="physics.balloon-mass",
    )
    require(
        "mass over size squared",
        mass / nominal**2,
        "That is no balloon's weight for this size; check grams, ounces and kilograms.",
        low=0.005,
        high=0.5,
        unit="kg/m²",
        code="physics.balloon-mass",
    )
    width = require(
        "flat width of the uninflated balloon",
        flat_width_m,
        "Lay it flat and measure across its widest part.",
        low=0.0,
        above=True,
        unit="m",
    )
    require(
        "flat width over nominal size",
        width / nominal,
        "A round balloon lies flat at about a quarter of its nominal size; check the units.",
        low=0.1,
        high=0.5,
    )
    nominal, mass, width = np.broadcast_arrays(nominal, mass, width)
    return Skin(nominal, mass, width)


def inflate(
    balloon: Skin,
    diameter_m: Real,
    temperature_c: Real = 20.0,
    ambient_pa: Real = STANDARD_PRESSURE_PA,
) -> Inflated:
    """State of balloons blown up to a diameter here.

    Formula: L = d/(2 R0), h = m_body/(rho A), p = (H0/R0) f(L), V and A from the pear,
    n = (p0 + p) V/(R T), margin = 1 - d/nominal.

    Parameters
    ----------
    balloon : Skin
        Uninflated balloons.
    diameter_m : float or array (N,), [m]
        Widest diameter to inflate to.
    temperature_c : float or array (N,), [°C]
        Temperature of the gas.
    ambient_pa : float or array (N,), [Pa]
        Absolute pressure of the air around.

    Returns
    -------
    state : Inflated
        Diameter [m], stretch [-], film [m], excess pressure [Pa], volume [m³], area [m²],
        gas [mol], margin [-], share of the bursting diameter [-].

    Validity
    --------
    From 1.3 times the slack diameter (below it the neck is not even round: code
    physics.below-neck) to below the bursting diameter (code physics.bursts); -60 to 80 °C;
    else OutOfRangeError. Pressure ±30 % (rubber and flat width from memory).

    References
    ----------
    [1] `rubber`, `shape`.
    """
    d = np.asarray(diameter_m, dtype=np.float64)
    slack = 2.0 * balloon.slack_radius_m
    require("inflated diameter", d, "Give a diameter above zero.", low=0.0, above=True, unit="m")
    require(
        "inflated over slack diameter",
        d / slack,
        "That is smaller than the balloon before it fills out; inflate larger.",
        low=1.3,
        code="physics.below-neck",
    )
    check_below_burst(d, balloon.burst_m)
    _require_ambient(ambient_pa)
    return _state(balloon, d, kelvin(temperature_c), np.asarray(ambient_pa, dtype=np.float64))


def _require_ambient(ambient_pa: Real) -> None:
    require(
        "air pressure",
        ambient_pa,
        "Give the absolute air pressure; 101 325 Pa at sea level.",
        low=30_000.0,
        high=110_000.0,
        unit="Pa",
    )


def _state(balloon: Skin, d: Floats, kelvins: Floats, ambient: Floats) -> Inflated:
    stretch = d / (2.0 * balloon.slack_radius_m)
    excess = _excess(balloon, d)
    volume, area = _volume(balloon, d), _area(balloon, d)
    body = balloon.mass_kg * (1.0 - NECK_SHARE) / RUBBER_KG_M3
    gas = (ambient + excess) * volume / (GAS_CONSTANT * kelvins)
    arrays = (
        d,
        stretch,
        body / area,
        excess,
        volume,
        area,
        gas,
        1.0 - d / balloon.nominal_m,
        d / balloon.burst_m,
        np.zeros_like(gas),
    )
    return Inflated(*(np.asarray(a)[()] for a in np.broadcast_arrays(*arrays)))


def _tightness(balloon: Skin, d: Floats) -> Floats:
    return np.clip(d / balloon.nominal_m, TIGHTNESS_MIN, TIGHTNESS_MAX)


def _volume(balloon: Skin, d: Floats) -> Floats:
    return np.asarray(pear_volume_factor(_tightness(balloon, d)) * (d / 2.0) ** 3)


def _area(balloon: Skin, d: Floats) -> Floats:
    return np.asarray(pear_area_factor(_tightness(balloon, d)) * (d / 2.0) ** 2)


def _excess(balloon: Skin, d: Floats) -> Floats:
    """Gent pressure p = (H0/R0) 2 mu (1/L - 1/L^7) Jm/(Jm - 2 L^2 - L^-4 + 3)."""
    radius = balloon.slack_radius_m
    x = d / (2.0 * radius)
    limit = balloon.limit_invariant
    room = limit - (2.0 * x**2 + x**-4 - 3.0)
    curve = 2.0 * SHEAR_MODULUS_PA * (x**-1 - x**-7) * limit / room
    return np.asarray(balloon.slack_wall_m / radius * curve)


def carry(
    balloon: Skin,
    state: Inflated,
    gas_temperature_c: Real,
    ambient_pa: Real = STANDARD_PRESSURE_PA,
) -> Inflated:
    """State of the same tied balloons at another temperature and air pressure.

    Formula: n R T = (p0 + p(d)) V(d), solved for d by guarded Newton steps.

    Parameters
    ----------
    balloon : Skin
        Uninflated balloons.
    state : Inflated
        As tied; its gas is kept.
    gas_temperature_c : float or array (N,), [°C]
        Temperature of the gas there (in sun: `sun.gas_temperature`).
    ambient_pa : float or array (N,), [Pa]
        Absolute air pressure there.

    Returns
    -------
    state : Inflated
        As in `inflate`, with the residual of the gas law.

    Validity
    --------
    -60 to 80 °C, 30 to 110 kPa; else OutOfRangeError; NotSolvedError when the residual
    stays above 1e-10. A burst share of 1 or more: expect
    it to burst; nothing is raised, so that one balloon does not hide the others.

    References
    ----------
    [1] Ideal gas law (Z of helium 1.0005 here); `rubber`.
    """
    _require_ambient(ambient_pa)
    kelvins = kelvin(gas_temperature_c)
    ambient = np.asarray(ambient_pa, dtype=np.float64)
    wanted = np.asarray(state.gas_mol * GAS_CONSTANT * kelvins)
    d, residual = _solve_diameter(balloon, wanted, ambient, state.diameter_m)
    there = _state(balloon, d, kelvins, ambient)
    return Inflated(**{**vars(there), "residual": residual})


def _solve_diameter(
    balloon: Skin, wanted_j: Floats, ambient: Floats, start: Floats
) -> tuple[Floats, Floats]:
    """Diameter at which (p0 + p) V = wanted; the left side rises with d, so a bracket holds."""
    shape = np.broadcast_shapes(np.shape(wanted_j), np.shape(ambient), np.shape(start))
    shape = np.broadcast_shapes(shape, balloon.nominal_m.shape)
    low = np.broadcast_to(2.0 * balloon.slack_radius_m * 1.02, shape).copy()
    high = np.broadcast_to(balloon.lock_m * (1.0 - 1e-9), shape).copy()
    d = np.clip(np.broadcast_to(start, shape), low, high)
    target = np.log(wanted_j)

    def miss(x: Floats) -> Floats:
        return np.asarray(np.log((ambient + _excess(balloon, x)) * _volume(balloon, x)) - target)

    error = miss(d)
    for _ in range(60):
        if np.all(np.abs(error) < TOLERANCE):
            break
        high = np.where(error > 0, d, high)
        low = np.where(error > 0, low, d)
        step = 1e-6 * d
        slope = (miss(d + np.where(d + step < high, step, -step)) - error) / np.where(
            d + step < high, step, -step
        )
        newton = d - error / slope
        inside = (newton > low) & (newton < high)
        d = np.where(inside, newton, 0.5 * (low + high))
        error = miss(d)
    if not np.all(np.abs(error) < TOLERANCE):
        row = int(np.argmax(np.abs(error)))
        raise NotSolvedError(
            "balance of gas and skin",
            float(np.ravel(error)[row]),
            "No diameter carries this gas there: it bursts or shrinks to its slack size.",
            index=row if error.ndim else None,
        )
    return d, error


def diameter_for_margin(
    balloon: Skin,
    margin: Real,
    temperature_c: Real,
    ambient_pa: Real,
    worst_gas_c: Real,
    worst_ambient_pa: Real,
) -> Floats:
    """Diameter to inflate to here so that a margin is left at the worst there.

    Formula: d_there = (1 - margin) nominal; its gas, brought back here, gives d_here.

    Parameters
    ----------
    balloon : Skin
        Uninflated balloons.
    margin : float or array (N,), [-]
        1 - d/nominal to be left (0.05 leaves five per cent).
    temperature_c : float or array (N,), [°C]
        Gas temperature in the workshop.
    ambient_pa : float or array (N,), [Pa]
        Absolute air pressure in the workshop.
    worst_gas_c : float or array (N,), [°C]
        Warmest gas temperature they will meet.
    worst_ambient_pa : float or array (N,), [Pa]
        Lowest absolute air pressure they will meet.

    Returns
    -------
    diameter : array (N,), [m]
        Largest diameter here, never above (1 - margin) nominal.

    Validity
    --------
    Margin -0.1 to 0.6 (negative: above nominal); else OutOfRangeError.

    References
    ----------
    [1] `inflate`, `carry`.
    """
    left = require(
        "margin",
        margin,
        "Give the margin as a share: 0.05 for five per cent.",
        low=-0.1,
        high=0.6,
    )
    most = np.asarray((1.0 - left) * balloon.nominal_m)
    there = inflate(balloon, most, worst_gas_c, worst_ambient_pa)
    here = carry(balloon, there, temperature_c, ambient_pa)
    return np.asarray(np.minimum(here.diameter_m, most))[()]


def template_hole(diameter_m: Real, temperature_c: Real = 20.0, gas_warmer_k: Real = 0.0) -> Floats:
    """Hole of a sizing template for balloons that shall measure a diameter.

    Formula: hole = d ((T + dT)/T)^(1/3): gas still warm from an inflator will shrink.

    Parameters
    ----------
    diameter_m : float or array (N,), [m]
        Diameter wanted once the gas has the room's temperature.
    temperature_c : float or array (N,), [°C]
        Room temperature.
    gas_warmer_k : float or array (N,), [K]
        Gas above room temperature when measured (an electric blower 0 to 15 K).

    Returns
    -------
    hole : array (N,), [m]
        Diameter of the hole through which the balloon just passes.

    Validity
    --------
    Diameter above zero, gas 0 to 40 K warmer; else OutOfRangeError. The skin's pressure is
    left out (0.1 % of the diameter).

    References
    ----------
    [1] Ideal gas law at constant pressure.
    """
    d = require("diameter", diameter_m, "Give a diameter above zero.", low=0.0, above=True)
    warm = require("warmth of the gas", gas_warmer_k, "0 to 40 K.", low=0.0, high=40.0, unit="K")
    t = kelvin(temperature_c)
    return np.asarray(d * ((t + warm) / t) ** (1.0 / 3.0))[()]
