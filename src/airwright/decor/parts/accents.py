"""Small balloons tucked into the gaps of a finished body, two to four together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats
from airwright.decor.packing import Rail
from airwright.decor.packing.energy import spiral
from airwright.decor.packing.rail import nearest_s, on_rail

Ints = NDArray[np.int64]

TOGETHER = 3
"""Accents tied into one small cluster (common practice: two to four)."""

NESTLED = 0.94
"""Centre distance to its neighbours, of the sum of radii: an accent is pushed into its gap."""

DEEPEST = 0.90
"""No accent may start closer to a neighbour than this share of the sum of radii."""

FRONT_MERIT = 0.8
"""How many framing neighbours looking to the front is worth."""

_WAYS = 90
_REACH = 1.12  # of the sum of radii: neighbours up to here frame a gap


def tuck_in(
    centre: Floats,
    radius: Floats,
    line: Rail,
    small: Floats,
    chance: np.random.Generator,
    *,
    floor: bool,
) -> tuple[Floats, Ints]:
    """Places for accents on the outside of a body.

    Args:
        centre, radius: (N, 3) and (N,) the body [m].
        line: what it is tied along; accents keep to the far side of the body from it.
        small: (K,) radii of the accents in the order they are placed [m].
        chance: decides between places that are as good.
        floor: whether places below z = 0 are ruled out.

    Returns:
        Centres (K, 3) [m] and which small cluster each belongs to (K,), 0 … the last.
    """
    size = float(small.max())
    spots, merit, along = _spots(centre, radius, line, size, floor=floor)
    bunches = -(-len(small) // TOGETHER)
    strata = np.linspace(0.0, line.length_m, bunches + 1)
    all_centre, all_radius = [*centre], [*radius]
    placed: list[Floats] = []
    bunch: list[int] = []
    order = chance.permutation(bunches)  # so that no end of the line is always served first
    free = np.ones(len(spots), dtype=np.bool_)
    for index, stratum in enumerate(order):
        many = min(TOGETHER, len(small) - len(placed))
        middle = (strata[stratum] + strata[stratum + 1]) / 2
        seat: Floats | None = None
        for _ in range(many):
            at = _best(spots, merit, along, free, middle, size, seat, chance)
            here = spots[at]
            seat = here if seat is None else seat
            placed.append(here)
            bunch.append(index)
            all_centre.append(here)
            all_radius.append(small[len(placed) - 1])
            free &= np.linalg.norm(spots - here, axis=1) >= 2 * size * DEEPEST
            if not free.any():  # full: begin again, the packing pushes them apart
                free[:] = True
    return np.array(placed).reshape(-1, 3), np.array(bunch, dtype=np.int64)


def _best(
    spots: Floats,
    merit: Floats,
    along: Floats,
    free: NDArray[np.bool_],
    middle: float,
    size: float,
    seat: Floats | None,
    chance: np.random.Generator,
) -> int:
    """The free spot that frames the deepest gap, near its part of the line or its companions."""
    value = merit + chance.uniform(0.0, 0.35, len(merit))
    if seat is None:
        value = value - np.abs(along - middle) / (2 * size)
    else:
        value = value - np.linalg.norm(spots - seat, axis=1) / size
    return int(np.argmax(np.where(free, value, -np.inf)))


def _spots(
    centre: Floats, radius: Floats, line: Rail, size: float, *, floor: bool
) -> tuple[Floats, Floats, Floats]:
    """Where a ball of radius `size` can sit on the body: points, merit, arc length.

    Merit counts the neighbours that frame the spot (a gap between three is best) and favours
    spots that can be seen: those whose way out, away from the line, is open.
    """
    from scipy.spatial import cKDTree

    ways = spiral(_WAYS)
    spots = (centre[:, None] + NESTLED * (radius + size)[:, None, None] * ways).reshape(-1, 3)
    host = np.repeat(np.arange(len(radius)), _WAYS)
    if floor:
        keep = spots[:, 2] > 0.95 * size
        spots, host = spots[keep], host[keep]
    tree = cKDTree(centre)
    near = tree.query_ball_point(spots, _REACH * (radius.max() + size))
    row = np.repeat(np.arange(len(spots)), [len(found) for found in near])
    other = np.concatenate([np.asarray(found, dtype=np.int64) for found in near])
    gap = np.linalg.norm(spots[row] - centre[other], axis=1) / (radius[other] + size)
    blocked = np.zeros(len(spots), dtype=np.bool_)
    np.logical_or.at(blocked, row, gap < DEEPEST)
    framed = np.bincount(row, np.clip((_REACH - gap) / (_REACH - NESTLED), 0, 1), len(spots))
    spots, framed = spots[~blocked], framed[~blocked]
    s = np.linspace(0.0, line.length_m, max(64, int(line.length_m / 0.05)))
    _, start = cKDTree(line.position(s)).query(spots)
    along = np.clip(nearest_s(line, spots, s[start], rounds=6), 0.0, line.length_m)
    out = spots - on_rail(line, along)[0]
    away = np.linalg.norm(out, axis=1)
    out /= (away + 1e-9)[:, None]
    seen = _open(spots, out, centre, radius, size)
    merit = np.minimum(framed, 4.0) - FRONT_MERIT * out[:, 1]
    return spots[seen], merit[seen], along[seen]


def _open(
    spots: Floats, out: Floats, centre: Floats, radius: Floats, size: float
) -> NDArray[np.bool_]:
    """Whether a ball at the spot can be pulled straight out without passing through another."""
    from scipy.spatial import cKDTree

    tree = cKDTree(centre)
    seen = np.ones(len(spots), dtype=np.bool_)
    reach = float(radius.max()) + size
    for step in (1.0, 2.0, 3.0):
        probe = spots + step * size * out
        near = tree.query_ball_point(probe, reach)
        row = np.repeat(np.arange(len(probe)), [len(found) for found in near])
        other = np.concatenate([np.asarray(found, dtype=np.int64) for found in near])
        gap = np.linalg.norm(probe[row] - centre[other], axis=1) / (radius[other] + size)
        np.logical_and.at(seen, row, gap > 0.8)
    return seen
