"""Straight edges and sharp corners for parts whose paths are drawn as smooth curves."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from airwright.decor.draft import path

CORNER_M = 0.004
"""A bend this close to its corner reads as a corner [m]."""


def cornered(
    points: Sequence[tuple[float, float, float]],
) -> tuple[tuple[float, float, float], ...]:
    """The points (x, y, z) [m] with two more on each edge, close to its ends.

    A smooth curve through the few corners of a frame would bulge between them.
    """
    corners = np.asarray(points, dtype=float)
    found = [corners[0]]
    for start, end in pairwise(corners):
        long = float(np.linalg.norm(end - start))
        if long > 3 * CORNER_M:
            way = (end - start) / long
            found += [start + CORNER_M * way, (start + end) / 2, end - CORNER_M * way]
        found.append(end)
    return path(found)
