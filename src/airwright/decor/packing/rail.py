"""Rails: the curves that ties sit on and slide along.

A rail is anything with a length, a position and a unit tangent at an arc length. The
engine itself carries on straight past both ends, so that a tie pushed off the end of a
pole is a wrong answer one can see, not an error.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_SAMPLE_STEP_M = 0.01  # of the engine's own copy of a curved rail
_FEWEST_SAMPLES, _MOST_SAMPLES = 200, 20_000


class Rail(Protocol):
    """A curve in space parametrised by its arc length s [m], 0 <= s <= length_m."""

    @property
    def length_m(self) -> float:
        """Arc length of the whole rail [m]."""
        ...

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths s (M,) [m]."""
        ...

    def tangent(self, s: Floats) -> Floats:
        """Unit tangents (M, 3) [-] at arc lengths s (M,) [m]."""
        ...


@dataclass(frozen=True)
class StraightRail:
    """A straight pole or line from `origin` [m] along the unit vector `direction` [-]."""

    length_m: float = 2.0
    origin: tuple[float, float, float] = (0.0, 0.0, 0.0)
    direction: tuple[float, float, float] = (0.0, 0.0, 1.0)

    def __post_init__(self) -> None:
        norm = float(np.linalg.norm(self.direction))
        if not np.isfinite(norm) or norm == 0.0:
            raise ValueError("a rail needs a direction that is not zero")
        if abs(norm - 1.0) > 1e-15:
            x, y, z = (float(c) / norm for c in self.direction)
            object.__setattr__(self, "direction", (x, y, z))

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths s (M,) [m]; the line goes on past its ends."""
        along = np.asarray(s, dtype=np.float64)[:, None]
        point: Floats = np.asarray(self.origin) + along * np.asarray(self.direction)
        return point

    def tangent(self, s: Floats) -> Floats:
        """The same unit tangent (M, 3) [-] at every arc length s (M,) [m]."""
        return np.broadcast_to(np.asarray(self.direction), (len(s), 3)).copy()


def on_rail(rail: Rail, s: Floats) -> tuple[Floats, Floats]:
    """Points (M, 3) [m] and unit tangents (M, 3) [-] at s (M,) [m], straight past the ends."""
    if isinstance(rail, StraightRail):
        return rail.position(s), rail.tangent(s)
    inside = np.clip(s, 0.0, rail.length_m)
    tangent = rail.tangent(inside)
    return rail.position(inside) + (s - inside)[:, None] * tangent, tangent


def bend(rail: Rail, s: Floats) -> Floats:
    """Curvature vectors (M, 3) [1/m] at s (M,) [m]; zero past the ends."""
    return rail.bend(s) if isinstance(rail, SampledRail) else np.zeros((len(s), 3))


class SampledRail:
    """A copy of a rail made of cubic pieces, whose tangent is exactly its position's slope.

    Rails that interpolate between points report tangents that are not quite the slope of
    their positions; then no place balances the forces to better than that difference.
    """

    def __init__(self, rail: Rail) -> None:
        self.length_m = float(rail.length_m)
        pieces = int(np.ceil(self.length_m / _SAMPLE_STEP_M))
        pieces = min(max(pieces, _FEWEST_SAMPLES), _MOST_SAMPLES)
        self._step = self.length_m / pieces
        self._at = rail.position(np.linspace(0.0, self.length_m, pieces + 1))
        self._slope = np.gradient(self._at, self._step, axis=0, edge_order=2)

    def _piece(self, s: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Place within the piece (M, 1) in 0..1, and both ends' points and scaled slopes."""
        inside = np.clip(s, 0.0, self.length_m) / self._step
        i = np.minimum(inside.astype(np.int64), len(self._at) - 2)
        u = (inside - i)[:, None]
        h = self._step
        return u, self._at[i], self._at[i + 1], h * self._slope[i], h * self._slope[i + 1]

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at s (M,) [m]."""
        u, a, b, da, db = self._piece(s)
        rise: Floats = a + u * (da + u * (3.0 * (b - a) - 2.0 * da - db + u * (
            2.0 * (a - b) + da + db)))  # fmt: skip
        return rise

    def tangent(self, s: Floats) -> Floats:
        """Slopes (M, 3) [-] at s (M,) [m], of unit length but for the sampling."""
        u, a, b, da, db = self._piece(s)
        slope: Floats = da + u * (2.0 * (3.0 * (b - a) - 2.0 * da - db) + u * (
            3.0 * (2.0 * (a - b) + da + db)))  # fmt: skip
        return slope / self._step

    def bend(self, s: Floats) -> Floats:
        """Second slopes (M, 3) [1/m] at s (M,) [m]."""
        u, a, b, da, db = self._piece(s)
        second = 2.0 * (3.0 * (b - a) - 2.0 * da - db) + u * (6.0 * (2.0 * (a - b) + da + db))
        outside = (s < 0.0) | (s > self.length_m)
        second[outside] = 0.0
        curved: Floats = second / self._step**2
        return curved


def sampled(rail: Rail) -> Rail:
    """The engine's copy of `rail`; straight rails are exact as they are."""
    return rail if isinstance(rail, StraightRail) else SampledRail(rail)


def nearest_s(rail: Rail, point: Floats, s0: Floats, rounds: int = 4) -> Floats:
    """Arc lengths (N,) [m] of the foot points of `point` (N, 3) [m], starting from s0 (N,)."""
    s = np.array(s0, dtype=np.float64)
    for _ in range(1 if isinstance(rail, StraightRail) else rounds):
        foot, tangent = on_rail(rail, s)
        s += np.einsum("ij,ij->i", point - foot, tangent)
    return s


def frames(rail: Rail, s: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Points, tangents and two normals (each (M, 3)) at s (M,), without needless twist.

    The first normal starts out as the front (-y) made square to the rail and is carried
    along by double reflection [1]_, so that rings on a curved rail do not spin. Looking
    back along the tangent, slot angles grow from the front to the viewer's right.

    References
    ----------
    .. [1] Wang, Juttler, Zheng, Liu, "Computation of rotation minimizing frames",
       ACM Transactions on Graphics 27 (2008), article 2.
    """
    point, tangent = on_rail(rail, s)
    first = np.empty_like(point)
    if len(s) == 0:
        return point, tangent, first, first.copy()
    first[0] = _front(tangent[0])
    if isinstance(rail, StraightRail):
        first[:] = first[0]
    else:
        for i in range(len(s) - 1):
            first[i + 1] = _carried(point[i], point[i + 1], tangent[i], tangent[i + 1], first[i])
    return point, tangent, first, np.cross(tangent, first)


def _front(tangent: Floats) -> Floats:
    """The front (-y), or up where the rail itself runs front to back, square to `tangent`."""
    wish = np.array([0.0, -1.0, 0.0]) if abs(tangent[1]) < 0.9 else np.array([0.0, 0.0, 1.0])
    normal = wish - (wish @ tangent) * tangent
    unit: Floats = normal / np.linalg.norm(normal)
    return unit


def _carried(a: Floats, b: Floats, ta: Floats, tb: Floats, normal: Floats) -> Floats:
    """One step of the double reflection from point a to point b."""
    v = b - a
    c = float(v @ v)
    if c == 0.0:
        return normal
    left_normal = normal - (2.0 / c) * (v @ normal) * v
    left_tangent = ta - (2.0 / c) * (v @ ta) * v
    w = tb - left_tangent
    c = float(w @ w)
    turned = left_normal if c == 0.0 else left_normal - (2.0 / c) * (w @ left_normal) * w
    turned = turned - (turned @ tb) * tb
    unit: Floats = turned / np.linalg.norm(turned)
    return unit
