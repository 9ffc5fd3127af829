"""Loose clusters of mixed sizes: necks tied together at one point of a pole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from airwright.decor.assembly import NO_CLUSTER, Floats, Residual, Role
from airwright.decor.colouring import deal
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.packing import SoftPacking, StraightRail, cluster_start, relax
from airwright.decor.parts.stack import TOLERANCE, Layer, residual_of
from airwright.job.cluster import Cluster

KNOT_TO_CENTRE = 0.55
"""Natural distance from the knot to a balloon's centre, in diameters. Hands twist the necks of a
cluster off close to the balloons; three balloons touch at 0.577 and four at 0.612 diameters from
the point between them, so that whatever is tied at one point is drawn together until it touches."""

TWISTED = 0.05
"""Grip of necks twisted together (see `SoftPacking.grip`): enough that a symmetrical cloud does
not slip aside, too little to hold balloons apart."""

_TILTS = 24


@dataclass(frozen=True, slots=True, eq=False)
class CloudShape:
    """A settled cloud round a tie at the origin.

    `centre` (N, 3) [m], `radius` (N,) [m]; `below_m` and `above_m` from tie to its ends.
    """

    centre: Floats
    radius: Floats
    residual: Residual

    @property
    def below_m(self) -> float:
        """Tie to the lowest point [m]."""
        return float(-(self.centre[:, 2] - self.radius).min())

    @property
    def above_m(self) -> float:
        """Tie to the highest point [m]."""
        return float((self.centre[:, 2] + self.radius).max())


@lru_cache(maxsize=256)
def settle_cloud(layer: Layer, pole_radius_m: float) -> CloudShape:
    """Where the balloons of one cloud come to rest round the pole: one compact body."""
    radius = np.array(layer.radius)
    neck = 2 * KNOT_TO_CENTRE * radius
    start = _in_ring_order(_clear_of_pole(cluster_start(radius, np.zeros(3), neck)), radius)
    packed = relax(
        SoftPacking(
            centre0=start,
            radius=radius,
            tie=np.zeros(len(radius), dtype=np.int64),
            tie_s0=np.zeros(1),
            neck_m=neck,
            pressure_pa=np.array(layer.pressure),
            grip=TWISTED,
            tie_free=np.array([False]),
            rail=StraightRail(),
            pole_radius_m=pole_radius_m,
        ),
        TOLERANCE,
    )
    return CloudShape(packed.centre, radius, residual_of(packed))


def add_cloud(
    draft: Draft,
    ctx: Context,
    made: Cluster,
    shades: Sequence[str],
    shape: CloudShape,
    height_m: float,
    layer: int = NO_CLUSTER,
) -> tuple[int, ...]:
    """Place a settled cloud with its tie over the origin, `height_m` up; returns its rows.

    Args:
        made: what `shape` was settled of.
        shades: dealt in turn within each size.
        layer: its number from the bottom up, where there are several.
    """
    tie = np.array([0.0, 0.0, height_m])
    rows = draft.cluster(
        str(made),
        shape.centre + tie,
        shape.centre,
        [ctx.stock(balloon) for balloon in made.slots],
        [ctx.shade(name) for name in deal(shades, made)],
        tie,
        Role.BODY,
        layer,
    )
    draft.doubt(shape.residual)
    draft.work("stack cluster", 1)
    return rows


def _in_ring_order(centre: Floats, radius: Floats) -> Floats:
    """Equal balloons renumbered round the left-right axis, so that dealt shades alternate."""
    ordered = centre.copy()
    for size in np.unique(radius):
        rows = np.flatnonzero(radius == size)
        turn = np.round(np.arctan2(centre[rows, 2], -centre[rows, 1]), 6)
        ordered[rows] = centre[rows[np.lexsort((centre[rows, 0], turn))]]
    return ordered


def _clear_of_pole(centre: Floats) -> Floats:
    """The start tilted about x so that no balloon sits on the pole, larger ones left and right."""
    distance = np.linalg.norm(centre, axis=1)
    if len(centre) < 2 or not np.all(distance > 0):
        return centre
    best, best_clear = centre, -1.0
    for step in range(_TILTS):
        c, s = np.cos(np.pi * step / _TILTS), np.sin(np.pi * step / _TILTS)
        turned = centre @ np.array([[1.0, 0, 0], [0, c, -s], [0, s, c]]).T
        clear = float((np.hypot(turned[:, 0], turned[:, 1]) / distance).min())
        if clear > best_clear + 1e-9:
            best, best_clear = turned, clear
    return best
