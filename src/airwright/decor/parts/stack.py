"""Clusters stacked along a rail, settled by the packing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats, Residual, Role
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.packing import (
    Packed,
    Rail,
    SoftPacking,
    Start,
    StraightRail,
    Tolerance,
    relax,
    ring_start,
)
from airwright.decor.packing.rail import frames, on_rail
from airwright.job.cluster import Cluster

Ints = NDArray[np.int64]

TOLERANCE = Tolerance(relative=1e-5)
"""Force left unbalanced, of a typical contact force; far below what hands can do."""

UNLIKE_TOLERANCE = Tolerance(relative=1e-3)
"""The same where unlike clusters are bent round a curve: they creep on long after friction
would hold them."""

FACE_NECK = 1.05
"""Tie to centre in diameters for balloons turned to the face: their necks are pulled long."""

CROWDED_FROM = 5
"""From this many on balloons of a cluster cannot all sit at neck's length: five touch each other
at 0.85 diameters from the tie, six at 1.00."""

CROWDED_NECK = 0.90
"""Their necks are drawn out to this share of it when the cluster is tied (from memory)."""

FACE_PULL_N = 1.5
"""Gentle force that keeps face balloons in front [N], about what the pushed layers hold."""

SAMPLE_PERIODS = 4
"""Repeats of the body settled to find its rise; the ends differ, the middle is read."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One cluster of a stack: radii and necks [m], which face the front, and pressures [Pa]."""

    radius: tuple[float, ...]
    neck: tuple[float, ...]
    face: tuple[bool, ...]
    pressure: tuple[float, ...]

    @property
    def has_face(self) -> bool:
        """Whether any of its balloons is turned to the front."""
        return any(self.face)


def layer_of(made: Cluster, ctx: Context, face: str | None = None) -> Layer:
    """The geometry of a cluster."""
    radius, neck, front, pressure = [], [], [], []
    crowded = CROWDED_NECK / (2 * np.sin(np.pi / made.count)) if made.count >= CROWDED_FROM else 0.0
    for balloon in made.slots:
        across = ctx.stock(balloon).inflated_m
        turned = face is not None and balloon.size == face
        own = max(ctx.balloon(balloon).neck_ratio, float(crowded))
        radius.append(across / 2)
        neck.append(across * (FACE_NECK if turned else own))
        front.append(turned)
        pressure.append(ctx.pressure(balloon))
    return Layer(tuple(radius), tuple(neck), tuple(front), tuple(pressure))


def settle(
    layers: Sequence[Layer],
    *,
    push_n: float,
    pole_radius_m: float,
    rail: Rail | None = None,
    floor: bool = False,
    start_s: float | None = None,
    rise_m: float | None = None,
    spread: float = 1.0,
) -> Packed:
    """The balance of forces of a stack of clusters.

    Args:
        layers: bottom up (or from the start of the rail).
        push_n, pole_radius_m: see `packing.SoftPacking`.
        rail: a pole by default.
        floor: whether z = 0 holds balloons up.
        start_s: arc length of the first tie [m].
        rise_m: first guess of the rise per layer [m].
        spread: how much further apart than they settle the ties are left [-].
    """
    start = _start(layers, rail, start_s, rise_m)
    face = np.array([turned for layer in layers for turned in layer.face], dtype=bool)
    pull = np.zeros((len(start.radius), 3))
    pull[face, 1] = -FACE_PULL_N
    problem = SoftPacking(
        centre0=start.centre0,
        radius=start.radius,
        tie=start.tie,
        tie_s0=start.tie_s0,
        neck_m=start.neck_m,
        pressure_pa=np.concatenate([layer.pressure for layer in layers]),
        rail=StraightRail() if rail is None else rail,
        pole_radius_m=pole_radius_m,
        push_n=push_n,
        pull_n=pull,
        floor=floor,
    )
    packed = relax(problem, TOLERANCE)
    return packed if spread == 1.0 else _left_loose(problem, packed, spread)


def _left_loose(problem: SoftPacking, packed: Packed, spread: float) -> Packed:
    """The same stack with its ties held `spread` times as far from the first one."""
    tie_s = packed.tie_s[0] + spread * (packed.tie_s - packed.tie_s[0])
    _, tangent = on_rail(problem.rail, packed.tie_s)
    lift = (tie_s - packed.tie_s)[:, None] * tangent
    return relax(
        replace(
            problem,
            centre0=packed.centre + lift[np.asarray(problem.tie)],
            tie_s0=tie_s,
            tie_free=np.zeros(len(tie_s), dtype=np.bool_),
            push_n=0.0,
        ),
        TOLERANCE,
    )


def settle_along(
    layers: Sequence[Layer],
    rail: Rail,
    first_s: float,
    last_s: float,
    *,
    push_n: float,
    pole_radius_m: float,
) -> Packed:
    """A stack laid along a curve, first and last tie held, filling all that lies between.

    It is settled on a straight pole first and then bent: started from rings on the curve,
    unlike clusters jam where they stand. Equal clusters are spaced evenly, as a crew does it
    (left to slide they would buckle a little where the inside of a bend is pressed hardest);
    unlike ones find their places along the line.

    Args:
        layers: from the start of the rail.
        rail: the curve.
        first_s, last_s: arc lengths of the end ties [m].
        push_n, pole_radius_m: see `packing.SoftPacking`; the push only sets how
            the stack settles before it is bent.
    """
    poled = settle(layers, push_n=push_n, pole_radius_m=pole_radius_m)
    length = float(poled.tie_s[-1] - poled.tie_s[0])
    tie_s = first_s + (poled.tie_s - poled.tie_s[0]) * (last_s - first_s) / (length or 1.0)
    even = len(set(layers)) == 1
    if even:
        tie_s = np.linspace(first_s, last_s, len(layers))
    tie = np.repeat(np.arange(len(layers)), [len(layer.radius) for layer in layers])
    free = np.full(len(layers), not even)
    free[[0, -1]] = False
    return relax(
        SoftPacking(
            centre0=_bent(poled.centre - poled.tie_point[tie], rail, tie_s, tie),
            radius=np.concatenate([layer.radius for layer in layers]),
            tie=tie,
            tie_s0=tie_s,
            neck_m=np.concatenate([layer.neck for layer in layers]),
            pressure_pa=np.concatenate([layer.pressure for layer in layers]),
            tie_free=free,
            rail=rail,
            pole_radius_m=pole_radius_m,
            floor=True,
        ),
        TOLERANCE if even else UNLIKE_TOLERANCE,
    )


def _bent(off: Floats, rail: Rail, tie_s: Floats, tie: Ints) -> Floats:
    """Offsets (N, 3) from the ties of an upright pole, carried to the ties of a curve."""
    point, tangent, front, right = frames(rail, tie_s)
    centre: Floats = (
        point[tie] + off[:, :1] * right[tie] - off[:, 1:2] * front[tie] + off[:, 2:] * tangent[tie]
    )
    return centre


def _start(
    layers: Sequence[Layer], rail: Rail | None, start_s: float | None, rise_m: float | None
) -> Start:
    rotation: list[float | None] | None = None
    if _uniform(layers):
        half = np.pi / len(layers[0].radius)
        rotation = [half * (at % 2) for at in range(len(layers))]
    start = ring_start(
        [layer.radius for layer in layers],
        rail,
        necks=[layer.neck for layer in layers],
        start_s=start_s,
        rise_m=rise_m,
        rotation=rotation,
    )
    if any(layer.has_face for layer in layers):
        return _faced(layers, start)
    return start


def _uniform(layers: Sequence[Layer]) -> bool:
    return len(set(layers)) == 1 and not layers[0].has_face


def _faced(layers: Sequence[Layer], start: Start) -> Start:
    """Moves face balloons to the front in two rows, and the others to the back half.

    Seen from above, front at the bottom:   O   O      the large ones behind
                                             o o       the small ones in front, two high
    """
    centre = start.centre0.copy()
    angle = start.angle.copy()
    row = 0
    for at, layer in enumerate(layers):
        rows = np.arange(row, row + len(layer.radius))
        row += len(layer.radius)
        if not layer.has_face:
            continue
        face = rows[list(layer.face)]
        back = rows[[not turned for turned in layer.face]]
        tie = np.array([0.0, 0.0, start.tie_s0[at]])
        for index, (turn, lift) in zip(face, _fan(len(face)), strict=True):
            angle[index] = turn
            centre[index] = tie + start.neck_m[index] * _direction(turn, lift)
        for index, turn in zip(back, _behind(len(back)), strict=True):
            angle[index] = turn
            centre[index] = tie + start.neck_m[index] * _direction(turn, 0.0)
    return Start(centre, start.radius, start.tie, start.tie_s0, start.neck_m, angle, start.slot)


def _direction(turn: float, lift: float) -> Floats:
    """Unit vector `turn` radians to the right of the front, `lift` radians up."""
    flat = np.cos(lift)
    return np.array([flat * np.sin(turn), -flat * np.cos(turn), np.sin(lift)])


def _fan(count: int) -> list[tuple[float, float]]:
    """Turn and lift of face balloons: one or two abreast, more of them in two rows."""
    if count <= 2:
        return [((at - (count - 1) / 2) * 1.0, 0.0) for at in range(count)]
    upper = count // 2
    lower = count - upper
    return [((at - (lower - 1) / 2) * 1.0, -0.35) for at in range(lower)] + [
        ((at - (upper - 1) / 2) * 1.0, 0.35) for at in range(upper)
    ]


def _behind(count: int) -> list[float]:
    """Turns of the others: shoulder to shoulder round the back, a pair to left and right."""
    if count == 1:
        return [np.pi]
    return [float(turn) for turn in np.linspace(1.75, 2 * np.pi - 1.75, count)]


@lru_cache(maxsize=512)
def rise(body: tuple[Layer, ...], push_n: float, pole_radius_m: float) -> float:
    """Settled rise of one repeat of the body [m], read in the middle of a short stack."""
    repeats = SAMPLE_PERIODS if len(body) > 1 else 2 * SAMPLE_PERIODS
    packed = settle(body * repeats, push_n=push_n, pole_radius_m=pole_radius_m)
    first, last = len(body), (repeats - 1) * len(body)
    return float(packed.tie_s[last] - packed.tie_s[first]) / (repeats - 2)


@lru_cache(maxsize=512)
def reach(body: tuple[Layer, ...], push_n: float, pole_radius_m: float) -> float:
    """How far a settled body reaches from its line to the outside [m], its ends left out."""
    repeats = SAMPLE_PERIODS if len(body) > 1 else 2 * SAMPLE_PERIODS
    layers = body * repeats
    packed = settle(layers, push_n=push_n, pole_radius_m=pole_radius_m)
    radius = np.concatenate([np.array(layer.radius) for layer in layers])
    tie = np.repeat(np.arange(len(layers)), [len(layer.radius) for layer in layers])
    inner = (tie >= len(body)) & (tie < len(layers) - len(body))
    out = np.hypot(packed.centre[:, 0], packed.centre[:, 1]) + radius
    return float(out[inner].max())


def residual_of(packed: Packed) -> Residual:
    """The packing's own doubt."""
    return Residual(packed.residual_n, packed.residual, packed.converged)


def add_layers(
    draft: Draft,
    ctx: Context,
    made: Sequence[Cluster],
    names: Sequence[Sequence[str]],
    packed: Packed,
) -> list[tuple[int, ...]]:
    """Every cluster where the packing left it, one a layer, with its work and its doubt.

    Args:
        draft: the piece so far.
        ctx: catalogue and shades.
        made: the clusters in the order they are stacked.
        names: for each cluster a shade name a balloon, in slot order.
        packed: where they came to rest, balloons in the same order.

    Returns:
        For each layer the rows of its balloons.
    """
    layers = []
    row = 0
    for at, cluster in enumerate(made):
        stop = row + cluster.count
        layers.append(
            draft.cluster(
                str(cluster),
                packed.centre[row:stop],
                packed.axis[row:stop],
                [ctx.stock(balloon) for balloon in cluster.slots],
                [ctx.shade(name) for name in names[at]],
                packed.tie_point[at],
                Role.BODY,
                layer=at,
            )
        )
        row = stop
    draft.layers = len(made)
    draft.work("stack cluster", len(made))
    draft.doubt(residual_of(packed))
    return layers
