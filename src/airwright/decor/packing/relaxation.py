"""From a start to a balance of forces: damped Newton steps on the whole packing at once."""

from dataclasses import dataclass, replace

import numpy as np

from airwright.decor.packing.energy import State, System
from airwright.decor.packing.model import Contacts, Packed, SoftPacking, Tolerance
from airwright.decor.packing.rail import Floats
from airwright.decor.packing.stiffness import Layout, Stiffness
from airwright.decor.packing.threads import one_blas_thread

DEEPEST_OVERLAP = 0.4  # of the smaller radius: a balloon pressed further is no sphere any more
_EASED, _EASING_ROUNDS = 0.6, 8  # how a hand eases off when clusters slip, and how often
_FORCE_FLOOR = 1e-4  # of 2 pi p R^2: below this a contact force says nothing about the job
_MAX_SWING = 0.5  # of its radius: how far a balloon may move past its tie in one step
_FIRST_DAMPING = 0.1  # of 2 pi p R
_LEAST_DAMPING = 1e-9
_MOST_DAMPING = 1e4
_FORGETTING = 0.3
_NO_SHIFT = 1e-4  # damping so small that a matrix which needs no more is stable without
_FIRST_SHIFT = 1e-4  # the damping first tried where the stiffness is indefinite
_SOFT_DAMPING = 0.3  # beyond it the indefinite part itself is left out


def relax(problem: SoftPacking, tolerance: Tolerance | None = None) -> Packed:
    """Balance all forces of `problem`.

    Each step solves the linearised balance of every balloon and tie together (Newton,
    banded Cholesky). Where the stiffness is not positive definite it is damped
    (Levenberg-Marquardt) until it is; where that takes too much, the sideways part of the
    contact stiffness is left out.

    Parameters
    ----------
    problem : SoftPacking
        Where everything starts and how stiff it is.
    tolerance : Tolerance, optional
        When to stop.

    Returns
    -------
    Packed
        Positions, contacts and what imbalance is left; `converged` is False, never an
        exception, when the tolerance was not reached.
    """
    wanted = Tolerance() if tolerance is None else tolerance
    if len(np.asarray(problem.radius)) == 0:
        system = System(problem)
        return packed_at(system, system.evaluate(system.x0, system.s0), 0, True, True)
    push, rounds = problem.push_n, 1
    if problem.yielding and push > 0.0:
        rounds = _EASING_ROUNDS
    with one_blas_thread():
        for _ in range(rounds):
            packed = _Descent(System(replace(problem, push_n=push)), wanted).run()
            if upright(problem, packed):
                break
            push *= _EASED
    return packed


def upright(problem: SoftPacking, packed: Packed) -> bool:
    """Whether the clusters kept their order along the rail and none was crushed."""
    order = np.argsort(np.asarray(problem.tie_s0), kind="stable")
    in_order = bool(np.all(np.diff(packed.tie_s[order]) >= 0.0))
    return in_order and crushed(problem, packed) <= DEEPEST_OVERLAP


def crushed(problem: SoftPacking, packed: Packed) -> float:
    """The deepest overlap of two balloons of different clusters, over the smaller radius [-]."""
    pair = packed.contacts.pair
    tie = np.asarray(problem.tie)[pair]
    smaller = np.asarray(problem.radius)[pair].min(axis=1)
    depth = packed.contacts.overlap_m / smaller
    return float(depth[tie[:, 0] != tie[:, 1]].max(initial=0.0))


@dataclass
class _Descent:
    """The state of a running relaxation."""

    system: System
    tolerance: Tolerance
    damping: float = _FIRST_DAMPING
    failures: int = 0
    barrier: float = 0.0  # the damping that last was too little, slowly forgotten
    last_shift: float = np.inf

    def run(self) -> Packed:
        system = self.system
        self.layout = Layout(system)
        self.unit = float(system.wall.mean()) if len(system.wall) else 1.0
        state = system.evaluate(system.x0, system.s0)
        for iteration in range(self.tolerance.max_iterations + 1):
            limit = self.tolerance.relative * typical_force(system, state)
            if worst(state) <= limit:
                return packed_at(system, state, iteration, True, self._is_stable(state))
            if iteration == self.tolerance.max_iterations:
                break
            moved = self._step(state, limit)
            if moved is None:
                break
            state = moved
            if iteration % 10 == 9 and self._scattered(state):
                break
        return packed_at(system, state, iteration, False, self._is_stable(state))

    def _scattered(self, state: State) -> bool:
        """Whether pushed ties have flown past each other by more than any balloon's size."""
        if self.system.push_n == 0.0 or len(state.s) < 2:
            return False
        return bool(
            np.diff(state.s[self.system.tie_order]).min() < -4.0 * float(self.system.radius.max())
        )

    def _is_stable(self, state: State) -> bool:
        if self.last_shift <= _NO_SHIFT:  # the last step's matrix has just shown it
            return True
        return Stiffness(self.system, self.layout, state, 1.0, 1e-7 * self.unit).factor()

    def _step(self, state: State, limit: float) -> State | None:
        """One accepted step down, or None when no step of any length goes down."""
        force = -self.layout.gather(state.grad_x, state.grad_s)
        keep, self.failures = 1.0, 0
        while self.damping <= _MOST_DAMPING:
            shift = self.damping
            matrix = Stiffness(self.system, self.layout, state, keep, shift * self.unit)
            if not matrix.factor():
                self.failures += 1
                self.barrier = self.damping
                if self.damping > _SOFT_DAMPING:
                    keep = 0.0
                self.damping = max(self.damping * 4.0, _FIRST_SHIFT)
                continue
            step = matrix.solve(force)
            found = self._along(state, step, float(force @ step), limit)
            if found is not None:
                self.last_shift = shift if keep == 1.0 else np.inf
                return found
            self.damping = max(self.damping * 10.0, 1e-4)
        return None

    def _along(self, state: State, step: Floats, gain: float, limit: float) -> State | None:
        """Try the step, then shorter ones; None when none of them helps."""
        dx, ds = self.layout.scatter(step, len(state.s))
        cap = share = self._cap(state, dx, ds)
        noise = 1e-13 * (abs(state.energy) + float(np.abs(self.system.pull * state.x).sum()))
        before = worst(state)
        for _ in range(4):
            trial = self.system.evaluate(state.x + share * dx, state.s + share * ds)
            fall = state.energy - trial.energy
            better = fall >= 1e-4 * share * gain or (
                abs(fall) <= noise and worst(trial) < max(0.9 * before, limit)
            )
            if better:
                self._adapt(share, cap, fall / (share * (1.0 - 0.5 * share) * gain))
                return trial
            share *= 0.35
        return None

    def _adapt(self, share: float, cap: float, ratio: float) -> None:
        """Damp less after a step that did what it promised, more after a shortened one."""
        if share < 0.3:
            self.damping = max(self.damping * 4.0, 1e-4)
        elif share == 1.0 and ratio > 0.3:
            relief = 0.4 if self.failures else 0.01 if ratio > 0.8 else 0.1
            self.damping = max(self.damping * relief, 1.5 * self.barrier, _LEAST_DAMPING)
            self.barrier *= _FORGETTING
        elif share < cap:
            self.damping = max(self.damping * 2.0, 1e-5)

    def _cap(self, state: State, dx: Floats, ds: Floats) -> float:
        """The largest share of a step that moves nothing too far past its neighbours."""
        system = self.system
        if len(system.radius) == 0:
            return 1.0
        swing = dx - ds[system.tie, None] * state.tangent[system.tie]
        far = np.sqrt(np.einsum("ij,ij->i", swing, swing)) / system.radius
        worst_swing = float(far.max())
        if len(ds) > 1:
            squeeze = np.abs(np.diff(ds[system.tie_order])) / float(system.radius.mean())
            worst_swing = max(worst_swing, float(squeeze.max()))
        return min(1.0, _MAX_SWING / worst_swing) if worst_swing > 0.0 else 1.0


def worst(state: State) -> float:
    """The largest force imbalance on any balloon or free tie [N]."""
    most = 0.0
    if len(state.grad_x):
        most = float(np.sqrt(np.einsum("ij,ij->i", state.grad_x, state.grad_x).max()))
    return max(most, float(np.abs(state.grad_s).max(initial=0.0)))


def typical_force(system: System, state: State) -> float:
    """The mean contact force [N], or a trifle of what flattens a balloon where none press."""
    forces = np.concatenate([p.force for p in (state.pairs, state.pole, state.floor, state.behind)])
    mean = float(forces.mean()) if len(forces) else 0.0
    return max(mean, _FORCE_FLOOR * system.force_scale)


def packed_at(
    system: System, state: State, iterations: int, converged: bool, stable: bool
) -> Packed:
    """The result read off a state, in the order of the problem."""
    n = len(system.radius)
    back = np.empty(n, dtype=np.int64)
    back[system.order] = np.arange(n)
    order = system.order
    i, j = state.pair_i, state.pair_j  # in the sorted numbering
    pair = np.sort(np.column_stack([order[i], order[j]]).reshape(-1, 2), axis=1)
    rank = np.argsort(pair[:, 0] * n + pair[:, 1])
    hollow = 2.0 * system.radius[i] * system.radius[j] / (system.radius[i] + system.radius[j])
    overlap = state.pairs.overlap
    pole, floor = np.zeros(n), np.zeros(n)
    pole[state.pole.index] = state.pole.overlap
    floor[state.floor.index] = state.floor.overlap
    typical = typical_force(system, state)
    return Packed(
        centre=state.x[back],
        tie_s=state.s.copy(),
        tie_point=state.point,
        axis=state.neck_dir[back],
        contacts=Contacts(
            pair[rank], overlap[rank], np.sqrt(hollow * overlap)[rank], state.pairs.force[rank]
        ),
        pole_overlap_m=pole[back],
        floor_overlap_m=floor[back],
        neck_force_n=state.neck_force[back],
        energy_j=state.energy,
        push_n=system.push_n,
        residual_n=worst(state),
        residual=worst(state) / typical,
        typical_force_n=typical,
        iterations=iterations,
        converged=converged,
        stable=stable,
    )
