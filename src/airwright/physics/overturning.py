"""Does it stand? Outline of a piece, wind force and moment, ballast, sliding, tipping gust.

gust ->  ___        moment of the wind about the edge:  M = sum q C dA z
        (   )       moment that holds:                  S = sum m g * (edge - centre)
        (___)       factor of safety:                   S/M, asked for: 1.5
         | |
 ________|_|_o edge
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real
from airwright.units import GRAVITY_M_S2

FACTOR_OF_SAFETY = 1.5
"""Against tipping and sliding. Common practice (EN 1990 EQU: 0.9 G against 1.5 Q, memory)."""
FRICTION = 0.3
"""Base plate on a smooth floor; rubber on dry stone reaches 0.6. From memory."""
GUEST_PUSH_N = 25.0
"""Horizontal push of a guest who brushes past, a stated assumption. Somebody who falls against
a piece (200 N and more) topples anything that is not fixed: keep it out of the walkway."""
GUEST_PUSH_HEIGHT_M = 1.0
DOOR_DRAUGHT_M_S = 3.0
"""Draught of an opened door, a stated assumption."""


@dataclass(frozen=True, eq=False)
class Outline:
    """A silhouette in strips: height of each strip [m], its width [m], strip height [m]."""

    height_m: Floats
    width_m: Floats
    strip_m: float

    @property
    def area_m2(self) -> float:
        """Area of the outline [m²], overlaps counted once."""
        return float(self.width_m.sum() * self.strip_m)

    @property
    def centroid_m(self) -> float:
        """Height of the area's centre [m]; 0 for an empty outline."""
        total = float(self.width_m.sum())
        return float((self.height_m * self.width_m).sum() / total) if total > 0 else 0.0


def across_wind(centre_m: Floats, azimuth_rad: float = 0.0) -> Floats:
    """Coordinate of balloons across a wind direction.

    Formula: s = x cos a + y sin a; a = 0 is wind along y (onto the front).

    Parameters
    ----------
    centre_m : array (N, 3), [m]
        Balloon centres, z up.
    azimuth_rad : float, [rad]
        Turn of the wind about z.

    Returns
    -------
    across : array (N,), [m]
        Sideways coordinate as the wind sees it.

    Validity
    --------
    Any. Raises nothing.

    References
    ----------
    [1] Rotation about z.
    """
    return np.asarray(centre_m[:, 0] * np.cos(azimuth_rad) + centre_m[:, 1] * np.sin(azimuth_rad))


def outline(across_m: Floats, height_m: Floats, radius_m: Floats, strips: int = 240) -> Outline:
    """Silhouette of discs, overlaps counted once.

    Formula: in each of `strips` horizontal lines the discs' chords are merged; exact across,
    midpoint rule in height.

    Parameters
    ----------
    across_m : array (N,), [m]
        Disc centres across the wind.
    height_m : array (N,), [m]
        Disc centres above the floor.
    radius_m : array (N,), [m]
        Disc radii.
    strips : int
        Number of lines over the height of the piece.

    Returns
    -------
    outline : Outline
        Heights (strips,), widths (strips,) [m].

    Validity
    --------
    Radii above zero; else OutOfRangeError. No discs: an empty outline. Area within 0.2 % at
    240 strips for a column.

    References
    ----------
    [1] Union of intervals by sorting.
    """
    if len(across_m) == 0:
        return Outline(np.zeros(1), np.zeros(1), 0.0)
    r = require("radius", radius_m, "Inflate first.", low=0.0, above=True, unit="m")
    low, high = float(np.min(height_m - r)), float(np.max(height_m + r))
    step = (high - low) / strips
    lines = low + step * (np.arange(strips) + 0.5)
    # each disc meets only the lines within its radius: list those pairs, not the full grid
    first = np.ceil((height_m - r - low) / step - 0.5).astype(np.int64)
    last = np.floor((height_m + r - low) / step - 0.5).astype(np.int64)
    first, last = np.maximum(first, 0), np.minimum(last, strips - 1)
    counts = np.maximum(last - first + 1, 0)
    disc = np.repeat(np.arange(len(r)), counts)
    start = np.concatenate([[0], np.cumsum(counts)[:-1]])
    line = np.arange(len(disc)) - start[disc] + first[disc]
    half = np.sqrt(np.maximum(r[disc] ** 2 - (lines[line] - height_m[disc]) ** 2, 0.0))
    left, right = across_m[disc] - half, across_m[disc] + half
    return Outline(np.asarray(lines, dtype=np.float64), _merged(line, left, right, strips), step)


def _merged(line: NDArray[np.int64], left: Floats, right: Floats, strips: int) -> Floats:
    """Length of the union of intervals on each line.

    Lines are laid end to end on one axis, far enough apart not to touch, so that a single
    sort and a running maximum merge all of them at once.
    """
    gap = float(right.max() - left.min()) + 1.0
    a, b = left - left.min() + line * gap, right - left.min() + line * gap
    order = np.argsort(a, kind="stable")
    a, b, line = a[order], b[order], line[order]
    reach = np.maximum.accumulate(b)
    before = np.concatenate([[-np.inf], reach[:-1]])
    fresh = np.maximum(reach - np.maximum(a, before), 0.0)
    widths = np.bincount(line, weights=fresh, minlength=strips)
    return np.asarray(widths, dtype=np.float64)


def wind_load(shape: Outline, pressure_pa: Real, coefficient: float) -> tuple[float, float]:
    """Force and overturning moment of the wind on an outline.

    Formula: F = sum q C w dz; M = sum q C w z dz, about the floor.

    Parameters
    ----------
    shape : Outline
        Silhouette across the wind.
    pressure_pa : float or array (strips,), [Pa]
        Velocity pressure, one value or by strip.
    coefficient : float, [-]
        Force coefficient on the outline (1.2 for clustered balloons).

    Returns
    -------
    force : float, [N]
        Along the wind.
    moment : float, [N·m]
        About the floor.

    Validity
    --------
    Pressure and coefficient from zero; else OutOfRangeError.

    References
    ----------
    [1] Statics.
    """
    q = require("velocity pressure", pressure_pa, "From zero.", low=0.0, unit="Pa")
    c = float(require("force coefficient", coefficient, "From zero.", low=0.0))
    strip = q * c * shape.width_m * shape.strip_m
    return float(strip.sum()), float((strip * shape.height_m).sum())


def holding_moment(mass_kg: Real, lever_m: Real) -> Floats:
    """Moment with which masses resist tipping.

    Formula: S = sum m g e, over the last axis.

    Parameters
    ----------
    mass_kg : float or array (k,), [kg]
        Masses; helium lift counts as negative mass.
    lever_m : float or array (k,) or (N, k), [m]
        Distance of each from the tipping edge, or from each of N edges.

    Returns
    -------
    moment : float or array (N,), [N·m]
        Sum over the masses, for each edge.

    Validity
    --------
    Any sign. Raises nothing.

    References
    ----------
    [1] Statics, g 9.80665.
    """
    each = np.atleast_1d(np.asarray(mass_kg) * GRAVITY_M_S2 * np.asarray(lever_m))
    return np.asarray(each.sum(axis=-1))[()]


def ballast_needed(
    moment_nm: Real,
    lever_m: Real,
    factor: float = FACTOR_OF_SAFETY,
    held_nm: Real = 0.0,
) -> Floats:
    """Mass to add on the base so that a piece does not tip.

    Formula: m = max(0, (FS M - S)/(g e)).

    Parameters
    ----------
    moment_nm : float or array (N,), [N·m]
        Overturning moment about the floor.
    lever_m : float or array (N,), [m]
        Distance of the ballast from the tipping edge.
    factor : float, [-]
        Factor of safety.
    held_nm : float or array (N,), [N·m]
        Moment already held by the piece's own weight.

    Returns
    -------
    mass : array (N,), [kg]
        Ballast, zero when it stands without.

    Validity
    --------
    Lever above zero, factor 1 to 10, moment from zero; else OutOfRangeError.

    References
    ----------
    [1] Statics.
    """
    fs = float(require("factor of safety", factor, "1 to 10; 1.5 is usual.", low=1.0, high=10.0))
    e = require("lever", lever_m, "The base must reach past the weight.", low=0.0, above=True)
    m = require("moment", moment_nm, "From zero.", low=0.0)
    return np.asarray(np.maximum((fs * m - np.asarray(held_nm)) / (GRAVITY_M_S2 * e), 0.0))[()]


def footprint_needed(moment_nm: Real, mass_kg: Real, factor: float = FACTOR_OF_SAFETY) -> Floats:
    """Half width of a base that keeps a piece of a mass from tipping.

    Formula: e = FS M/(m g).

    Parameters
    ----------
    moment_nm : float or array (N,), [N·m]
        Overturning moment about the floor.
    mass_kg : float or array (N,), [kg]
        Whole mass, ballast included, centred.
    factor : float, [-]
        Factor of safety.

    Returns
    -------
    lever : array (N,), [m]
        Distance centre to tipping edge.

    Validity
    --------
    Mass above zero, factor 1 to 10; else OutOfRangeError.

    References
    ----------
    [1] Statics.
    """
    fs = float(require("factor of safety", factor, "1 to 10; 1.5 is usual.", low=1.0, high=10.0))
    m = require("mass", mass_kg, "Above zero.", low=0.0, above=True, unit="kg")
    return np.asarray(fs * np.asarray(moment_nm) / (m * GRAVITY_M_S2))[()]


def sliding_ballast(
    force_n: Real,
    own_kg: Real = 0.0,
    friction: float = FRICTION,
    factor: float = FACTOR_OF_SAFETY,
) -> Floats:
    """Mass to add so that a piece does not slide.

    Formula: m = max(0, FS F/(mu g) - own).

    Parameters
    ----------
    force_n : float or array (N,), [N]
        Horizontal force.
    own_kg : float or array (N,), [kg]
        Mass already there, lift subtracted.
    friction : float, [-]
        Friction between base and floor.
    factor : float, [-]
        Factor of safety.

    Returns
    -------
    mass : array (N,), [kg]
        Ballast.

    Validity
    --------
    Friction 0.05 to 1.5, factor 1 to 10; else OutOfRangeError. Wet or icy floors: 0.1.

    References
    ----------
    [1] Coulomb friction; values from memory.
    """
    mu = float(
        require(
            "friction",
            friction,
            "Give 0.3 for a smooth floor, 0.1 for a wet one.",
            low=0.05,
            high=1.5,
        )
    )
    fs = float(require("factor of safety", factor, "1 to 10; 1.5 is usual.", low=1.0, high=10.0))
    f = require("force", force_n, "From zero.", low=0.0)
    return np.asarray(np.maximum(fs * f / (mu * GRAVITY_M_S2) - np.asarray(own_kg), 0.0))[()]


def gust_at_limit(load_per_pascal: Real, resistance: Real) -> Floats:
    """Gust at which a load that grows with velocity pressure meets its resistance.

    Formula: v = sqrt(2 R/(rho L1)), L1 the load at 1 Pa; tipping: moment, sliding: force.

    Parameters
    ----------
    load_per_pascal : float or array (N,), [N·m/Pa or N/Pa]
        Moment (or force) at one pascal of velocity pressure.
    resistance : float or array (N,), [N·m or N]
        Moment (or friction) that holds; negative counts as none.

    Returns
    -------
    speed : array (N,), [m/s]
        At factor one; infinite where the wind finds no area.

    Validity
    --------
    Load from zero; else OutOfRangeError. Air at 1.225 kg/m³, the same q at all heights.

    References
    ----------
    [1] `wind.velocity_pressure` inverted.
    """
    load = require("load", load_per_pascal, "From zero.", low=0.0)
    held = np.maximum(np.asarray(resistance, dtype=np.float64), 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        speed = np.sqrt(2.0 * held / (1.225 * load))
    return np.asarray(np.where(load > 0, speed, np.inf))[()]
