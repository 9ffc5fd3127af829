"""The values of the packing engine: the problem, the tolerance, the result.

All lengths are metres, forces newtons, pressures pascals. Shapes: N balloons, M ties,
K contacts. Nothing here knows of jobs, catalogues or shades.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from airwright.decor.packing.rail import Floats, Rail, StraightRail

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

NECK_PER_DIAMETER = 0.65  # tie point to balloon centre, from a trial with tied quads
GAUGE_PRESSURE_PA = 2700.0  # what a full round toy balloon holds: 2.5 to 3 kPa
GRIP = 0.01  # a balloon of 24 cm moved 5 cm aside is drawn back with 1 N: a guess, kept small


class PackingError(ValueError):
    """The packing problem makes no sense; the message says which array, and what to mend."""


@dataclass(frozen=True)
class Tolerance:
    """When to stop: `relative` is the force imbalance over a typical contact force [-]."""

    relative: float = 1e-6
    max_iterations: int = 400

    def __post_init__(self) -> None:
        if not (0.0 < self.relative < 1.0):
            raise PackingError("tolerance.relative must lie between 0 and 1")
        if self.max_iterations < 0:
            raise PackingError("tolerance.max_iterations must not be negative")


@dataclass(frozen=True, eq=False)
class SoftPacking:
    """Balloons hung by their necks on ties that sit on a rail: the problem to be relaxed.

    Parameters
    ----------
    centre0 : (N, 3) array
        Where each balloon's centre starts [m].
    radius : (N,) array
        Inflated radius [m].
    tie : (N,) int array
        Which tie each balloon hangs on, 0 <= tie < M.
    tie_s0 : (M,) array
        Where each tie starts on the rail [m of arc length].
    neck_m : (N,) array, optional
        Natural distance from tie point to balloon centre [m]; default 1.3 radii.
    neck_stiffness_n_m : (N,) array or float, optional
        Stiffness of the neck, pulled or pushed [N/m]; default 2 pi R p.
    grip : (N,) array or float
        Sideways stiffness of the necks over 2 pi R p [-]: necks are twisted together and
        rubber grips, so a balloon moved away from where it was tied is drawn back a little.
    pressure_pa : (N,) array or float
        Gauge pressure inside [Pa].
    tie_free : (M,) bool array, optional
        Which ties may slide; default: all but the one nearest the start of the rail.
    rail : Rail
        The pole, line or curve.
    pole_radius_m : float
        Radius of the pole along the rail [m]; 0 for a line that balloons ignore.
    push_n : float
        Force of the hand that presses the clusters together along the rail [N]; between the
        largest clusters it is carried in full, smaller ones are pushed less.
    yielding : bool
        Whether the hand eases off where the clusters would slip through each other;
        `Packed.push_n` tells the force that was left.
    pull_n : (N, 3) array, optional
        Constant extra force on each balloon, such as lift or a pull to the front [N].
    floor : bool
        Whether the plane z = 0 holds balloons up.
    behind_m : float, optional
        Where an upright wall or board behind everything stands, its face at y = behind_m [m];
        balloons stay in front of it.

    Raises
    ------
    PackingError
        When shapes do not fit, or a value is not finite or has a wrong sign.
    """

    centre0: Floats
    radius: Floats
    tie: Ints
    tie_s0: Floats
    neck_m: Floats | None = None
    neck_stiffness_n_m: Floats | float | None = None
    grip: Floats | float = GRIP
    pressure_pa: Floats | float = GAUGE_PRESSURE_PA
    tie_free: Bools | None = None
    rail: Rail = field(default_factory=StraightRail)
    pole_radius_m: float = 0.0
    push_n: float = 0.0
    yielding: bool = True
    pull_n: Floats | None = None
    floor: bool = False
    behind_m: float | None = None

    def __post_init__(self) -> None:
        radius = _array("radius", self.radius, (-1,))
        n = len(radius)
        tie_s0 = _array("tie_s0", self.tie_s0, (-1,))
        m = len(tie_s0)
        pressure = _array("pressure_pa", _spread(self.pressure_pa, n), (n,))
        stiffness = 2.0 * np.pi * _positive("radius", radius) * _positive("pressure_pa", pressure)
        neck = 2.0 * NECK_PER_DIAMETER * radius if self.neck_m is None else self.neck_m
        spring = stiffness if self.neck_stiffness_n_m is None else self.neck_stiffness_n_m
        pull = np.zeros((n, 3)) if self.pull_n is None else self.pull_n
        settled: dict[str, object] = {
            "centre0": _array("centre0", self.centre0, (n, 3)),
            "radius": radius,
            "tie": _indices(self.tie, n, m),
            "tie_s0": tie_s0,
            "neck_m": _positive("neck_m", _array("neck_m", _spread(neck, n), (n,))),
            "neck_stiffness_n_m": _positive(
                "neck_stiffness_n_m", _array("neck_stiffness_n_m", _spread(spring, n), (n,))
            ),
            "pressure_pa": pressure,
            "grip": _not_negative("grip", _array("grip", _spread(self.grip, n), (n,))),
            "tie_free": _free(self.tie_free, tie_s0),
            "pull_n": _array("pull_n", pull, (n, 3)),
        }
        for name, value in settled.items():
            object.__setattr__(self, name, value)
        _check_scalars(self)


@dataclass(frozen=True, eq=False)
class Contacts:
    """Pairs of balloons that press on each other.

    `pair` (K, 2) indices, `overlap_m` (K,) by how much the unpressed spheres would run
    into each other, `patch_radius_m` (K,) radius of the flattened patch, `force_n` (K,).
    """

    pair: Ints
    overlap_m: Floats
    patch_radius_m: Floats
    force_n: Floats


@dataclass(frozen=True, eq=False)
class Packed:
    """A relaxed packing, with its own doubt.

    `centre` (N, 3) m, `tie_s` (M,) m, `tie_point` (M, 3) m, `axis` (N, 3) unit vectors
    from neck to crown, `contacts` between balloons, `pole_overlap_m` and
    `floor_overlap_m` (N,) m, `neck_force_n` (N,) N (pull positive).

    `push_n` is the push it stands under [N], less than asked for where the hand eased off.
    `residual_n` is the largest force imbalance left on any balloon or free tie [N],
    `residual` the same over `typical_force_n`, the mean contact force (with a floor of
    1e-4 of 2 pi p R^2 where nothing presses). `stable` is False where the balance found
    is a balance on a knife's edge: a small knock would settle it elsewhere.
    """

    centre: Floats
    tie_s: Floats
    tie_point: Floats
    axis: Floats
    contacts: Contacts
    pole_overlap_m: Floats
    floor_overlap_m: Floats
    neck_force_n: Floats
    energy_j: float
    push_n: float
    residual_n: float
    residual: float
    typical_force_n: float
    iterations: int
    converged: bool
    stable: bool


def _spread(value: Floats | float, n: int) -> Floats:
    """A scalar repeated n times, or the array as it is."""
    array = np.asarray(value, dtype=np.float64)
    return np.full(n, float(array)) if array.ndim == 0 else array


def _array(name: str, value: object, shape: tuple[int, ...]) -> Floats:
    """A finite, read-only float copy of `value` with the wanted shape."""
    try:
        array = np.array(value, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise PackingError(f"{name} must be numbers") from error
    if array.size == 0 and shape[0] in (0, -1):
        array = array.reshape((0, *shape[1:]))
    wanted = array.ndim == len(shape) and all(
        w in (-1, have) for w, have in zip(shape, array.shape, strict=True)
    )
    if not wanted:
        raise PackingError(f"{name} has shape {array.shape}, expected {shape}")
    if not np.all(np.isfinite(array)):
        raise PackingError(f"{name} holds a value that is not a finite number")
    array.flags.writeable = False
    return array


def _positive(name: str, array: Floats) -> Floats:
    if np.any(array <= 0.0):
        raise PackingError(f"{name} must be above zero everywhere")
    return array


def _not_negative(name: str, array: Floats) -> Floats:
    if np.any(array < 0.0):
        raise PackingError(f"{name} must be zero or more everywhere")
    return array


def _indices(tie: object, n: int, m: int) -> Ints:
    array = np.array(tie)
    if array.size == 0:
        array = array.reshape(0).astype(np.int64)
    if array.shape != (n,) or not np.issubdtype(array.dtype, np.integer):
        raise PackingError(f"tie must be {n} whole numbers, one a balloon")
    if n and (array.min() < 0 or array.max() >= m):
        raise PackingError(f"tie names a tie outside 0..{m - 1}")
    out = array.astype(np.int64)
    out.flags.writeable = False
    return out


def _free(tie_free: Bools | None, tie_s0: Floats) -> Bools:
    """Which ties slide; by default the one nearest the rail's start is held."""
    if tie_free is None:
        free = np.ones(len(tie_s0), dtype=np.bool_)
        if len(free):
            free[int(np.argmin(tie_s0))] = False
    else:
        free = np.array(tie_free, dtype=np.bool_)
        if free.shape != tie_s0.shape:
            raise PackingError(f"tie_free has shape {free.shape}, expected {tie_s0.shape}")
    free.flags.writeable = False
    return free


def _check_scalars(problem: SoftPacking) -> None:
    for name in ("pole_radius_m", "push_n"):
        value = getattr(problem, name)
        if not np.isfinite(value) or value < 0.0:
            raise PackingError(f"{name} must be a finite number, zero or more")
    if problem.behind_m is not None and not np.isfinite(problem.behind_m):
        raise PackingError("behind_m must be a finite number, or None")
    free = problem.tie_free
    assert free is not None
    if problem.push_n > 0.0 and len(free) and np.all(free):
        raise PackingError("push_n needs at least one held tie to push against (tie_free)")
