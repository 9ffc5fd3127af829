"""Curves of straight pieces and arcs of circles: arc lengths are sums of closed forms.

Every curve is a `packing.Rail`: `length_m`, `position(s)` and `tangent(s)` for arrays of arc
lengths s [m], 0 <= s <= length_m. Curves lie in the x-z plane unless said otherwise.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from airwright.decor.armatures.errors import ArmatureError, positive
from airwright.decor.packing import Rail
from airwright.decor.packing.rail import Floats
from airwright.language import message

Point = tuple[float, float, float]

SHORTEST_M = 1e-9
"""Pieces shorter than this are left out of a chain [m]."""


@dataclass(frozen=True)
class Line:
    """From `start` to `end` (x, y, z) [m], as the crow flies."""

    start: Point
    end: Point

    def __post_init__(self) -> None:
        positive("length of a straight piece", self.length_m)

    @cached_property
    def length_m(self) -> float:
        """Distance of the ends [m]."""
        return float(np.linalg.norm(np.subtract(self.end, self.start)))

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths (M,) [m]."""
        share = np.asarray(s, dtype=float)[:, None] / self.length_m
        points: Floats = np.asarray(self.start) + share * np.subtract(self.end, self.start)
        return points

    def tangent(self, s: Floats) -> Floats:
        """The same unit tangent (M, 3) everywhere."""
        way = np.subtract(self.end, self.start) / self.length_m
        return np.broadcast_to(way, (len(s), 3)).copy()


@dataclass(frozen=True)
class Arc:
    """Part of a circle in a plane y = const.

    Angles count from the viewer's right, anticlockwise as the viewer sees it.

    Attributes:
        centre: (x, y, z) [m].
        radius_m: [m].
        from_rad: where it begins [rad].
        sweep_rad: how far it goes round, negative clockwise [rad].
    """

    centre: Point
    radius_m: float
    from_rad: float
    sweep_rad: float

    def __post_init__(self) -> None:
        positive("radius", self.radius_m)
        positive("sweep of an arc", abs(self.sweep_rad))

    @property
    def length_m(self) -> float:
        """Radius times angle [m]."""
        return self.radius_m * abs(self.sweep_rad)

    def _angle(self, s: Floats) -> Floats:
        turned = np.asarray(s, dtype=float) / self.radius_m
        angle: Floats = self.from_rad + np.sign(self.sweep_rad) * turned
        return angle

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths (M,) [m]."""
        angle = self._angle(s)
        way = np.column_stack([np.cos(angle), np.zeros_like(angle), np.sin(angle)])
        points: Floats = np.asarray(self.centre) + self.radius_m * way
        return points

    def tangent(self, s: Floats) -> Floats:
        """Unit tangents (M, 3) at arc lengths (M,) [m]."""
        angle = self._angle(s)
        way = np.column_stack([-np.sin(angle), np.zeros_like(angle), np.cos(angle)])
        tangents: Floats = np.sign(self.sweep_rad) * way
        return tangents


@dataclass(frozen=True)
class Chain:
    """Curves one after the other, each beginning where the last one ends."""

    pieces: tuple[Rail, ...]

    def __post_init__(self) -> None:
        if not self.pieces:
            raise ArmatureError(
                message("A line of no pieces has no length."), message("Give it two points.")
            )

    @cached_property
    def _ends(self) -> Floats:
        ends: Floats = np.cumsum([piece.length_m for piece in self.pieces])
        return ends

    @property
    def length_m(self) -> float:
        """Sum of the lengths of its pieces [m]."""
        return float(self._ends[-1])

    def _each(self, s: Floats, what: str) -> Floats:
        at = np.asarray(s, dtype=float)
        found = np.empty((len(at), 3))
        # A corner belongs to the piece that begins there, the last end to the last piece.
        which = np.minimum(np.searchsorted(self._ends, at, side="right"), len(self.pieces) - 1)
        for index, piece in enumerate(self.pieces):
            mine = which == index
            if mine.any():
                begun = self._ends[index] - piece.length_m
                found[mine] = getattr(piece, what)(at[mine] - begun)
        return found

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths (M,) [m]."""
        return self._each(s, "position")

    def tangent(self, s: Floats) -> Floats:
        """Unit tangents (M, 3) at arc lengths (M,) [m]; at a corner that of what follows."""
        return self._each(s, "tangent")


@dataclass(frozen=True)
class Moved:
    """A curve carried to another place by `by` (x, y, z) [m]."""

    curve: Rail
    by: Point

    @property
    def length_m(self) -> float:
        """Unchanged by moving [m]."""
        return self.curve.length_m

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths (M,) [m]."""
        points: Floats = self.curve.position(s) + np.asarray(self.by)
        return points

    def tangent(self, s: Floats) -> Floats:
        """Unit tangents (M, 3) at arc lengths (M,) [m]."""
        return self.curve.tangent(s)


def chain(pieces: Iterable[Rail | None]) -> Chain:
    """A chain of the pieces that are there."""
    return Chain(tuple(piece for piece in pieces if piece is not None))


def polyline(points: Sequence[Point]) -> Chain:
    """Straight from point to point (x, y, z) [m]; points that repeat are passed over.

    Raises:
        ArmatureError: fewer than two different points.
    """
    if not np.all(np.isfinite(np.asarray(points, dtype=float))):
        raise ArmatureError(
            message("A point of this line is not a number."), message("Give lengths like 2 m.")
        )
    return chain(_between(a, b) for a, b in pairwise(points))


def _between(a: Point, b: Point) -> Line | None:
    return Line(a, b) if float(np.linalg.norm(np.subtract(b, a))) > SHORTEST_M else None


def half_circle(width_m: float, height_m: float) -> Chain:
    """A round arch from (-w/2, 0) over (0, h) to (w/2, 0).

    A half circle where height = width/2; on straight legs where it is higher, a segment of a
    larger circle where it is lower:

         .-'-.        .-'-.
        /     \\      |     |       _.-'-._
       |       |     |     |      /       \\
        h = w/2       h > w/2       h < w/2
    """
    half = positive("width", width_m) / 2
    legs = positive("height", height_m) - half
    if legs < -SHORTEST_M:
        radius = (half**2 + height_m**2) / (2 * height_m)
        open_rad = 2 * np.arctan2(half, radius - height_m)
        return Chain(
            (Arc((0.0, 0.0, height_m - radius), radius, (np.pi + open_rad) / 2, -open_rad),)
        )
    legs = max(legs, 0.0)
    return chain(
        (
            _between((-half, 0.0, 0.0), (-half, 0.0, legs)),
            Arc((0.0, 0.0, legs), half, np.pi, -np.pi),
            _between((half, 0.0, legs), (half, 0.0, 0.0)),
        )
    )


CORNER_SHARE = 0.3
"""Corner radius of a rounded square as a share of its width, height permitting."""


def rounded_square(width_m: float, height_m: float, corner_m: float | None = None) -> Chain:
    """Legs, two quarter-circle corners of radius `corner_m` [m], and a level top.

    Raises:
        ArmatureError: the corners do not fit into width and height.
    """
    half = positive("width", width_m) / 2
    most = min(half, positive("height", height_m))
    radius = min(CORNER_SHARE * width_m, most) if corner_m is None else positive("corner", corner_m)
    if radius > most * (1 + 1e-12):
        raise ArmatureError(
            message(
                "Corners of {radius} m do not fit into {width} m by {height} m.",
                radius=f"{radius:.2f}",
                width=f"{width_m:.2f}",
                height=f"{height_m:.2f}",
            ),
            message("Use corners of {most} m at the most.", most=f"{most:.2f}"),
        )
    rise = height_m - radius
    top = half - radius
    return chain(
        (
            _between((-half, 0.0, 0.0), (-half, 0.0, rise)),
            Arc((-top, 0.0, rise), radius, np.pi, -np.pi / 2),
            _between((-top, 0.0, height_m), (top, 0.0, height_m)),
            Arc((top, 0.0, rise), radius, np.pi / 2, -np.pi / 2),
            _between((half, 0.0, rise), (half, 0.0, 0.0)),
        )
    )


def hoop(across_m: float, share: float = 0.5, side: str = "left") -> Arc:
    """Part of an upright hoop that stands on (0, 0, 0), from its foot up one side.

    Args:
        across_m: diameter of the hoop [m].
        share: of its circumference, 0.5 = half a hoop.
        side: "left" or "right", as the viewer sees it.
    """
    if not 0.0 < share <= 1.0:
        raise ArmatureError(
            message("{share} of a hoop is no part of it.", share=share),
            message("Use a share from 0.1 to 1."),
        )
    radius = positive("hoop", across_m) / 2
    way = -1.0 if side == "left" else 1.0
    return Arc((0.0, 0.0, radius), radius, -np.pi / 2, way * 2 * np.pi * share)


def staircase(steps: int, rise_m: float, run_m: float) -> Line:
    """The line of the nosings of a straight flight, climbing to the right from (0, 0, 0).

    Parallel to the banister; its length is steps · √(rise² + run²).

    Args:
        steps: number of steps.
        rise_m: height of one step [m].
        run_m: depth of one tread [m].
    """
    if steps < 1:
        raise ArmatureError(
            message("A flight of no steps has no banister."), message("Give at least one step.")
        )
    across, up = steps * positive("run", run_m), steps * positive("rise", rise_m)
    return Line((0.0, 0.0, 0.0), (across, 0.0, up))
