"""A smooth curve through points that somebody drew, and whether it gets in its own way.

Between two points runs a cubic whose slope at each point leads from the one before to the one
after, by chord lengths (the non-uniform Catmull-Rom spline): it passes through every point and
neither bulges nor loops between points that are not evenly spaced.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from airwright.decor.armatures.errors import ArmatureError
from airwright.decor.armatures.straight import SHORTEST_M, Point
from airwright.decor.packing import Rail
from airwright.decor.packing.rail import Floats
from airwright.language import message

_PER_LEG = 64


@dataclass(frozen=True)
class Through:
    """The curve through `points` (x, y, z) [m], in their order; points that repeat count once.

    Raises:
        ArmatureError: fewer than two different points, or a point that is not a number.
    """

    points: tuple[Point, ...]

    def __post_init__(self) -> None:
        if not np.all(np.isfinite(np.asarray(self.points, dtype=float))):
            raise ArmatureError(
                message("A point of this line is not a number."), message("Give lengths like 2 m.")
            )
        if len(self._corners) < 2:
            raise ArmatureError(
                message("A line through one point has no length."),
                message("Give it two different points."),
            )

    @cached_property
    def _corners(self) -> Floats:
        points = np.asarray(self.points, dtype=float).reshape(-1, 3)
        apart = np.linalg.norm(np.diff(points, axis=0), axis=1) > SHORTEST_M
        corners: Floats = points[np.concatenate([[True], apart])[: len(points)]]
        return corners

    @cached_property
    def _knots(self) -> Floats:
        legs = np.linalg.norm(np.diff(self._corners, axis=0), axis=1)
        knots: Floats = np.concatenate([[0.0], np.cumsum(np.sqrt(legs))])
        return knots

    @cached_property
    def _spline(self) -> Any:
        from scipy.interpolate import CubicHermiteSpline

        p, t = self._corners, self._knots
        slope = np.empty_like(p)
        legs = np.diff(p, axis=0) / np.diff(t)[:, None]
        slope[0], slope[-1] = legs[0], legs[-1]
        if len(p) > 2:
            before, after = np.diff(t)[:-1, None], np.diff(t)[1:, None]
            slope[1:-1] = (after * legs[:-1] + before * legs[1:]) / (before + after)
            slope[0] = 1.5 * legs[0] - 0.5 * slope[1]
            slope[-1] = 1.5 * legs[-1] - 0.5 * slope[-2]
        return CubicHermiteSpline(t, p, slope)

    @cached_property
    def _table(self) -> tuple[Floats, Floats]:
        """Parameters and arc lengths [m] at close places."""
        t = self._knots
        at = np.interp(
            np.linspace(0.0, len(t) - 1.0, _PER_LEG * (len(t) - 1) + 1), np.arange(len(t)), t
        )
        legs = np.linalg.norm(np.diff(self._spline(at), axis=0), axis=1)
        return at, np.concatenate([[0.0], np.cumsum(legs)])

    @cached_property
    def length_m(self) -> float:
        """Arc length, by chords between close places [m]."""
        return float(self._table[1][-1])

    def _at(self, s: Floats) -> Floats:
        at, along = self._table
        found: Floats = np.interp(np.asarray(s, dtype=float), along, at)
        return found

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths (M,) [m]."""
        points: Floats = np.asarray(self._spline(self._at(s)))
        return points

    def tangent(self, s: Floats) -> Floats:
        """Unit tangents (M, 3) at arc lengths (M,) [m]."""
        way = np.asarray(self._spline(self._at(s), 1))
        tangents: Floats = way / (np.linalg.norm(way, axis=1)[:, None] + 1e-12)
        return tangents

    def leg_of(self, s: float) -> int:
        """Which leg an arc length [m] lies on: 0 between the first and the second point."""
        at = float(self._at(np.array([s]))[0])
        return int(np.clip(np.searchsorted(self._knots, at) - 1, 0, len(self._knots) - 2))


def crossing(line: Rail, samples: int = 400) -> tuple[float, float] | None:
    """Where a line, seen from the front, crosses itself: both arc lengths [m], else None."""
    from shapely import LineString, STRtree

    s = np.linspace(0.0, line.length_m, samples)
    flat = line.position(s)[:, [0, 2]]
    legs = [LineString(flat[at : at + 2]) for at in range(samples - 1)]
    one, other = STRtree(legs).query(legs, predicate="intersects")
    apart = other - one > 1
    if not apart.any():
        return None
    first = int(np.flatnonzero(apart)[np.argmin(one[apart])])
    return float(s[one[first]]), float(s[other[first]])


def meets_itself(line: Rail, apart: float) -> float | None:
    """Arc length [m] of a place that another, far along the line, is nearer to than `apart` [m].

    None where there is none.
    """
    from scipy.spatial import cKDTree

    s = np.linspace(0.0, line.length_m, max(9, int(4 * line.length_m / apart)))
    pairs = cKDTree(line.position(s)).query_pairs(apart, output_type="ndarray")
    if not len(pairs):
        return None
    far = pairs[s[pairs[:, 1]] - s[pairs[:, 0]] > 3 * apart]
    return float(s[far[:, 1].max()]) if len(far) else None


def through(points: Sequence[Point]) -> Through:
    """The smooth curve through points (x, y, z) [m]. Raises ArmatureError."""
    return Through(tuple(points))
