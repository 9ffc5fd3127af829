"""Flat grids of balloons: quads square to each other, or duplets in staggered rows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from airwright.decor.armatures import Point, polyline
from airwright.decor.assembly import Floats, Residual
from airwright.decor.packing import SoftPacking, Tolerance, relax
from airwright.decor.parts.stack import residual_of

PITCH_RANGE = (0.83, 0.88)
"""Distances of neighbours in diameters: pressed on all sides until they flatten. Nearer ones
burst or slip out of the plane, wider ones leave gaps to look through (from memory)."""

SAME_ROW = 0.5
"""Balloons of one row lie closer in height than this share of a radius to the next of it."""

HELD = 0.8
"""Grip of a cluster twisted round the bars of its panel (see `SoftPacking.grip`): its neighbours
flatten it, they do not push it out of the plane."""

ROW_RISE = float(np.sqrt(3) / 2)
"""Rise from row to row of staggered balloons, in their distance (hexagonal rows)."""

PATCH = 5
"""Clusters each way that are settled; a larger wall repeats their middle, edges and corners."""

TOLERANCE = Tolerance(relative=1e-4)


@dataclass(frozen=True, slots=True)
class Grid:
    """Balloons across and up, their distance [m], and whether rows are staggered.

    `wide` and `tall` count balloons; `pitch_m` is their distance along a row and `rise_m` from
    row to row.
    """

    wide: int
    tall: int
    pitch_m: float
    rise_m: float
    staggered: bool
    across_m: float

    @property
    def balloons(self) -> int:
        """How many there are."""
        return self.wide * self.tall

    @property
    def size(self) -> tuple[float, float]:
        """Width and height outside to outside [m]."""
        shift = 0.5 if self.staggered and self.tall > 1 else 0.0
        return (
            (self.wide - 1 + shift) * self.pitch_m + self.across_m,
            (self.tall - 1) * self.rise_m + self.across_m,
        )


@dataclass(frozen=True, slots=True)
class Row:
    """One way across a grid: how far apart its balloons lie and in what steps they come.

    `across_m` of a balloon, `apart_m` from one to the next unpressed [m], `step` balloons a
    cluster, `shift` of staggered rows in distances, `least` balloons.
    """

    across_m: float
    apart_m: float
    step: int
    shift: float = 0.0
    least: int = 1

    def around(self, size_m: float) -> tuple[tuple[int, float], ...]:
        """The one or two counts nearest to a size [m], and the size [m] each comes closest with."""
        low = PITCH_RANGE[0] * self.apart_m
        many = int(((size_m - self.across_m) / low - self.shift + 1) / self.step + 1e-9) * self.step
        least = -(-self.least // self.step) * self.step
        counts = sorted({max(many, least), max(many + self.step, least)})
        return tuple((count, self._closest(count, size_m)) for count in counts)

    def fitted(self, size_m: float) -> tuple[int, float]:
        """How many balloons come nearest to a size [m], and their distance [m] then."""
        many, size = min(self.around(size_m), key=lambda row: abs(row[1] - size_m))
        gaps = many - 1 + self.shift
        return many, (size - self.across_m) / gaps if gaps else self.apart_m

    def _closest(self, count: int, size_m: float) -> float:
        gaps = count - 1 + self.shift
        low, high = (self.across_m + gaps * share * self.apart_m for share in PITCH_RANGE)
        return float(np.clip(size_m, low, high))


def cells(grid: Grid, along: int, up: int) -> list[tuple[int, int]]:
    """Column and row of each balloon of a cluster, in slot order: lower ones first."""
    x = 2 * along
    if grid.staggered:
        return [(x, up), (x + 1, up)]
    return [(x, 2 * up), (x + 1, 2 * up), (x + 1, 2 * up + 1), (x, 2 * up + 1)]


def _slots(grid: Grid, neck: float) -> Floats:
    """Balloons of one cluster round its tie (slots, 3) [m].

    The necks go through the panel: what is longer than the way to the middle of the cluster
    leads back to a tie behind the balloons.
    """
    half, rise = grid.pitch_m / 2, grid.rise_m / 2
    flat = [(-half, 0.0), (half, 0.0)]
    if not grid.staggered:
        flat = [(-half, -rise), (half, -rise), (half, rise), (-half, rise)]
    behind = float(np.sqrt(max(neck**2 - flat[0][0] ** 2 - flat[0][1] ** 2, 0.0)))
    return np.array([(x, -behind, z) for x, z in flat])


def _tie(grid: Grid, behind: float, along: Floats, up: Floats) -> Floats:
    """Tie points (..., 3) [m] of clusters counted along and up."""
    first_x = -grid.size[0] / 2 + grid.across_m / 2 + grid.pitch_m / 2
    first_z = grid.across_m / 2 + (0.0 if grid.staggered else grid.rise_m / 2)
    shift = np.where(np.asarray(up) % 2 == 1, 0.5, 0.0) if grid.staggered else 0.0
    x = first_x + (2 * along + shift) * grid.pitch_m
    z = first_z + up * grid.rise_m * (1 if grid.staggered else 2)
    return np.stack([x, np.full_like(x, behind), z], axis=-1)


def settle_grid(
    grid: Grid, neck: float, pressure_pa: float
) -> tuple[Floats, Floats, Floats, Residual]:
    """Ties (rows, columns, 3), balloons round them and their axes (rows, columns, slots, 3)."""
    columns = grid.wide // 2
    rows = grid.tall if grid.staggered else grid.tall // 2
    up, along = np.meshgrid(np.arange(rows), np.arange(columns), indexing="ij")
    behind = -float(_slots(grid, neck)[0, 1])
    ties = _tie(grid, behind, along.astype(float), up.astype(float))
    few = (min(rows, PATCH + 1), min(columns, PATCH))
    patch, axes, residual = _patch(grid, few, neck, pressure_pa)
    at = np.ix_(_like(rows, few[0], 2 if grid.staggered else 1), _like(columns, few[1], 1))
    return ties, patch[at], axes[at], residual


def _like(many: int, few: int, step: int) -> list[int]:
    """For each of `many` rows the row of a patch of `few` that has the same place.

    Near an edge the same distance from it, else the middle; with `step` 2 odd stays odd.
    """
    if many <= few:
        return list(range(many))
    edge = few // 2
    found = []
    for at in range(many):
        if at < edge:
            found.append(at)
        elif many - at <= few - edge - 1:
            alike = few - (many - at)
            found.append(alike - (alike - at) % step)
        else:
            found.append(edge - (edge - at) % step)
    return found


@lru_cache(maxsize=64)
def _patch(
    grid: Grid, few: tuple[int, int], neck: float, pressure_pa: float
) -> tuple[Floats, Floats, Residual]:
    """Offsets from their ties and axes (rows, columns, slots, 3) of a settled small wall."""
    rows, columns = few
    up, along = np.meshgrid(np.arange(rows), np.arange(columns), indexing="ij")
    slots = _slots(grid, neck)
    behind = -float(slots[0, 1])
    ties = _tie(grid, behind, along.astype(float), up.astype(float)).reshape(-1, 3)
    points: list[Point] = [(float(x), float(y), float(z)) for x, y, z in ties]
    far = [*points, (points[-1][0] + 1.0, points[-1][1], points[-1][2])]
    rail = polyline(far)  # ties are held: the rail only says where they are
    tie_s = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(ties, axis=0), axis=1))])
    centre = (ties[:, None] + slots[None]).reshape(-1, 3)
    packed = relax(
        SoftPacking(
            centre0=centre,
            radius=np.full(len(centre), grid.across_m / 2),
            tie=np.repeat(np.arange(len(ties)), len(slots)),
            tie_s0=tie_s,
            neck_m=np.full(len(centre), neck),
            pressure_pa=pressure_pa,
            grip=HELD,
            tie_free=np.zeros(len(ties), dtype=np.bool_),
            rail=rail,
            floor=True,
        ),
        TOLERANCE,
    )
    shape = (rows, columns, len(slots), 3)
    offset = packed.centre.reshape(len(ties), len(slots), 3) - ties[:, None]
    return offset.reshape(shape), packed.axis.reshape(shape), residual_of(packed)


def places_in(centre: Floats, radius: Floats) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Row from the floor up and place from the left (N,) of each balloon of a built wall.

    Args:
        centre, radius: (N, 3) and (N,) of its balloons [m].
    """
    order = np.argsort(centre[:, 2], kind="stable")
    steps = np.diff(centre[order, 2], prepend=centre[order[:1], 2]) > SAME_ROW * radius.min()
    row = np.empty(len(centre), dtype=np.int64)
    row[order] = np.cumsum(steps)
    across = np.lexsort((centre[:, 0], row))
    first = np.searchsorted(row[across], np.arange(row.max() + 1))
    place = np.empty(len(centre), dtype=np.int64)
    place[across] = np.arange(len(centre)) - first[row[across]]
    return row, place
