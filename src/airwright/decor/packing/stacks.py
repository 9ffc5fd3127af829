"""Stacks of clusters on a rail: how far apart they settle, and the push that a studio uses."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from airwright.decor.packing.model import (
    GAUGE_PRESSURE_PA,
    GRIP,
    Bools,
    Packed,
    PackingError,
    SoftPacking,
    Tolerance,
)
from airwright.decor.packing.rail import Floats, Rail, StraightRail, nearest_s, on_rail
from airwright.decor.packing.relaxation import relax, upright
from airwright.decor.packing.starts import Start, ring_start

_LEAST_LAYERS = 9  # of a stack from which the rise of an endless one is read
_END_LAYERS = 3  # of those left out at either end
OWN_WEIGHT_N_M2 = 7.0
"""Times the sum of R^2 of a cluster: what presses a stack together when nobody pushes.

Rubber weighs about 1.5 N per square metre of R^2 (3 g at 28 cm across; from memory), and the
middle of a column carries about five layers.
"""
HARDEST_PUSH = 1.5  # times 2 pi p R^2: no hand pushes harder, and rubber does not stand it
_FIT_ROUNDS = 60
_FIT_TOLERANCE = Tolerance(1e-6, 60)


@dataclass(frozen=True, eq=False)
class Settled:
    """A stack at rest.

    `rise_m` (M-1,) from each tie to the next [m]; `length_m` overall along the rail, from
    the outside of the first cluster to the outside of the last [m]; `width_m` diameter of
    the tube round the rail that holds every balloon [m].
    """

    start: Start
    problem: SoftPacking
    packed: Packed
    rise_m: Floats
    length_m: float
    width_m: float

    @property
    def sound(self) -> bool:
        """Whether forces balance, the clusters kept their order and none is crushed."""
        return self.packed.converged and upright(self.problem, self.packed)


@dataclass(frozen=True)
class PushFit:
    """The push [N] that reproduces a measurement, and the pitch and width [m] that go with it."""

    push_n: float
    pitch_m: float
    length_m: float
    width_m: float


def settle(
    layers: Sequence[Sequence[float] | Floats],
    push_n: float = 0.0,
    *,
    rail: Rail | None = None,
    necks: Sequence[Sequence[float] | Floats] | None = None,
    rotation: Sequence[float | None] | None = None,
    start_s: float | None = None,
    rise_m: float | Sequence[float] | None = None,
    tie_free: Bools | None = None,
    pressure_pa: float = GAUGE_PRESSURE_PA,
    neck_stiffness_n_m: Floats | float | None = None,
    pole_radius_m: float = 0.0,
    pull_n: Floats | None = None,
    floor: bool = False,
    yielding: bool = True,
    grip: Floats | float = GRIP,
    tolerance: Tolerance | None = None,
) -> Settled:
    """Stack clusters of the given radii [m] on a rail, push them together, and let them rest.

    Arguments are those of `ring_start` and `SoftPacking`; `layers` holds the radii [m] of
    each cluster in slot order, `push_n` the hand's force [N]; a stack that nobody pushes
    still rests on its own weight, or nothing would tell how far apart its clusters lie.
    Raises PackingError for input that makes no sense; look at `packed.converged` and
    `sound` for the outcome.
    """
    rail = StraightRail() if rail is None else rail
    start = ring_start(layers, rail, necks=necks, start_s=start_s, rise_m=rise_m, rotation=rotation)
    problem = SoftPacking(
        centre0=start.centre0,
        radius=start.radius,
        tie=start.tie,
        tie_s0=start.tie_s0,
        neck_m=start.neck_m,
        neck_stiffness_n_m=neck_stiffness_n_m,
        pressure_pa=pressure_pa,
        tie_free=tie_free,
        rail=rail,
        pole_radius_m=pole_radius_m,
        push_n=max(push_n, _own_weight(layers)),
        yielding=yielding,
        grip=grip,
        pull_n=pull_n,
        floor=floor,
    )
    packed = relax(problem, tolerance)
    length, width = extent(problem, packed)
    return Settled(start, problem, packed, np.diff(packed.tie_s), length, width)


def _own_weight(layers: Sequence[Sequence[float] | Floats]) -> float:
    """A feeble push [N] that holds a stack together."""
    areas = [float((np.asarray(layer, dtype=np.float64) ** 2).sum()) for layer in layers]
    return OWN_WEIGHT_N_M2 * max(areas, default=0.0)


def extent(problem: SoftPacking, packed: Packed) -> tuple[float, float]:
    """Overall length along the rail and diameter of the tube round it [m]."""
    if len(packed.centre) == 0:
        return 0.0, 0.0
    radius = np.asarray(problem.radius)
    foot_s = nearest_s(problem.rail, packed.centre, packed.tie_s[np.asarray(problem.tie)])
    off = np.linalg.norm(packed.centre - on_rail(problem.rail, foot_s)[0], axis=1)
    length = float((foot_s + radius).max() - (foot_s - radius).min())
    return length, 2.0 * float((off + radius).max())


def mean_rise(
    period: Sequence[Sequence[float] | Floats],
    push_n: float,
    *,
    necks: Sequence[Sequence[float] | Floats] | None = None,
    pressure_pa: float = GAUGE_PRESSURE_PA,
    neck_stiffness_n_m: float | None = None,
    pole_radius_m: float = 0.0,
    tolerance: Tolerance | None = None,
) -> float:
    """Settled rise per layer [m] of an endless stack in which `period` repeats.

    A stack of at least nine layers is settled and the middle ones read, whole periods only,
    the three layers nearest each end left out. Where the clusters would slip through each
    other the hand eases off, as in `relax`. Raises PackingError when they come to rest
    under no push at all.
    """
    if len(period) == 0:
        raise PackingError("a stack needs at least one cluster to repeat")
    size = len(period)
    block = 2 * size if size % 2 else size  # turns go to and fro: read an even number of layers
    ends = -(-_END_LAYERS // block) * block
    middle = -(-(_LEAST_LAYERS - 2 * _END_LAYERS) // block) * block
    repeats = (2 * ends + middle) // size + 1
    result = settle(
        list(period) * repeats,
        push_n,
        necks=None if necks is None else list(necks) * repeats,
        pressure_pa=pressure_pa,
        neck_stiffness_n_m=neck_stiffness_n_m,
        pole_radius_m=pole_radius_m,
        tolerance=tolerance,
    )
    if not result.sound:
        raise PackingError(
            f"these clusters do not come to rest under a push of {push_n:.0f} N or less (forces "
            f"are out by {result.packed.residual:.0%} of a contact); they slip past each other: "
            "use more balloons a cluster, or sizes nearer to each other"
        )
    s = result.packed.tie_s
    return float(s[ends + middle] - s[ends]) / middle


def pitch(
    radius: float,
    count: int,
    push_n: float = 0.0,
    *,
    neck_m: float | None = None,
    pressure_pa: float = GAUGE_PRESSURE_PA,
    neck_stiffness_n_m: float | None = None,
    pole_radius_m: float = 0.0,
    tolerance: Tolerance | None = None,
) -> float:
    """Settled rise per layer [m] of an endless stack of like clusters.

    `radius` [m] of each balloon, `count` balloons in a cluster, `push_n` [N]. See
    `mean_rise`, which also takes unlike clusters in alternation.
    """
    if count < 1:
        raise PackingError("a cluster needs at least one balloon")
    return mean_rise(
        [[radius] * count],
        push_n,
        necks=None if neck_m is None else [[neck_m] * count],
        pressure_pa=pressure_pa,
        neck_stiffness_n_m=neck_stiffness_n_m,
        pole_radius_m=pole_radius_m,
        tolerance=tolerance,
    )


def fit_push(
    count: int,
    radius_m: float,
    layers: int,
    measured_length_m: float,
    *,
    neck_m: float | None = None,
    pressure_pa: float = GAUGE_PRESSURE_PA,
    neck_stiffness_n_m: float | None = None,
    pole_radius_m: float = 0.0,
) -> PushFit:
    """The push [N] with which `layers` clusters come out `measured_length_m` [m] long.

    The length is measured overall, from the outside of the first cluster to the outside of
    the last. `count` balloons of `radius_m` [m] make a cluster.

    Raises
    ------
    PackingError
        When fewer than two clusters were measured, or when no push between none and the
        hardest that the balloons stand gives that length; the message names the lengths
        that can be reached.
    """
    if layers < 2 or count < 1:
        raise PackingError("measure at least two clusters of at least one balloon")
    if not np.isfinite(measured_length_m) or measured_length_m <= 0.0:
        raise PackingError("the measured length must be a finite number above zero")

    def settled(push_n: float) -> Settled:
        return settle(
            [[radius_m] * count] * layers,
            push_n,
            necks=None if neck_m is None else [[neck_m] * count] * layers,
            pressure_pa=pressure_pa,
            neck_stiffness_n_m=neck_stiffness_n_m,
            pole_radius_m=pole_radius_m,
            yielding=False,
            tolerance=_FIT_TOLERANCE,
        )

    loose = settled(0.0)
    if measured_length_m > loose.length_m * (1.0 + 1e-9):
        raise PackingError(
            f"{layers} such clusters are only {loose.length_m:.3f} m long when nothing pushes "
            f"them, so they cannot fill {measured_length_m:.3f} m; check the count, the "
            "inflated size and the length"
        )
    scale = 2.0 * np.pi * pressure_pa * radius_m**2
    return _bisect(settled, measured_length_m, loose, HARDEST_PUSH * scale, layers)


def loose_length(
    count: int, radius_m: float, layers: int, *, pressure_pa: float = GAUGE_PRESSURE_PA
) -> float:
    """Overall length [m] of `layers` clusters of `count` balloons of `radius_m` [m] that nobody
    pushes."""
    return settle([[radius_m] * count] * layers, 0.0, pressure_pa=pressure_pa).length_m


def _bisect(
    settled: Callable[[float], Settled],
    wanted_m: float,
    loose: Settled,
    hardest_n: float,
    layers: int,
) -> PushFit:
    """Halve the range of pushes; the length falls as the push grows, until the stack fails."""
    low, high = 0.0, hardest_n
    best, reachable = loose, False
    for _ in range(_FIT_ROUNDS):
        push = 0.5 * (low + high)
        tried = settled(push)
        if tried.sound and tried.length_m >= wanted_m:
            low, best = push, tried
        else:
            high, reachable = push, tried.sound
        if high - low < (1e-7 if reachable else 1e-3) * hardest_n:
            break
    if abs(best.length_m - wanted_m) > 1e-4 * wanted_m:
        raise PackingError(
            f"no push these balloons stand brings {layers} clusters to {wanted_m:.3f} m; "
            f"pushed as hard as can be they are {best.length_m:.3f} m long. Check the count, "
            "the inflated size and the length"
        )
    return PushFit(low, float(best.rise_m.mean()), best.length_m, best.width_m)
