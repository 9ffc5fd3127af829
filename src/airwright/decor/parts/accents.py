"""Small balloons tied in threes and fours and tucked into the gaps of a finished body.

A gap is where a ball could touch three balloons of the body at once and still be pulled straight
out. Gaps are shared out along the line, front ones first; then every small cluster is drawn in by
its loop until the body holds it, see `nestle`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats
from airwright.decor.packing import Rail, cluster_start
from airwright.decor.packing.neighbours import near_pairs
from airwright.decor.packing.rail import nearest_s, on_rail
from airwright.decor.parts.cloud import KNOT_TO_CENTRE
from airwright.decor.parts.nestle import Balls, Bunches, Nestled, nestle_all

Ints = NDArray[np.int64]

TOGETHER = 4
"""Accents tied into one small cluster; the last ones in threes (common practice)."""

SITS = 1.5
"""A small cluster fills a gap like a ball of so many radii of its balloons."""

CLEAR = 0.92
"""No ball in a gap may come closer to a balloon than this share of the sum of radii."""

FRONT_MERIT = 1.0
"""How many framing neighbours looking to the front is worth."""

END_MERIT = 4.0
"""How many framing neighbours closing an end of the line is worth: its last knots are hidden."""

CHANCE = 0.4
"""How many framing neighbours chance may outweigh, so that no two garlands are alike."""

_REACH = 1.15  # of the sum of radii: neighbours up to here frame a gap
_NEIGHBOURS = 14  # of the body looked at round a gap
_WINDOW = 2.5  # how far along the line a gap may lie from its share, in sizes of a cluster


@dataclass(frozen=True, slots=True, eq=False)
class Gaps:
    """Where a small cluster may sit: points and ways out (S, 3), merit and arc length (S,).

    `closes` (S,) tells how far a gap looks out of an end of the line, -1 at its start to 1.
    """

    spot: Floats
    out: Floats
    merit: Floats
    along: Floats
    closes: Floats


def bunches_of(count: int) -> list[int]:
    """Fours and threes that add up to `count`; below three what there is."""
    if count < TOGETHER:
        return [count] if count else []
    rest = -count % TOGETHER
    fours = (count + rest) // TOGETHER - rest
    if fours < 0:  # five: a three and a two
        return [3, count - 3]
    return [TOGETHER] * fours + [TOGETHER - 1] * rest


def tuck_in(
    body: Balls,
    line: Rail,
    small: Balls,
    chance: np.random.Generator,
    *,
    floor: bool,
    behind_m: float | None = None,
    places: Sequence[float] | None = None,
) -> tuple[Nestled, Ints]:
    """Small clusters at rest in the gaps of a body.

    Args:
        body: the settled body.
        line: what it is tied along; loops lead to it.
        small: the accents in the order they are tied; their centres are not read.
        chance: decides between places that are as good.
        floor: whether z = 0 holds balloons up.
        behind_m: face of a wall behind that they stay in front of, y = behind_m [m].
        places: shares of the line, 0 to 1, by which as many small clusters each are tucked in;
            evenly along it if left out.

    Returns:
        Where they rest, and which small cluster each belongs to (K,), 0 … the last.
    """
    sizes = bunches_of(len(small.radius))
    bunch = np.repeat(np.arange(len(sizes)), sizes)
    gaps = find_gaps(body, line, SITS * float(small.radius.max()), floor=floor, behind_m=behind_m)
    chosen = _share_out(gaps, len(sizes), line, float(small.radius.max()), chance, places)
    rest = nestle_all(
        _placed(gaps, chosen, bunch, small, line), body, floor=floor, behind_m=behind_m
    )
    return rest, bunch


def find_gaps(
    body: Balls, line: Rail, size: float, *, floor: bool, behind_m: float | None = None
) -> Gaps:
    """Places where a ball of radius `size` [m] touches three balloons and can be pulled out."""
    from scipy.spatial import cKDTree

    tree = cKDTree(body.centre)
    spot = _between_three(body, size)
    spot = np.concatenate([spot, _ends(body, line, size)])
    if floor and bool((spot[:, 2] > 0.6 * size).any()):
        spot = spot[spot[:, 2] > 0.6 * size]
    if behind_m is not None and bool((spot[:, 1] < behind_m - 0.6 * size).any()):
        spot = spot[spot[:, 1] < behind_m - 0.6 * size]
    near = _nearness(tree, body, spot, size)
    free = near.min(axis=1) >= CLEAR
    if bool(free.any()):
        spot, near = spot[free], near[free]
    s = np.linspace(0.0, line.length_m, max(64, int(line.length_m / 0.05)))
    _, start = cKDTree(line.position(s)).query(spot)
    along = np.clip(nearest_s(line, spot, s[start], rounds=6), 0.0, line.length_m)
    out = spot - on_rail(line, along)[0]
    out /= np.linalg.norm(out, axis=1)[:, None] + 1e-9
    framed = np.clip((_REACH - near) / (_REACH - 1.0), 0.0, 1.0).sum(axis=1)
    merit = np.minimum(framed, 4.0) - FRONT_MERIT * out[:, 1]
    for step in (1.0, 2.0):  # the way out is open
        shut = _nearness(tree, body, spot + step * size * out, size).min(axis=1) < 0.8
        merit -= 4.0 * shut
    at_end = np.where(along <= 0.0, 1.0, 0.0) + np.where(along >= line.length_m, 1.0, 0.0)
    closes = at_end * np.einsum("ij,ij->i", out, on_rail(line, along)[1])
    return Gaps(spot, out, merit, along, closes)


def _ends(body: Balls, line: Rail, size: float) -> Floats:
    """The two points (2, 3) [m] just outside the body at which a ball closes an end of the line."""
    end, way = on_rail(line, np.array([0.0, line.length_m]))
    way = way * np.array([[-1.0], [1.0]])
    found = []
    for point, out in zip(end, way, strict=True):
        offset = body.centre - point
        along = offset @ out
        room = (body.radius + size) ** 2 - (offset**2).sum(axis=1) + along**2
        reach = np.where(room > 0.0, along + np.sqrt(np.maximum(room, 0.0)), 0.0)
        found.append(point + float(reach.max(initial=size)) * out)
    return np.array(found)


def _between_three(body: Balls, size: float) -> Floats:
    """Points (S, 3) [m] at which a ball of radius `size` touches three balloons of the body."""
    i, j, k = _triples(*near_pairs(body.centre, body.radius, size), len(body.radius)).T
    a, b, c = body.centre[i], body.centre[j], body.centre[k]
    ra, rb, rc = (body.radius[row] + size for row in (i, j, k))
    # The two points at given distances from three: along ab, square to it towards c, up and down.
    ab, ac = b - a, c - a
    d = np.linalg.norm(ab, axis=1)
    ex = ab / d[:, None]
    along_c = np.einsum("ij,ij->i", ex, ac)
    ey = ac - along_c[:, None] * ex
    across_c = np.linalg.norm(ey, axis=1)
    good = across_c > 1e-6
    ex, ey, a, d, along_c, across_c = (v[good] for v in (ex, ey, a, d, along_c, across_c))
    ra, rb, rc = ra[good], rb[good], rc[good]
    ey /= across_c[:, None]
    x = (ra**2 - rb**2 + d**2) / (2 * d)
    y = (ra**2 - rc**2 + along_c**2 + across_c**2 - 2 * along_c * x) / (2 * across_c)
    left = ra**2 - x**2 - y**2
    real = left > 0.0
    foot = a[real] + x[real, None] * ex[real] + y[real, None] * ey[real]
    lift = np.sqrt(left[real])[:, None] * np.cross(ex[real], ey[real])
    spots: Floats = np.concatenate([foot + lift, foot - lift])
    return spots


def _triples(i: Ints, j: Ints, count: int) -> Ints:
    """Rows (T, 3), i < j < k, whose three pairs are all among the pairs given, i < j and sorted."""
    first = np.searchsorted(i, np.arange(count + 1))
    many = first[i + 1] - first[i]
    row = np.repeat(np.arange(len(i)), many)
    step = np.arange(len(row)) - np.repeat(np.cumsum(many) - many, many)
    third = j[first[i[row]] + step]
    later = third > j[row]
    row, third = row[later], third[later]
    keys = i * count + j
    wanted = j[row] * count + third
    at = np.searchsorted(keys, wanted)
    at[at == len(keys)] = 0
    closed = keys[at] == wanted if len(keys) else np.zeros(0, dtype=np.bool_)
    return np.column_stack([i[row[closed]], j[row[closed]], third[closed]])


def _nearness(tree: object, body: Balls, spot: Floats, size: float) -> Floats:
    """Distance over the sum of radii to the nearest balloons of the body (S, neighbours)."""
    many = min(_NEIGHBOURS, len(body.radius))
    far, row = tree.query(spot, k=many)  # type: ignore[attr-defined]
    near: Floats = far.reshape(len(spot), many) / (body.radius[row.reshape(len(spot), many)] + size)
    return near


def _share_out(
    gaps: Gaps,
    bunches: int,
    line: Rail,
    radius: float,
    chance: np.random.Generator,
    places: Sequence[float] | None = None,
) -> list[int]:
    """A gap for each small cluster: by its place along the line, the best there, none twice."""
    from scipy.spatial import cKDTree

    order = np.argsort(gaps.along, kind="stable")
    along = gaps.along[order]
    merit = (gaps.merit + chance.uniform(0.0, CHANCE, len(gaps.merit)))[order]
    tree = cKDTree(gaps.spot[order])
    free = np.ones(len(order), dtype=np.bool_)
    shares = (np.arange(bunches) + 0.5) / bunches
    if places is not None:
        shares = np.interp(shares, np.linspace(0.0, 1.0, len(places)), places)
    middles = shares * line.length_m
    apart = 2.0 * SITS * radius * CLEAR
    chosen = np.zeros(bunches, dtype=np.int64)
    closes = gaps.closes[order]
    dressed = {0: -END_MERIT, bunches - 1: END_MERIT} if bunches > 1 else {}
    for index in [*dressed, *(k for k in chance.permutation(bunches) if k not in dressed)]:
        end = dressed.get(index, 0.0)
        middle = float(middles[index]) if end == 0.0 else (0.0 if end < 0.0 else line.length_m)
        at = _best(along, merit + end * closes, free, middle, _WINDOW * SITS * radius)
        chosen[index] = order[at]
        taken = tree.query_ball_point(gaps.spot[order[at]], apart)
        free[taken] = False
    return chosen.tolist()


def _best(
    along: Floats, merit: Floats, free: NDArray[np.bool_], middle: float, window: float
) -> int:
    """The free gap of most merit near its part of the line; a wider part where none is free."""
    reach = window
    while True:
        low, high = np.searchsorted(along, [middle - reach, middle + reach])
        here = np.flatnonzero(free[low:high])
        if len(here):
            off = np.abs(along[low:high][here] - middle) / window
            return int(low + here[np.argmax(merit[low:high][here] - off)])
        if low == 0 and high == len(along):
            free[:] = True  # full: begin again, the packing pushes them apart
        reach *= 2.0


def _placed(gaps: Gaps, chosen: list[int], bunch: Ints, small: Balls, line: Rail) -> Bunches:
    """Small clusters in front of their gaps, ready to be drawn in."""
    spot, out, along = gaps.spot[chosen], gaps.out[chosen], gaps.along[chosen]
    hook = on_rail(line, along)[0]
    centre = np.empty((len(bunch), 3))
    for many in np.unique(np.bincount(bunch)):
        rows = np.flatnonzero(np.isin(bunch, np.flatnonzero(np.bincount(bunch) == many)))
        ways = cluster_start(np.ones(many), np.zeros(3), np.ones(many))
        ways = ways @ _towards(out[bunch[rows[::many]]])  # (bunches, many, 3)
        neck = 2 * KNOT_TO_CENTRE * small.radius[rows]
        centre[rows] = spot[bunch[rows]] + neck[:, None] * ways.reshape(-1, 3)
    return Bunches(Balls(centre, small.radius, small.wall), bunch, spot, hook)


def _towards(way: Floats) -> Floats:
    """Rotations (B, 3, 3), for rows from the left, that turn the z axis towards `way` (B, 3)."""
    side = np.cross(np.array([0.0, 0.0, 1.0]), way)
    long = np.linalg.norm(side, axis=1)
    side = np.where(long[:, None] > 1e-6, side / (long[:, None] + 1e-12), np.array([1.0, 0.0, 0.0]))
    turns: Floats = np.stack([side, np.cross(way, side), way], axis=1)
    return turns
