"""Sensible places to start from: rings stacked along a rail, and clusters on their own."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from airwright.decor.packing.energy import spiral
from airwright.decor.packing.model import NECK_PER_DIAMETER, Ints, PackingError
from airwright.decor.packing.rail import Floats, Rail, StraightRail, frames

_TURNS_TRIED = 48  # rotations of a new ring against the one below
_SETTLED = 0.97  # of the rise of touching spheres: start pressed a little, not apart
_LAYERS_BELOW = 3  # how many rings below may hold a new one up
_LEAST_RISE = 0.3  # of the smaller mean radius: no ring sinks right into the one below


@dataclass(frozen=True, eq=False)
class Start:
    """Where to start: the arrays a `SoftPacking` asks for, plus each balloon's slot angle.

    `centre0` (N, 3) m, `radius` (N,) m, `tie` (N,), `tie_s0` (M,) m, `neck_m` (N,) m,
    `angle` (N,) rad about the rail (0 at the front, growing to the viewer's right),
    `slot` (N,) place within the cluster.
    """

    centre0: Floats
    radius: Floats
    tie: Ints
    tie_s0: Floats
    neck_m: Floats
    angle: Floats
    slot: Ints


def neck_for(radius: Floats) -> Floats:
    """Natural neck lengths [m] for radii [m]: 0.65 inflated diameters."""
    return 2.0 * NECK_PER_DIAMETER * np.asarray(radius, dtype=np.float64)


def ring_start(
    layers: Sequence[Sequence[float] | Floats],
    rail: Rail | None = None,
    *,
    necks: Sequence[Sequence[float] | Floats] | None = None,
    start_s: float | None = None,
    rise_m: float | Sequence[float] | None = None,
    rotation: Sequence[float | None] | None = None,
) -> Start:
    """Clusters stacked along a rail, each turned to sit in the gaps of the one below.

    Parameters
    ----------
    layers : sequence of sequences
        Radii [m] of each cluster, in slot order.
    rail : Rail, optional
        The pole or curve; default a vertical pole at the origin.
    necks : like `layers`, optional
        Natural neck lengths [m]; default 0.65 diameters.
    start_s : float, optional
        Arc length of the first tie [m]; default the largest radius of the first cluster.
    rise_m : float or sequence, optional
        Rise from each tie to the next [m]; default a little less than where
        touching spheres would sit.
    rotation : sequence, optional
        Angle of slot 0 of a cluster [rad], or None for the one that nests deepest.

    Returns
    -------
    Start
        Flat rings round their ties.

    Raises
    ------
    PackingError
        When a cluster is empty or the sequences' lengths differ.
    """
    rail = StraightRail() if rail is None else rail
    rings = [
        _Ring.of(
            np.asarray(r, dtype=np.float64),
            None if necks is None else np.asarray(necks[i], dtype=np.float64),
        )
        for i, r in enumerate(layers)
    ]
    turns, rises = _stack(rings, rotation)
    if rise_m is not None:
        rises = np.broadcast_to(np.asarray(rise_m, dtype=np.float64), rises.shape)
    first = start_s if start_s is not None else (rings[0].radius.max() if rings else 0.0)
    tie_s0 = (float(first) + np.concatenate([[0.0], np.cumsum(rises)]))[: len(rings)]
    return _placed(rings, turns, tie_s0, rail)


@dataclass(frozen=True, eq=False)
class _Ring:
    """One flat cluster: radii, necks, distances from the tie and angles from slot 0."""

    radius: Floats
    neck: Floats
    out: Floats
    angle: Floats

    @classmethod
    def of(cls, radius: Floats, neck: Floats | None) -> "_Ring":
        if radius.ndim != 1 or len(radius) == 0 or not np.all(radius > 0.0):
            raise PackingError("every cluster needs at least one balloon of radius above zero")
        neck = neck_for(radius) if neck is None else neck
        if neck.shape != radius.shape:
            raise PackingError("necks must have one length for every balloon of the cluster")
        if len(radius) == 1:
            return cls(radius, neck, neck, np.zeros(1))
        after = np.roll(radius, -1)
        neck_after = np.roll(neck, -1)
        cosine = (neck**2 + neck_after**2 - (radius + after) ** 2) / (2.0 * neck * neck_after)
        step = np.arccos(np.clip(cosine, -1.0, 0.95))
        step *= 2.0 * np.pi / step.sum()
        angle = np.concatenate([[0.0], np.cumsum(step)[:-1]])
        return cls(radius, neck, neck, angle)

    @property
    def key(self) -> tuple[bytes, bytes]:
        """The same for rings that are alike."""
        return self.radius.tobytes(), self.neck.tobytes()

    @property
    def gaps(self) -> Floats:
        """Angles of the middles of the gaps between neighbours [rad]."""
        following = np.concatenate([self.angle[1:], [2.0 * np.pi]])
        out: Floats = 0.5 * (self.angle + following)
        return out


def _stack(rings: list[_Ring], rotation: Sequence[float | None] | None) -> tuple[Floats, Floats]:
    """Rotations (M,) [rad] and rises (M-1,) [m]."""
    if rotation is not None and len(rotation) != len(rings):
        raise PackingError("rotation must have one entry for every cluster")
    turns, height = np.zeros(len(rings)), np.zeros(len(rings))
    known: dict[tuple[object, ...], float] = {}

    def rise(below: int, ring: int, turn: float) -> float:
        key = (rings[below].key, rings[ring].key, round(turn % (2.0 * np.pi), 12))
        if key not in known:
            known[key] = float(_rise(rings[below], rings[ring], np.array([turn]))[0])
        return known[key]

    for i, ring in enumerate(rings):
        asked = None if rotation is None else rotation[i]
        if i == 0:
            turns[0] = 0.0 if asked is None else asked
            continue
        if asked is not None:
            turns[i] = asked
        else:
            if (rings[i - 1].key, ring.key) not in known:
                known[rings[i - 1].key, ring.key] = _nest(rings[i - 1], ring)
            turns[i] = turns[i - 1] + known[rings[i - 1].key, ring.key]
            if i >= 2 and rings[i - 2].key == ring.key:  # back and forth, no creeping spin
                back = turns[i - 2] - turns[i - 1]
                if rise(i - 1, i, back) <= rise(i - 1, i, turns[i] - turns[i - 1]) * (1.0 + 1e-9):
                    turns[i] = turns[i - 2]
        least = _LEAST_RISE * float(min(ring.radius.mean(), rings[i - 1].radius.mean()))
        height[i] = height[i - 1] + least
        for j in range(max(i - _LAYERS_BELOW, 0), i):
            height[i] = max(height[i], height[j] + _SETTLED * rise(j, i, turns[i] - turns[j]))
    return turns, np.diff(height)


def _nest(below: _Ring, ring: _Ring) -> float:
    """The turn [rad] at which `ring` sits deepest on `below`; gaps come before odd angles."""
    gaps = below.gaps[:, None] - np.concatenate([[0.0], ring.gaps])[None, :]
    scan = 2.0 * np.pi * np.arange(_TURNS_TRIED) / _TURNS_TRIED
    turns = np.concatenate([gaps[:, 0], gaps[:, 1:].ravel(), scan])
    rise = _rise(below, ring, turns)
    return float(turns[int(np.flatnonzero(rise <= rise.min() * (1.0 + 1e-9))[0])])


def _rise(below: _Ring, ring: _Ring, turns: Floats) -> Floats:
    """How far [m] above `below` the ring's tie lies when touching it, for each turn (T,) [rad]."""
    angle = ring.angle[None, :, None] + turns[:, None, None] - below.angle[None, None, :]
    across_sq = (
        ring.out[None, :, None] ** 2
        + below.out[None, None, :] ** 2
        - 2.0 * ring.out[None, :, None] * below.out[None, None, :] * np.cos(angle)
    )
    reach_sq = (ring.radius[None, :, None] + below.radius[None, None, :]) ** 2
    rise: Floats = np.sqrt(np.clip(reach_sq - across_sq, 0.0, None)).max(axis=(1, 2))
    return rise


def _placed(rings: list[_Ring], turns: Floats, tie_s0: Floats, rail: Rail) -> Start:
    count = [len(r.radius) for r in rings]
    tie = np.repeat(np.arange(len(rings)), count)
    gather = [np.concatenate(x) if x else np.empty(0) for x in zip(
        *[(r.radius, r.neck, r.out, r.angle + turn) for r, turn in zip(rings, turns, strict=True)],
        strict=True,
    )] or [np.empty(0)] * 4  # fmt: skip
    radius, neck, out, angle = gather
    point, _, front, right = frames(rail, tie_s0)
    way = np.cos(angle)[:, None] * front[tie] + np.sin(angle)[:, None] * right[tie]
    slot = np.concatenate([np.arange(c) for c in count]) if count else np.empty(0, dtype=np.int64)
    return Start(
        point[tie] + out[:, None] * way, radius, tie, tie_s0, neck,
        np.mod(angle, 2.0 * np.pi), slot.astype(np.int64),
    )  # fmt: skip


def cluster_start(
    radius: Sequence[float] | Floats, at: Floats, neck_m: Floats | None = None
) -> Floats:
    """Centres (N, 3) [m] of one cluster that stands alone round the tie point `at` (3,) [m].

    Directions are spread evenly over the sphere; the largest balloons take those farthest
    from each other, so that a cloud of two large and four small comes out balanced.
    """
    size = np.asarray(radius, dtype=np.float64)
    neck = neck_for(size) if neck_m is None else np.asarray(neck_m, dtype=np.float64)
    n = len(size)
    ways = _even_ways(n)
    left = list(range(n))
    centres = np.empty((n, 3))
    taken: list[int] = []
    for balloon in np.lexsort((np.arange(n), -size)):
        if taken:
            nearest = (ways[left] @ ways[taken].T).max(axis=1)
            pick = left[int(np.argmin(np.round(nearest, 9)))]
        else:
            pick = left[0]
        left.remove(pick)
        taken.append(pick)
        centres[balloon] = np.asarray(at) + neck[balloon] * ways[pick]
    return centres


def _even_ways(n: int) -> Floats:
    """Evenly spread unit vectors (n, 3): the regular shapes where there is one."""
    ring = 2.0 * np.pi * np.arange(3) / 3.0
    if n in (2, 3, 4, 6):
        shapes = {
            2: [[-1, 0, 0], [1, 0, 0]],
            3: np.column_stack([np.cos(ring), np.sin(ring), 0.0 * ring]),
            4: [[1, 1, 1], [1, -1, -1], [-1, 1, -1], [-1, -1, 1]],
            6: [[-1, 0, 0], [1, 0, 0], [0, -1, 0], [0, 1, 0], [0, 0, 1], [0, 0, -1]],
        }
        shape = np.asarray(shapes[n], dtype=np.float64)
        unit: Floats = shape / np.linalg.norm(shape, axis=1)[:, None]
        return unit
    return spiral(n)
