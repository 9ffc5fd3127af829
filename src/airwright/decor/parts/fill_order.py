"""How balloons filled into an outline are made: how far forward, when, and tied with which."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats
from airwright.decor.parts.outline_fill import Filled, Ints

if TYPE_CHECKING:
    from shapely import Polygon

Bools = NDArray[np.bool_]

FLUSH: Final = 0.6
"""How far small balloons are pushed forward, of the way to be flush with the largest."""

ON_RIM: Final = 1.35
"""A balloon whose middle is nearer to the rim than this many radii belongs to the edge."""

PAIRED: Final = 1.7
"""Balloons of a size whose middles are nearer than this many diameters are tied as a duplet."""


def in_space(fill: Filled, radius: Floats, left: float, base: float) -> Floats:
    """Centres (N, 3) [m]: the small ones further forward, so that the front is nearly even."""
    forward = -FLUSH * (radius.max() - radius[fill.size])
    return np.column_stack([fill.centre[:, 0] + left, forward, fill.centre[:, 1] + base])


def stages(part: Polygon, centre: Floats, radius: Floats, small: Bools) -> Ints:
    """When each balloon is tied in: 0 along the rim, 1 between, 2 the smallest at the end."""
    import shapely

    off = shapely.distance(part.boundary, shapely.points(centre[:, 0], centre[:, 2]))
    stage: Ints = np.where(small, 2, np.where(off < ON_RIM * radius, 0, 1))
    return stage


def tied(centre: Floats, size: Ints, stage: Ints, radius: Floats) -> list[list[int]]:
    """Balloons that are tied together: pairs of one size and stage, side by side; from the top."""
    left = sorted(range(len(size)), key=lambda k: (stage[k], -centre[k, 2], centre[k, 0]))
    made = []
    while left:
        one = left.pop(0)
        alike = [k for k in left if size[k] == size[one] and stage[k] == stage[one]]
        off = {k: float(np.linalg.norm(centre[k] - centre[one])) for k in alike}
        near = min(off, key=lambda k: off[k], default=None)
        if near is None or off[near] > PAIRED * 2 * radius[size[one]]:
            made.append([one])
            continue
        left.remove(near)
        made.append([one, near])
    return made
