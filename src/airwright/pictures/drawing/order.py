"""Who touches whom, who stands before whom, and who is seen at all."""

from __future__ import annotations

import numpy as np

from airwright.decor.assembly import Floats, Ints
from airwright.pictures.drawing.values import Bools

NEAR = 1.18
"""Centres closer than this times the sum of the radii darken one another."""

_PROBES = 24


def close_pairs(centre: Floats, radius: Floats, factor: float = NEAR) -> Ints:
    """Pairs (P, 2), i < j, whose centres are closer than factor × (r_i + r_j), sorted."""
    if len(radius) < 2:
        return np.zeros((0, 2), dtype=np.int32)
    from scipy.spatial import cKDTree

    found: list[Ints] = []
    # Few sizes, very unlike ones: searching size by size keeps a jumbo from making everyone
    # its neighbour.
    sizes = np.unique(np.round(radius, 3))
    groups = [np.flatnonzero(np.round(radius, 3) == size) for size in sizes]
    trees = [cKDTree(centre[group]) for group in groups]
    for a, group in enumerate(groups):
        for b in range(a, len(groups)):
            within = factor * (sizes[a] + sizes[b] + 1e-3)
            lists = trees[a].query_ball_tree(trees[b], within)
            counts = [len(row) for row in lists]
            if not sum(counts):
                continue
            first = np.repeat(group, counts)
            second = groups[b][np.concatenate([np.asarray(row, dtype=np.int64) for row in lists])]
            rows = np.sort(np.stack([first, second], axis=1), axis=1)
            found.append(rows.astype(np.int32))
    if not found:
        return np.zeros((0, 2), dtype=np.int32)
    pairs: Ints = np.unique(np.concatenate(found), axis=0).astype(np.int32)
    i, j = pairs[:, 0], pairs[:, 1]
    gap = np.linalg.norm(centre[i] - centre[j], axis=1)
    return np.asarray(pairs[(i != j) & (gap < factor * (radius[i] + radius[j]))])


def painting_order(depth: Floats) -> Ints:
    """Rows from the farthest to the nearest; equals keep their order.

    Sorting by the depth of the centres is exact for spheres parted by their contact planes:
    these cells are a power diagram, which has no cycles from any direction.
    """
    return np.argsort(-np.round(depth, 6), kind="stable").astype(np.int32)


def hidden(centre: Floats, angles: Floats, distances: Floats, rank: Ints, opaque: Bools) -> Bools:
    """Rows that nearer balloons cover entirely, as bools (N,).

    Args:
        centre: (N, 3) as (right, up, away) [m].
        angles, distances: (N, T) outlines.
        rank: (N,) place in the painting order.
        opaque: (N,) whether nothing shows through.

    Points on and inside each outline are tested against the nearer outlines, so a sliver
    narrower than the spacing of the points may be missed.
    """
    count = len(rank)
    gone = np.zeros(count, dtype=bool)
    if count < 2:
        return gone
    from scipy.spatial import cKDTree

    flat = centre[:, :2]
    reach = distances.max(axis=1)
    tree = cKDTree(flat)
    step = 2.0 * np.pi / angles.shape[1]
    pick = np.linspace(0, angles.shape[1], _PROBES, endpoint=False).astype(int)
    around = tree.query_ball_point(flat, reach + reach.max())
    for i in range(count):
        rows = np.asarray(around[i], dtype=np.int64)
        rows = rows[(rank[rows] > rank[i]) & opaque[rows]]
        if len(rows) == 0:
            continue
        way = angles[i, pick]
        arm = distances[i, pick]
        unit = np.stack([np.cos(way), np.sin(way)], axis=1)
        probes = flat[i] + np.concatenate(
            [unit * (0.985 * arm)[:, None], unit * (0.55 * arm)[:, None], np.zeros((1, 2))]
        )
        left = probes
        for j in rows[np.argsort(np.hypot(*(flat[rows] - flat[i]).T), kind="stable")]:
            d = left - flat[j]
            turn = (np.arctan2(d[:, 1], d[:, 0]) - angles[j, 0]) / step
            low = np.floor(turn).astype(int)
            part = turn - low
            edge = (
                distances[j].take(low, mode="wrap") * (1.0 - part)
                + distances[j].take(low + 1, mode="wrap") * part
            )
            left = left[np.hypot(d[:, 0], d[:, 1]) > edge]
            if len(left) == 0:
                gone[i] = True
                break
    return gone
