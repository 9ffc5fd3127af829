"""The outline a balloon shows: its own silhouette, cut where a neighbour presses against it.

Two soft balloons that overlap as spheres press on a common patch. It lies in the plane in
which the two spheres meet, and this plane parts them cleanly, so whoever is nearer to the
viewer is drawn last and only its outline has to be cut:

         viewer
           |             the near balloon ends at the contact circle,
        .--+--.          which is seen as half an ellipse; the far one
      .'  near '.        is simply painted before it
      |     ____|___
       '.  / contact '.
         '-._________.'  far

Outlines are kept as distances from the centre in fixed directions, because cutting is then
just a minimum.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from airwright.decor.assembly import Floats, Ints
from airwright.physics.shape import (
    TIGHTNESS_MAX,
    TIGHTNESS_MIN,
    PearProfile,
    Profile,
    pear_profile,
)

DIRECTIONS = 40
"""Directions in which an outline is kept; curves between them are off by less than 0.1 %."""

_TANGENTS = 144
_TILT_STEPS = 64
SHALLOWEST_CUT = 0.25
"""A cut nearer to the centre than this share of the radius is no contact but a wrong overlap."""


@lru_cache(maxsize=128)
def pear(tightness: float) -> PearProfile:
    """Pear at a degree of inflation, clipped to what physics can draw."""
    return pear_profile(48, min(max(tightness, TIGHTNESS_MIN), TIGHTNESS_MAX))


def body_of(profile: Profile) -> tuple[Floats, Floats]:
    """The part of a profile that is convex: all of it but neck, knot and lip."""
    start = profile.body_start if isinstance(profile, PearProfile) else 0
    return profile.z[start:], profile.rho[start:]


def silhouette(z: Floats, rho: Floats, tilt: float) -> Floats:
    """Distances (DIRECTIONS,) from the centre to the outline of a convex solid of revolution.

    `tilt` is the share of the axis that points along the view (0: seen from the side). The
    first direction is that of the axis on the picture; the others follow anticlockwise. In
    units of the profile.

    The outline is the envelope of its tangents: each tangent is as far out as the
    outermost of the solid's circles, which are seen as ellipses.
    """
    side = np.sqrt(max(0.0, 1.0 - tilt * tilt))
    angle = np.arange(_TANGENTS) * (2.0 * np.pi / _TANGENTS)
    c, s = np.cos(angle), np.sin(angle)
    reach = np.max(
        side * c[:, None] * z[None, :] + rho[None, :] * np.sqrt(s * s + (tilt * c) ** 2)[:, None],
        axis=1,
    )
    way = np.arange(DIRECTIONS) * (2.0 * np.pi / DIRECTIONS)
    facing = np.cos(way[:, None] - angle[None, :])
    with np.errstate(divide="ignore"):
        hit = np.where(facing > 1e-3, reach[None, :] / np.maximum(facing, 1e-3), np.inf)
    return np.asarray(hit.min(axis=1))


@lru_cache(maxsize=1024)
def _pear_silhouette(tightness: float, tilt_step: int) -> Floats:
    z, rho = body_of(pear(tightness))
    found = silhouette(z, rho, tilt_step / _TILT_STEPS)
    found.setflags(write=False)
    return found


def pear_outlines(tightness: Floats, radius: Floats, axis: Floats) -> tuple[Floats, Floats]:
    """Uncut outlines of many pears.

    Args:
        tightness: (N,) inflated over nominal diameter [-].
        radius: (N,) [m].
        axis: (N, 3) neck to crown as (right, up, away).

    Returns:
        angles (N, DIRECTIONS) [rad, anticlockwise from the right] and distances
        (N, DIRECTIONS) [m].
    """
    first = np.where(
        np.hypot(axis[:, 0], axis[:, 1]) > 1e-9, np.arctan2(axis[:, 1], axis[:, 0]), np.pi / 2
    )
    way = np.arange(DIRECTIONS) * (2.0 * np.pi / DIRECTIONS)
    steps = np.rint(np.abs(axis[:, 2]) * _TILT_STEPS).astype(int)
    unit = [
        _pear_silhouette(round(float(t), 3), int(k)) for t, k in zip(tightness, steps, strict=True)
    ]
    table = np.stack(unit) if unit else np.zeros((0, DIRECTIONS))
    return first[:, None] + way[None, :], table * radius[:, None]


def contact(centre: Floats, radius: Floats, pairs: Ints) -> tuple[Floats, Floats, Floats]:
    """Where pairs press together.

    Args:
        centre: (N, 3) as (right, up, away) [m].
        radius: (N,) [m].
        pairs: (P, 2) rows i, j.

    Returns:
        gap (P,) distance of the centres [m]; normal (P, 3) from i to j; reach (P,) distance
        from the centre of i to the plane in which both spheres meet [m].
    """
    i, j = pairs[:, 0], pairs[:, 1]
    between = centre[j] - centre[i]
    gap = np.linalg.norm(between, axis=1)
    safe = np.maximum(gap, 1e-9)
    reach = (gap**2 + radius[i] ** 2 - radius[j] ** 2) / (2.0 * safe)
    return gap, between / safe[:, None], reach


def cut_distances(
    angles: Floats, radius: Floats, gap: Floats, normal: Floats, reach: Floats
) -> Floats:
    """How far the outline may reach in each direction, given one contact a row.

    Args:
        angles: (P, T) directions of the near balloon's outline [rad].
        radius: (P,) of the near balloon [m].
        gap: (P,) distance of the centres [m].
        normal: (P, 3) towards the far balloon, away component >= 0.
        reach: (P,) centre to contact plane [m].

    Returns:
        distances (P, T) [m], inf where the contact does not show.
    """
    away = np.clip(normal[:, 2], 0.002, 0.999)[:, None]
    across = np.sqrt(1.0 - away**2)
    d, r = reach[:, None], radius[:, None]
    half = np.sqrt(np.maximum(r**2 - d**2, 0.0))
    turn = angles - np.arctan2(normal[:, 1], normal[:, 0])[:, None]
    c, s = np.cos(turn), np.sin(turn)
    # ray t (c, s) against the ellipse  ((x - d across)/(half away))^2 + (y/half)^2 = 1
    flat = half * away
    a = (c / flat) ** 2 + (s / half) ** 2
    b = c * d * across / flat**2
    q = b**2 - a * ((d * across / flat) ** 2 - 1.0)
    hit = (b + np.sqrt(np.maximum(q, 0.0))) / a
    patch = (c > d / (r * across)) & (q >= 0.0) & (half > 1e-6)
    # Beyond the ball's own edge a pear's neck end sticks out; it nestles against the other
    # ball's outline, a circle through the two ends of the patch.
    away_2d, edge = gap[:, None] * across, d / across
    other = (away_2d - edge) ** 2 + np.maximum(r**2 - edge**2, 0.0)
    inner = other - (away_2d * s) ** 2
    entry = away_2d * c - np.sqrt(np.maximum(inner, 0.0))
    nestles = (inner > 0.0) & (c > 0.0) & (entry >= 0.98 * r)
    return np.where(patch, hit, np.where(nestles, entry, np.inf))


def cut_outlines(
    angles: Floats, distances: Floats, centre: Floats, radius: Floats, pairs: Ints
) -> tuple[Floats, Ints]:
    """Outlines cut at every contact with a neighbour farther from the viewer.

    Args:
        angles, distances: (N, T) uncut outlines.
        centre: (N, 3) as (right, up, away) [m].
        radius: (N,) [m].
        pairs: (P, 2) rows that overlap as spheres, the nearer (painted later) first.

    Returns:
        distances (N, T), and (N, T) which pair cut there, -1 where none did.
    """
    found = distances.copy()
    cutter = np.full(found.shape, -1, dtype=np.int32)
    if len(pairs) == 0:
        return found, cutter
    gap, normal, reach = contact(centre, radius, pairs)
    near = pairs[:, 0]
    use = np.flatnonzero(
        (reach > SHALLOWEST_CUT * radius[near])
        & (reach < radius[near] * np.sqrt(np.maximum(1.0 - normal[:, 2] ** 2, 0.0)))
    )
    if len(use) == 0:
        return found, cutter
    limit = cut_distances(angles[near[use]], radius[near[use]], gap[use], normal[use], reach[use])
    for row, pair in enumerate(use):
        i = near[pair]
        shorter = limit[row] < found[i]
        found[i, shorter] = limit[row, shorter]
        cutter[i, shorter] = pair
    return found, cutter
