"""Organic garlands: clusters of mixed sizes fed along a path until it is full.

How many clusters a path takes is not known beforehand. They are first pushed together on
a straight line, where they settle in a moment, and the line is then bent along the path:

      o O o O o O o O o ...  -> push        straight line, endless supply
      '--------------'  as long as the path: so many clusters are used
      bent along the path, end ties held, all others free to slide
"""

from collections.abc import Sequence

import numpy as np

from airwright.build.packing.model import (
    GAUGE_PRESSURE_PA,
    Packed,
    PackingError,
    SoftPacking,
    Tolerance,
)
from airwright.build.packing.rail import Floats, Rail, StraightRail, frames
from airwright.build.packing.relaxation import relax
from airwright.build.packing.stacks import Settled, extent
from airwright.build.packing.starts import Start, ring_start

_MOST_TILT_RAD = 0.6  # how far necks lean along the line at the start, either way
_GRIP = 0.003  # garlands are fluffed up by hand until they lie close, so necks resist less
_LINE_TOLERANCE = Tolerance(0.2, 60)  # the line only has to be good enough to count by
_ENOUGH = Tolerance(0.05, 200)  # rubber grips: friction holds a far larger share of a contact force


def fill_rail(
    clusters: Sequence[Sequence[float] | Floats],
    rail: Rail,
    push_n: float = 10.0,
    *,
    seed: int = 0,
    pressure_pa: float = GAUGE_PRESSURE_PA,
    neck_stiffness_n_m: float | None = None,
    pole_radius_m: float = 0.0,
    floor: bool = False,
    tolerance: Tolerance | None = None,
) -> Settled:
    """Feed clusters onto a path until it is full from end to end, and let them rest.

    Parameters
    ----------
    clusters : sequence of sequences
        Radii [m] of each cluster in the order of use; supply more than the path can take.
    rail : Rail
        The path.
    push_n : float
        Force that packs the clusters together [N]: more is denser, 0 just touching.
    seed : int
        Fixes how the clusters are turned and tilted.
    pressure_pa, neck_stiffness_n_m, pole_radius_m, floor, tolerance
        As in `SoftPacking` [Pa, N/m, m, -]. A jammed heap of unlike balloons creeps on
        for long, where real ones are held by friction long before; so the tolerance is
        5 % of a contact force unless given.

    Returns
    -------
    Settled
        `len(packed.tie_s)` tells how many clusters were used; the balloons are theirs, in
        order.

    Raises
    ------
    PackingError
        When there are no clusters, or too few of them to fill the path.
    """
    if len(clusters) == 0:
        raise PackingError("a garland needs at least one cluster")
    start, line = _on_a_line(clusters, push_n, seed, pressure_pa, neck_stiffness_n_m)
    tie_s, foot, head = _cut(start, line, rail.length_m)
    start = _bent(start, line, tie_s, foot, head, rail)
    free = np.ones(len(tie_s), dtype=np.bool_)
    free[[0, -1]] = False
    problem = SoftPacking(
        centre0=start.centre0,
        radius=start.radius,
        tie=start.tie,
        tie_s0=start.tie_s0,
        neck_m=start.neck_m,
        neck_stiffness_n_m=neck_stiffness_n_m,
        grip=_GRIP,
        pressure_pa=pressure_pa,
        tie_free=free,
        rail=rail,
        pole_radius_m=pole_radius_m,
        floor=floor,
    )
    packed = relax(problem, _ENOUGH if tolerance is None else tolerance)
    length, width = extent(problem, packed)
    return Settled(start, problem, packed, np.diff(packed.tie_s), length, width)


def _cut(start: Start, line: Packed, length_m: float) -> tuple[Floats, float, float]:
    """Places (used,) [m] on the line of the clusters that fit, and the overhangs at both ends.

    An overhang is how far the balloons of an end cluster reach past their tie.
    """
    out = line.centre[:, 2] - line.tie_s[start.tie]
    s = line.tie_s - line.tie_s[0]
    head = np.full(len(s), -np.inf)
    np.maximum.at(head, start.tie, out + start.radius)
    first = start.tie == 0
    foot = float((start.radius - out)[first].max())
    fits = np.flatnonzero(s + head <= length_m - foot)
    used = int(fits[-1]) + 1 if len(fits) else 1
    if used == len(s):
        step = float(s[-1]) / max(used - 1, 1)
        if float(s[-1] + head[-1]) + foot + 2.0 * step < length_m:
            wanted = used + int(np.ceil((length_m - s[-1]) / step)) if step else 2 * used
            raise PackingError(
                f"{used} clusters fill only {float(s[-1] + head[-1]) + foot:.2f} m of a path of "
                f"{length_m:.2f} m; supply about {wanted}"
            )
    return s[:used], foot, float(head[used - 1])


def _bent(start: Start, line: Packed, tie_s: Floats, foot: float, head: float, rail: Rail) -> Start:
    """The first clusters of the line, stretched to the path's length and laid along it."""
    used = len(tie_s)
    room = max(rail.length_m - foot - head, 0.0)
    s = foot + tie_s * (room / tie_s[-1]) if used > 1 else np.array([0.5 * rail.length_m])
    point, tangent, front, right = frames(rail, s)
    own = start.tie < used
    tie = start.tie[own]
    off = line.centre[own] - line.tie_point[tie]
    centre = point[tie] + off[:, :1] * right[tie] - off[:, 1:2] * front[tie]
    centre += off[:, 2:] * tangent[tie]
    angle = np.mod(np.arctan2(off[:, 0], -off[:, 1]), 2.0 * np.pi)
    return Start(centre, start.radius[own], tie, s, start.neck_m[own], angle, start.slot[own])


def _on_a_line(
    clusters: Sequence[Sequence[float] | Floats],
    push_n: float,
    seed: int,
    pressure_pa: float,
    neck_stiffness_n_m: float | None,
) -> tuple[Start, Packed]:
    """All clusters settled on a straight vertical line through the origin."""
    chance = np.random.default_rng(seed)
    start = ring_start(clusters, StraightRail())
    turn = chance.uniform(-0.4, 0.4, len(clusters))[start.tie]
    tilt = chance.uniform(-_MOST_TILT_RAD, _MOST_TILT_RAD, len(start.radius))
    angle = start.angle + turn
    across = start.neck_m * np.cos(tilt)
    centre = np.column_stack(
        [
            across * np.sin(angle),
            -across * np.cos(angle),
            start.tie_s0[start.tie] + start.neck_m * np.sin(tilt),
        ]
    )
    problem = SoftPacking(
        centre0=centre,
        radius=start.radius,
        tie=start.tie,
        tie_s0=start.tie_s0,
        neck_m=start.neck_m,
        neck_stiffness_n_m=neck_stiffness_n_m,
        grip=_GRIP,
        pressure_pa=pressure_pa,
        push_n=push_n,
        yielding=False,
    )
    return start, relax(problem, _LINE_TOLERANCE)
