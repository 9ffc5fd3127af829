"""Balloons of several sizes packed inside an outline, side by side in one plane.

.---------------.
| O o O O o O o |     every balloon presses on its neighbours and on the rim, as soft
| o O .---. O O |     discs do; where a hole is left that is larger than allowed, one
| O O |   | o O |     more of the smallest is pushed in, and all give way a little
'-----'   '-----'
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats
from airwright.decor.packing.threads import one_blas_thread

if TYPE_CHECKING:
    from shapely import Polygon

Ints = NDArray[np.int64]

FILLED: Final = 0.88
"""Discs over the room they get, to begin with: they touch from about 0.84 on (random close
packing of discs) and are pressed together as hands do."""

RIM_GIVES: Final = 0.12
"""How far a balloon is pressed flat on the rim before the rim pushes back, in radii."""

PRESSED_MOST: Final = 0.15
"""Deepest that two balloons may run into each other, of the smaller diameter: more would slip."""

ROUNDS: Final = 14
GRID: Final = 6.0
"""Grid points over the smallest radius, for distances to the rim."""


@dataclass(frozen=True, slots=True, eq=False)
class Filled:
    """Balloons inside an outline.

    Attributes:
        centre: (N, 2) [m].
        size: (N,) which of the sizes given each is.
        hole_m: diameter of the largest hole left between balloons and rim [m].
        pressed: deepest two balloons run into each other, of the smaller diameter [-].
    """

    centre: Floats
    size: Ints
    hole_m: float
    pressed: float


def fill_count(area_m2: float, radius: Sequence[float], shares: Sequence[float]) -> int:
    """About how many balloons of a mix fill an area [m²]; at least one."""
    share = np.asarray(shares) / np.sum(shares)
    return max(1, round(FILLED * area_m2 / float(share @ (np.pi * np.asarray(radius) ** 2))))


def fill_outline(
    shape: Polygon, radius: Sequence[float], shares: Sequence[float], gap_m: float, seed: int
) -> Filled:
    """Pack an outline.

    Args:
        shape: the outline, holes cut out [m].
        radius: of each size [m].
        shares: how many of each against the others.
        gap_m: largest hole that may be left, its diameter [m].
        seed: another one packs it another way.
    """
    r = np.asarray(radius, dtype=float)
    rim = _Rim.of(shape, float(r.min()) / GRID)
    chance = np.random.default_rng(seed)
    size = _dealt(fill_count(shape.area, radius, shares), shares, r, chance)
    at = rim.scattered(r[size], chance)
    smallest = int(r.argmin())
    with one_blas_thread():
        at = _relaxed(at, r[size], rim)
        best = Filled(at, size, *_measured(at, r[size], rim))
        for _ in range(ROUNDS):
            if best.hole_m <= gap_m:
                break
            more = rim.holes(best.centre, r[best.size], gap_m / 2, float(r[smallest]))
            at = np.concatenate([best.centre, more])
            size = np.concatenate([best.size, np.full(len(more), smallest)])
            at = _relaxed(at, r[size], rim)
            now = Filled(at, size, *_measured(at, r[size], rim))
            if now.pressed > PRESSED_MOST:
                break
            best = now
    return best


def _dealt(
    count: int, shares: Sequence[float], radius: Floats, chance: np.random.Generator
) -> Ints:
    """Which size each is: as shared out, the large ones first, since they need most room."""
    share = np.asarray(shares) / np.sum(shares)
    size = np.repeat(np.arange(len(radius)), np.round(share * count).astype(int))
    if len(size) == 0:
        size = np.array([int(np.argmax(share))])
    return size[np.argsort(-radius[size], kind="stable")]


@dataclass(frozen=True, slots=True, eq=False)
class _Rim:
    """Distances inward from an outline on a grid, and how they change (ny, nx)."""

    low: Floats
    step: float
    inward: Floats
    slope: Floats  # (2, ny, nx): along x, along y

    @classmethod
    def of(cls, shape: Polygon, step: float) -> _Rim:
        import shapely

        x0, y0, x1, y1 = shape.bounds
        low = np.array([x0, y0]) - 3 * step
        nx, ny = (int(np.ceil(side / step)) + 7 for side in (x1 - x0, y1 - y0))
        grid_x, grid_y = np.meshgrid(low[0] + step * np.arange(nx), low[1] + step * np.arange(ny))
        points = shapely.points(grid_x, grid_y)
        shapely.prepare(shape)
        off = shapely.distance(shape.boundary, points)
        inward = np.where(shapely.contains_properly(shape, points), off, -off)
        along_y, along_x = np.gradient(inward, step)
        return cls(low, step, inward, np.stack([along_x, along_y]))

    def at(self, points: Floats) -> tuple[Floats, Floats]:
        """Distance inward (N,) [m] and its slope (N, 2)."""
        from scipy.ndimage import map_coordinates

        spot = ((points - self.low) / self.step).T[::-1]

        def read(field: Floats) -> Floats:
            out: Floats = map_coordinates(field, spot, order=1, mode="nearest")
            return out

        return read(self.inward), np.stack([read(self.slope[0]), read(self.slope[1])], axis=1)

    def scattered(self, radius: Floats, chance: np.random.Generator) -> Floats:
        """A place for each balloon (N, 2), where most room is left among a few tried by chance."""
        ys, xs = np.nonzero(self.inward > 0)
        inside = self.low + self.step * np.stack([xs, ys], axis=1)
        depth = self.inward[ys, xs]
        at = np.zeros((len(radius), 2))
        for row, r in enumerate(radius):
            fits = np.flatnonzero(depth >= min(r * (1 - RIM_GIVES), 0.9 * depth.max()))
            tried = inside[chance.choice(fits, 24)] + chance.uniform(-0.5, 0.5, (24, 2)) * self.step
            apart = np.linalg.norm(tried[:, None] - at[None, :row], axis=2) - radius[:row] - r
            room = apart.min(axis=1) if row else np.zeros(24)
            at[row] = tried[int(room.argmax())]
        return at

    def free(self, at: Floats, radius: Floats) -> Floats:
        """Radius of the empty disc round each grid point (ny, nx) [m], rim included."""
        from scipy.spatial import cKDTree

        ny, nx = self.inward.shape
        grid = np.stack(np.meshgrid(np.arange(nx), np.arange(ny)), axis=-1).reshape(-1, 2)
        points = self.low + self.step * grid
        room = self.inward.reshape(-1).copy()
        for r in np.unique(radius):
            off, _ = cKDTree(at[radius == r]).query(points)
            room = np.minimum(room, off - r)
        return room.reshape(ny, nx)

    def holes(self, at: Floats, radius: Floats, least: float, apart: float) -> Floats:
        """Middles (K, 2) of holes larger than `least` [m], none nearer than `apart` to another."""
        room = self.free(at, radius)
        found: list[Floats] = []
        for flat in np.argsort(-room, axis=None):
            y, x = np.unravel_index(flat, room.shape)
            if room[y, x] <= least:
                break
            spot = self.low + self.step * np.array([x, y])
            if all(np.linalg.norm(spot - other) > 2 * apart for other in found):
                found.append(spot)
        return np.array(found).reshape(-1, 2)


def _measured(at: Floats, radius: Floats, rim: _Rim) -> tuple[float, float]:
    """Diameter of the largest hole [m], and the deepest overlap over the smaller diameter."""
    hole = 2 * float(rim.free(at, radius).max())
    i, j, deep = _pairs(at, radius)
    worst = float((deep / (2 * np.minimum(radius[i], radius[j]))).max()) if len(i) else 0.0
    return max(hole, 0.0), worst


def _pairs(at: Floats, radius: Floats) -> tuple[Ints, Ints, Floats]:
    """Pairs that overlap and by how much [m]."""
    from scipy.spatial import cKDTree

    found = cKDTree(at).query_pairs(2 * float(radius.max()), output_type="ndarray")
    i, j = found[:, 0], found[:, 1]
    deep = radius[i] + radius[j] - np.linalg.norm(at[i] - at[j], axis=1)
    return i[deep > 0], j[deep > 0], deep[deep > 0]


def _relaxed(at: Floats, radius: Floats, rim: _Rim) -> Floats:
    """Where soft discs come to rest against each other and the rim (N, 2) [m]."""
    from scipy.optimize import minimize

    unit = float(radius.mean())
    solved = minimize(
        _energy(radius, rim, unit),
        at.ravel() / unit,
        jac=True,
        method="L-BFGS-B",
        options={"maxiter": 250, "ftol": 1e-9, "gtol": 1e-4},
    )
    out: Floats = solved.x.reshape(-1, 2) * unit
    return out


def _energy(radius: Floats, rim: _Rim, unit: float) -> Callable[[Floats], tuple[float, Floats]]:
    """Energy and forces of discs pressed together, lengths in `unit` [m]."""

    def energy(flat: Floats) -> tuple[float, Floats]:
        at = flat.reshape(-1, 2) * unit
        force = np.zeros_like(at)
        i, j, deep = _pairs(at, radius)
        way = at[i] - at[j]
        way /= np.linalg.norm(way, axis=1)[:, None] + 1e-12
        push = deep[:, None] * way
        for axis in (0, 1):
            force[:, axis] += np.bincount(i, push[:, axis], len(at))
            force[:, axis] -= np.bincount(j, push[:, axis], len(at))
        inward, slope = rim.at(at)
        out = np.maximum((1 - RIM_GIVES) * radius - inward, 0.0)
        force += 2 * out[:, None] * slope
        total = 0.5 * float((deep**2).sum()) + float((out**2).sum())
        return total / unit**2, (-force / unit).ravel()

    return energy
