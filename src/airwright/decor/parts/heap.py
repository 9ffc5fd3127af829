"""Loose heaps: balloons poured into a bag, packed at random and no denser than they fall.

Random loose packing of equal spheres fills 0.55 to 0.56 of the room, random close packing 0.64;
balloons poured into a net and not shaken down lie loosely.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats, Residual

LOOSE = 0.555
"""Share of its room that a loosely poured heap fills (random loose packing, 0.55 to 0.56)."""

BULGE = 1.03
"""How far balloons bulge through the meshes: the heap's radius over the net's."""

MOST_ROUNDS = 2000
CLOSE_ENOUGH = 0.03  # overlap left, of the sum of radii: soft balloons press each other flat
_SEARCH_EVERY = 6
_SKIN = 0.15  # of the largest radius


def capsule_volume(length_m: float, across_m: float) -> float:
    """Room in a round-ended bag [m³]: a cylinder with half a ball at both ends.

    Args:
        length_m: end to end [m].
        across_m: diameter [m].
    """
    radius = across_m / 2
    straight = max(length_m - across_m, 0.0)
    return float(np.pi * radius**2 * straight + 4 / 3 * np.pi * radius**3)


def pour(radius: Floats, length_m: float, across_m: float, seed: int) -> tuple[Floats, Residual]:
    """Balloons at random in a bag along the x axis, pushed apart until none overlap.

    Args:
        radius: (N,) [m].
        length_m, across_m: of the bag [m].
        seed: fixes where they fall.

    Returns:
        Centres (N, 3) [m] round the origin, and the overlap left as the doubt (relative; its
        force is left at 0, since a heap in a net is not in balance but held by it).
    """
    chance = np.random.default_rng(seed)
    half = max(length_m - across_m, 0.0) / 2
    at = chance.normal(size=(len(radius), 3))
    at /= np.linalg.norm(at, axis=1)[:, None]
    at *= (across_m / 2 * np.sqrt(chance.uniform(0, 1, len(radius))))[:, None]
    at[:, 0] += chance.uniform(-half, half, len(radius))
    worst = 0.0
    pairs = np.zeros((0, 2), dtype=np.int64)
    for turn in range(MOST_ROUNDS):
        if turn % _SEARCH_EVERY == 0:
            pairs = _near(at, radius)
        at, worst = _apart(at, radius, pairs)
        at = _inside(at, radius, half, BULGE * across_m / 2)
        if worst < CLOSE_ENOUGH and turn % _SEARCH_EVERY == 0:
            break
    return at, Residual(0.0, worst, worst < 2 * CLOSE_ENOUGH)


def _near(at: Floats, radius: Floats) -> NDArray[np.int64]:
    from scipy.spatial import cKDTree

    if len(at) < 2:
        return np.zeros((0, 2), dtype=np.int64)
    reach = 2 * float(radius.max()) * (1 + _SKIN)
    found: NDArray[np.int64] = cKDTree(at).query_pairs(reach, output_type="ndarray")
    return found


def _apart(at: Floats, radius: Floats, pairs: NDArray[np.int64]) -> tuple[Floats, float]:
    """Every overlapping pair moved apart, each balloon by the mean of what its pairs ask."""
    if len(pairs) == 0:
        return at, 0.0
    i, j = pairs[:, 0], pairs[:, 1]
    way = at[i] - at[j]
    apart = np.linalg.norm(way, axis=1) + 1e-12
    sums = radius[i] + radius[j]
    deep = sums - apart
    hit = deep > 0
    if not hit.any():
        return at, 0.0
    i, j, deep, sums = i[hit], j[hit], deep[hit], sums[hit]
    push = 0.5 * deep[:, None] * way[hit] / apart[hit][:, None]
    n = len(at)
    move = np.column_stack(
        [np.bincount(i, push[:, k], n) - np.bincount(j, push[:, k], n) for k in range(3)]
    )
    # One push in full, many at once damped, or a crowd would fly apart.
    crowd = np.maximum(1.0, (np.bincount(i, minlength=n) + np.bincount(j, minlength=n)) / 3)
    moved: Floats = at + 1.1 * move / crowd[:, None]
    return moved, float((deep / sums).max())


def _inside(at: Floats, radius: Floats, half: float, bag: float) -> Floats:
    """Centres drawn back so that every balloon lies inside the bag."""
    spine = np.clip(at[:, 0], -half, half)
    out = at.copy()
    out[:, 0] -= spine
    far = np.linalg.norm(out, axis=1) + 1e-12
    most = np.maximum(bag - radius, 0.0)
    out *= np.minimum(1.0, most / far)[:, None]
    out[:, 0] += spine
    return out
