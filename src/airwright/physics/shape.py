"""The outline of an inflated balloon: one profile for volume, weight and pictures.

A tied latex balloon is drawn as a solid of revolution:

      rho
       1 |        .-----.
         |     .'         `.
         |   .'             \\
         |__/                |
    -----=o------------------+---- z (neck on the left, crown on the right)
         lip knot   z=0      crown

The body is the teardrop curve  z = -cos t, rho = sin t * sin(t/2)^m,  which is a sphere at
m = 0 and grows a drawn-out neck as m rises. All lengths are in units of the equatorial
radius R, so that one profile serves every size.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real

TIGHTNESS_MIN = 0.2
TIGHTNESS_MAX = 1.2
USUAL_TIGHTNESS = 0.88
"""Inflated over nominal diameter at which decorators mostly work (11 in at 9.5 to 10 in)."""

FULL_EXPONENT = 0.62
"""m of a balloon at its nominal diameter: body 1.19 times as high as wide. From memory."""
EXPONENT_POWER = 4.0
"""How fast the pear appears with tightness (m = 0.62 t^4): 0.37 at 0.88, 0.04 at 0.5."""

KNOT_RADIUS = 0.055
"""Radius of knot and lip in units of R: 8 mm on an 11 in balloon. From memory."""

_TABLE_POINTS = 600


@dataclass(frozen=True, eq=False)
class Profile:
    """A solid of revolution in units of its equatorial radius.

    `z (n,)` rises along the axis, the widest circle at z = 0; `rho (n,)` is the distance
    from the axis, at most 1. Arrays are read-only.
    """

    z: Floats
    rho: Floats
    family: str

    def __post_init__(self) -> None:
        self.z.setflags(write=False)
        self.rho.setflags(write=False)


@dataclass(frozen=True, eq=False)
class PearProfile(Profile):
    """A tied latex balloon: z from the lip (negative) to the crown (positive).

    `exponent` is m of the body curve, `body_start` the index of the first point that
    belongs to the gas-filled body (before it come lip and knot), `knot_z` the knot's height.
    """

    exponent: float
    tightness: float
    body_start: int
    knot_z: float


def pear_exponent(tightness: Real) -> Floats:
    """Exponent m of the body curve at a degree of inflation.

    Formula: m = 0.62 t^4, from a round, soft balloon to a tight pear.

    Parameters
    ----------
    tightness : float or array (N,), [-]
        Inflated diameter over nominal diameter.

    Returns
    -------
    exponent : array (N,), [-]
        m of rho = sin t sin(t/2)^m.

    Validity
    --------
    0.2 <= tightness <= 1.2; else OutOfRangeError. An estimate of proportions from memory;
    a studio that measures a balloon uses `pear_exponent_from_height`.

    References
    ----------
    [1] Own fit to remembered proportions (body 1.05 high at 70 %, 1.19 high at 100 %).
    """
    t = require(
        "tightness",
        tightness,
        "Inflate to between a fifth and six fifths of the nominal size.",
        low=TIGHTNESS_MIN,
        high=TIGHTNESS_MAX,
        code="physics.tightness",
    )
    return np.asarray(FULL_EXPONENT * t**EXPONENT_POWER)[()]


def equator_radius(exponent: Real) -> Floats:
    """Largest rho of the unscaled teardrop curve, whose height is 2.

    Formula: rho0 = 2 sqrt(s0^(m+1) (1 - s0)), s0 = (m+1)/(m+2).

    Parameters
    ----------
    exponent : float or array (N,), [-]
        m of the body curve.

    Returns
    -------
    radius : array (N,), [-]
        Equatorial radius; the body is 1/radius times as high as wide.

    Validity
    --------
    0 <= exponent <= 2 (above 1 the neck end is a cusp); else OutOfRangeError.

    References
    ----------
    [1] Derivative of the teardrop curve set to zero: cos t = -m/(m+2).
    """
    m = require("exponent", exponent, "Use a body exponent from 0 to 2.", low=0.0, high=2.0)
    s = (m + 1.0) / (m + 2.0)
    return np.asarray(2.0 * np.sqrt(s ** (m + 1.0) * (1.0 - s)))[()]


def pear_profile(points: int = 48, tightness: float | None = None) -> PearProfile:
    """Outline of a tied latex balloon at a degree of inflation.

    Formula: body z = -cos t, rho = sin t sin(t/2)^m, scaled to rho max = 1 at z = 0; below
    it a neck, a knot and a flared lip.

    Parameters
    ----------
    points : int
        Number of points n, lip to crown.
    tightness : float or None, [-]
        Inflated over nominal diameter; None takes the usual 0.88.

    Returns
    -------
    profile : PearProfile
        `z (n,)` and `rho (n,)` [-], z increasing, in units of the equatorial radius.

    Validity
    --------
    0.2 <= tightness <= 1.2 and 24 <= points <= 10 000; else OutOfRangeError.

    References
    ----------
    [1] Teardrop curve: closed form volume 8 pi/((m+2)(m+3)) at height 2.
    [2] Neck, knot and lip: own drawing, sizes from memory.
    """
    require("points", float(points), "Ask for 24 to 10 000 points.", low=24, high=10_000)
    t = USUAL_TIGHTNESS if tightness is None else float(tightness)
    pear_exponent(t)
    return _pear(points, t)


@lru_cache(maxsize=256)
def _pear(points: int, tightness: float) -> PearProfile:
    m = float(pear_exponent(tightness))
    neck_points = max(9, points // 4)
    radius = float(equator_radius(m))
    equator = -m / (m + 2.0)  # cos t of the widest circle
    join_t, join_z = _neck_join(m, radius, equator)
    body_z, body_rho = _body(m, radius, equator, join_t, points - neck_points)
    neck_z, neck_rho, knot_z = _neck(join_z, float(body_rho[0]), _slope(body_z, body_rho))
    neck = np.linspace(0.0, 1.0, neck_points, endpoint=False)
    fine = np.linspace(0.0, 1.0, neck_z.size)
    return PearProfile(
        z=np.concatenate([np.interp(neck, fine, neck_z), body_z]),
        rho=np.concatenate([np.interp(neck, fine, neck_rho), body_rho]),
        family="pear",
        exponent=m,
        tightness=tightness,
        body_start=neck_points,
        knot_z=knot_z,
    )


NECK_RADIUS = 1.75 * KNOT_RADIUS
"""Where the body's curve hands over to the drawn neck."""


def _neck_join(m: float, radius: float, equator: float) -> tuple[float, float]:
    """Parameter and height at which the body is NECK_RADIUS wide (bisection)."""
    low, high = 0.0, float(np.arccos(equator))
    for _ in range(60):
        middle = 0.5 * (low + high)
        if np.sin(middle) * np.sin(middle / 2.0) ** m / radius < NECK_RADIUS:
            low = middle
        else:
            high = middle
    t = 0.5 * (low + high)
    return t, float((equator - np.cos(t)) / radius)


def _body(
    m: float, radius: float, equator: float, start: float, count: int
) -> tuple[Floats, Floats]:
    # Two even runs that meet at the equator, so that rho = 1 at z = 0 is itself a point.
    widest = float(np.arccos(equator))
    lower = max(3, round(count * (widest - start) / (np.pi - start)))
    t = np.concatenate(
        [
            np.linspace(start, widest, lower, endpoint=False),
            np.linspace(widest, np.pi, count - lower),
        ]
    )
    z = (equator - np.cos(t)) / radius
    rho = np.sin(t) * np.sin(t / 2.0) ** m / radius
    z[lower], rho[lower], rho[-1] = 0.0, 1.0, 0.0
    return z, rho


def _slope(z: Floats, rho: Floats) -> float:
    return float((rho[1] - rho[0]) / (z[1] - z[0]))


def _neck(join_z: float, join_rho: float, slope: float) -> tuple[Floats, Floats, float]:
    """Lip, knot and neck as smooth steps between named circles, lip first.

    A nearly spherical body meets the neck at a steep angle; the first length is chosen from
    the slope so that the hand-over has no visible kink.
    """
    k = KNOT_RADIUS
    fillet = float(np.clip((join_rho - 0.72 * k) / max(slope, 0.3) * 1.5, 0.6 * k, 2.2 * k))
    # circles from the body downwards: (drop in units of R, radius)
    drops = np.array([0.0, fillet, 0.9 * k, 0.9 * k, 0.4 * k, 1.1 * k, 0.3 * k])
    radii = np.array([join_rho, 0.72 * k, 1.3 * k, 0.6 * k, 0.6 * k, 1.25 * k, 1.0 * k])
    heights = join_z - np.cumsum(drops)
    z: list[Floats] = []
    rho: list[Floats] = []
    for upper in range(len(radii) - 1):
        u = np.linspace(0.0, 1.0, 24, endpoint=False)
        z.append(heights[upper] + (heights[upper + 1] - heights[upper]) * u)
        start_slope = -slope * (heights[upper] - heights[upper + 1]) if upper == 0 else 0.0
        rho.append(_hermite(radii[upper], radii[upper + 1], start_slope, u))
    z.append(heights[-1:])
    rho.append(radii[-1:])
    return np.concatenate(z)[::-1].copy(), np.concatenate(rho)[::-1].copy(), float(heights[2])


def _hermite(start: float, end: float, start_slope: float, u: Floats) -> Floats:
    """Cubic from `start` (with a slope) to `end` (flat)."""
    rise = u * u * (3.0 - 2.0 * u)
    return np.asarray(start + (end - start) * rise + start_slope * u * (1.0 - u) ** 2)


def volume_factor(profile: Profile) -> float:
    """Volume of a profile over the cube of its equatorial radius.

    Formula: V/R^3 = pi sum (z2 - z1) (rho1^2 + rho1 rho2 + rho2^2)/3 over its frusta.

    Parameters
    ----------
    profile : Profile
        Points lip to crown, in units of R.

    Returns
    -------
    factor : float, [-]
        V/R^3; 4 pi/3 = 4.18879 for a sphere.

    Validity
    --------
    Exact for the drawn frusta; a 48-point pear is 0.3 % below the smooth one, a 600-point
    pear below 2e-5. Raises nothing.

    References
    ----------
    [1] Volume of a conical frustum.
    """
    z, rho = profile.z, profile.rho
    discs = rho[:-1] ** 2 + rho[:-1] * rho[1:] + rho[1:] ** 2
    return float(np.pi / 3.0 * np.sum(np.diff(z) * discs))


def area_factor(profile: Profile) -> float:
    """Surface of a profile over the square of its equatorial radius.

    Formula: A/R^2 = pi sum (rho1 + rho2) sqrt((z2 - z1)^2 + (rho2 - rho1)^2).

    Parameters
    ----------
    profile : Profile
        Points lip to crown, in units of R.

    Returns
    -------
    factor : float, [-]
        A/R^2; 4 pi = 12.5664 for a sphere. Open ends (the lip) carry no lid.

    Validity
    --------
    Exact for the drawn frusta. Raises nothing.

    References
    ----------
    [1] Lateral area of a conical frustum.
    """
    z, rho = profile.z, profile.rho
    slant = np.hypot(np.diff(z), np.diff(rho))
    return float(np.pi * np.sum((rho[:-1] + rho[1:]) * slant))


def height_over_diameter(profile: Profile) -> float:
    """Whole height of a profile, lip to crown, over its widest diameter.

    Formula: (z_last - z_first)/(2 max rho).

    Parameters
    ----------
    profile : Profile
        Points lip to crown, in units of R.

    Returns
    -------
    ratio : float, [-]
        1 for a sphere.

    Validity
    --------
    Any profile. Raises nothing.

    References
    ----------
    [1] Definition.
    """
    return float((profile.z[-1] - profile.z[0]) / (2.0 * profile.rho.max()))


@lru_cache(maxsize=1)
def _factor_table() -> tuple[Floats, Floats, Floats]:
    tightness = np.linspace(TIGHTNESS_MIN, TIGHTNESS_MAX, 41)
    profiles = [pear_profile(_TABLE_POINTS, float(t)) for t in tightness]
    volumes = np.array([volume_factor(p) for p in profiles])
    areas = np.array([area_factor(p) for p in profiles])
    return tightness, volumes, areas


def pear_volume_factor(tightness: Real) -> Floats:
    """Volume over cubed equatorial radius for many balloons at once.

    Formula: `volume_factor` of the pear at 41 degrees of inflation, linear between them.

    Parameters
    ----------
    tightness : float or array (N,), [-]
        Inflated over nominal diameter.

    Returns
    -------
    factor : array (N,), [-]
        V/R^3.

    Validity
    --------
    0.2 <= tightness <= 1.2, held at the ends outside; interpolation below 1e-4 relative.

    References
    ----------
    [1] `pear_profile`, `volume_factor`: the profile that the pictures draw.
    """
    nodes, volumes, _ = _factor_table()
    return np.asarray(np.interp(np.asarray(tightness, dtype=np.float64), nodes, volumes))[()]


def pear_area_factor(tightness: Real) -> Floats:
    """Surface over squared equatorial radius for many balloons at once.

    Formula: `area_factor` of the pear at 41 degrees of inflation, linear between them.

    Parameters
    ----------
    tightness : float or array (N,), [-]
        Inflated over nominal diameter.

    Returns
    -------
    factor : array (N,), [-]
        A/R^2.

    Validity
    --------
    0.2 <= tightness <= 1.2, held at the ends outside; interpolation below 1e-4 relative.

    References
    ----------
    [1] `pear_profile`, `area_factor`: the profile that the pictures draw.
    """
    nodes, _, areas = _factor_table()
    return np.asarray(np.interp(np.asarray(tightness, dtype=np.float64), nodes, areas))[()]
