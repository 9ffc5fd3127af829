"""The energy of a soft packing, its gradient, and the pieces of its stiffness.

    E = sum over touching pairs   1/2 c_ij (R_i + R_j - d_ij)^2
      + sum over necks            1/2 k_i (l_i - L_i)^2
      + grip of the necks         1/2 g_i |h_i - h_i0|^2, h from tie to centre
      + the same as a pair for pole, floor and a wall behind
      - pulls . centres

An inflated membrane pressed flat over a patch pushes with pressure times area. With a
gap that opens as r^2 / 2R*, an overlap d flattens pi * 2 R* d, so the force is linear:
F = 2 pi R* p d. Seen one balloon at a time that is a spring 2 pi R p against a flat wall,
and two balloons are two such springs in a row, which also settles unequal pressures.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from airwright.decor.packing.model import Bools, Ints, SoftPacking
from airwright.decor.packing.neighbours import near_pairs
from airwright.decor.packing.rail import Floats, Rail, bend, nearest_s, on_rail, sampled

_SKIN = 0.12  # of the mean radius: how far balloons may move before a new search
_TINY = 1e-300
_SAME = 1e-6  # of a radius: places nearer than this are one place


@dataclass(frozen=True, eq=False)
class Pressing:
    """One-sided contacts at a state: unit normal (K, 3), overlap [m], stiffness [N/m].

    `per_m` (K,) [1/m] is how fast the normal turns as the balloon moves sideways; moving
    along `still` (K, 3), the direction of a pole, it does not turn.
    """

    index: Ints
    normal: Floats
    overlap: Floats
    stiffness: Floats
    per_m: Floats
    still: Floats | None = None

    @property
    def force(self) -> Floats:
        """Contact force (K,) [N]."""
        out: Floats = self.stiffness * self.overlap
        return out


@dataclass(frozen=True, eq=False)
class State:
    """Everything known at one set of positions."""

    x: Floats
    s: Floats
    energy: float
    grad_x: Floats
    grad_s: Floats
    pair_i: Ints
    pair_j: Ints
    pairs: Pressing
    pole: Pressing
    floor: Pressing
    behind: Pressing
    neck_dir: Floats
    neck_force: Floats
    neck_per_m: Floats
    tangent: Floats
    point: Floats


class System:
    """A `SoftPacking` made ready for computing: sorted along the rail, all arrays settled."""

    def __init__(self, problem: SoftPacking) -> None:
        n = len(problem.radius)
        self.rail: Rail = sampled(problem.rail)
        start = np.asarray(problem.centre0)
        point, tangent = on_rail(self.rail, np.asarray(problem.tie_s0))
        tie = np.asarray(problem.tie)
        along = problem.tie_s0[tie] + np.einsum("ij,ij->i", start - point[tie], tangent[tie])
        along = np.round(along, 9)  # what differs by rounding alone keeps its order
        self.order = np.argsort(along, kind="stable")
        self.tie: Ints = tie[self.order]
        self.radius = np.asarray(problem.radius)[self.order]
        self.neck = np.asarray(problem.neck_m)[self.order]
        self.spring = np.asarray(problem.neck_stiffness_n_m)[self.order]
        self.pull = np.asarray(problem.pull_n)[self.order]
        self.wall = 2.0 * np.pi * self.radius * np.asarray(problem.pressure_pa)[self.order]
        self.free: Bools = np.asarray(problem.tie_free)
        self.floor, self.behind_m = problem.floor, problem.behind_m
        self.push_n = problem.push_n
        self.pole_radius = problem.pole_radius_m
        if problem.push_n > 0.0 and n:
            self.pull = self.pull + _hands(tie, problem, tangent)[self.order]
        self.along0 = along[self.order]
        self.x0 = np.array(start[self.order])
        self.s0 = np.array(problem.tie_s0)
        self.tie_order = np.argsort(self.s0, kind="stable")
        self.grip = np.asarray(problem.grip)[self.order] * self.wall
        self.skin = _SKIN * float(self.radius.mean()) if n else 0.0
        self._listed_at: Floats | None = None
        self.pair_i: Ints = np.empty(0, dtype=np.int64)
        self.pair_j: Ints = np.empty(0, dtype=np.int64)
        self._new_list(self.x0)
        stuck = self._stuck(point[self.tie])
        if len(stuck):
            self.x0[stuck] += 1e-3 * self.radius[stuck, None] * spiral(len(stuck) + 1)[1:]
            self._new_list(self.x0)
        hang = self.x0 - point[self.tie]
        self.tied = hang * (self.neck / (np.linalg.norm(hang, axis=1) + _TINY))[:, None]

    @property
    def force_scale(self) -> float:
        """Mean of 2 pi p R^2 [N], the force that flattens a balloon by its own radius."""
        return float((self.wall * self.radius).mean()) if len(self.radius) else 1.0

    def _new_list(self, x: Floats) -> None:
        self.pair_i, self.pair_j = near_pairs(x, self.radius, self.skin)
        i, j = self.pair_i, self.pair_j
        self.pair_stiffness = self.wall[i] * self.wall[j] / (self.wall[i] + self.wall[j])
        self.pair_reach = self.radius[i] + self.radius[j]
        self._listed_at = x

    def _stuck(self, point: Floats) -> Ints:
        """Balloons that share a centre with another, or sit on their own tie at `point`.

        They would push in no direction. They are moved a hair, each its own way: along the
        points of a golden-angle spiral, fixed and all different.
        """
        apart = self.x0[self.pair_i] - self.x0[self.pair_j]
        one = np.einsum("ij,ij->i", apart, apart) < (_SAME * self.pair_reach) ** 2
        at_tie = np.linalg.norm(self.x0 - point, axis=1) < _SAME * self.radius
        both = np.concatenate([self.pair_i[one], self.pair_j[one], np.flatnonzero(at_tie)])
        return np.unique(both) if len(both) else both

    def _refresh(self, x: Floats) -> None:
        """Search anew once a balloon has moved by half the skin."""
        if self._listed_at is None or len(x) < 2:
            return
        moved = x - self._listed_at
        if float(np.einsum("ij,ij->i", moved, moved).max()) > (0.5 * self.skin) ** 2:
            self._new_list(x)

    def evaluate(self, x: Floats, s: Floats) -> State:
        """Energy, gradient and contacts at centres x (N, 3) [m] and tie places s (M,) [m]."""
        self._refresh(x)
        pairs = self._pairs(x)
        pole = self._pole(x, s)
        floor, behind = self._floor(x), self._behind(x)
        point, tangent = on_rail(self.rail, s)
        hang = x - point[self.tie]
        length = np.sqrt(np.einsum("ij,ij->i", hang, hang)) + _TINY
        neck_dir = hang / length[:, None]
        stretch = length - self.neck
        neck_force = self.spring * stretch
        swung = hang - self.tied
        held = self.grip[:, None] * swung
        energy = 0.5 * float(neck_force @ stretch + np.vdot(held, swung))
        energy -= float(np.vdot(self.pull, x))
        grad_x = neck_force[:, None] * neck_dir + held - self.pull
        along = np.einsum("ij,ij->i", grad_x + self.pull, tangent[self.tie])
        grad_s = -np.bincount(self.tie, along, minlength=len(s))
        for pressing in (pairs, pole, floor, behind):
            energy += 0.5 * float(pressing.force @ pressing.overlap)
        self._add_contact_forces(grad_x, pairs, (pole, floor, behind))
        return State(
            x, s, energy, grad_x, np.where(self.free, grad_s, 0.0),
            self.pair_i[pairs.index], self.pair_j[pairs.index], pairs, pole, floor, behind,
            neck_dir, neck_force, 1.0 / length, tangent, point,
        )  # fmt: skip

    def _add_contact_forces(
        self, grad_x: Floats, pairs: Pressing, fixed: Sequence[Pressing]
    ) -> None:
        n = len(grad_x)
        push = pairs.force[:, None] * pairs.normal
        i, j = self.pair_i[pairs.index], self.pair_j[pairs.index]
        for axis in range(3):
            grad_x[:, axis] -= np.bincount(i, push[:, axis], minlength=n)
            grad_x[:, axis] += np.bincount(j, push[:, axis], minlength=n)
        for one in fixed:  # each balloon at most once: plain indexing adds up
            grad_x[one.index] -= one.force[:, None] * one.normal

    def _pairs(self, x: Floats) -> Pressing:
        apart = x[self.pair_i] - x[self.pair_j]
        d_sq = np.einsum("ij,ij->i", apart, apart)
        index = np.flatnonzero(d_sq < self.pair_reach**2)
        d = np.sqrt(d_sq[index]) + _TINY
        overlap = self.pair_reach[index] - d
        return Pressing(
            index, apart[index] / d[:, None], overlap, self.pair_stiffness[index], 1.0 / d
        )

    def _pole(self, x: Floats, s: Floats) -> Pressing:
        """Contacts with the pole: the gap opens unlike along and across, hence the root."""
        if self.pole_radius <= 0.0 or len(x) == 0:
            return _nothing()
        foot_s = nearest_s(self.rail, x, s[self.tie])
        foot, tangent = on_rail(self.rail, foot_s)
        out = x - foot
        rho = np.sqrt(np.einsum("ij,ij->i", out, out)) + _TINY
        overlap = self.radius + self.pole_radius - rho
        index = np.flatnonzero(overlap > 0.0)
        flat = np.sqrt(self.pole_radius / (self.pole_radius + self.radius[index]))
        return Pressing(
            index,
            out[index] / rho[index, None],
            overlap[index],
            self.wall[index] * flat,
            1.0 / rho[index],
            tangent[index],
        )

    def _floor(self, x: Floats) -> Pressing:
        if not self.floor:
            return _nothing()
        overlap = self.radius - x[:, 2]
        index = np.flatnonzero(overlap > 0.0)
        normal = np.broadcast_to(np.array([0.0, 0.0, 1.0]), (len(index), 3))
        return Pressing(index, normal, overlap[index], self.wall[index], np.zeros(len(index)))

    def _behind(self, x: Floats) -> Pressing:
        if self.behind_m is None:
            return _nothing()
        overlap = self.radius + x[:, 1] - self.behind_m
        index = np.flatnonzero(overlap > 0.0)
        normal = np.broadcast_to(np.array([0.0, -1.0, 0.0]), (len(index), 3))
        return Pressing(index, normal, overlap[index], self.wall[index], np.zeros(len(index)))

    def bend_at(self, s: Floats) -> Floats:
        """Curvature vectors (M, 3) [1/m] of the rail at the ties."""
        return bend(self.rail, s)


def _nothing() -> Pressing:
    empty = np.empty(0)
    return Pressing(np.empty(0, dtype=np.int64), np.empty((0, 3)), empty, empty, empty)


def _hands(tie: Ints, problem: SoftPacking, tangent: Floats) -> Floats:
    """Forces (N, 3) [N] of the hand on the clusters, and of what stands under the first.

    Friction on the pole keeps what was pushed, so each interface goes on carrying the force
    with which it was closed. On like clusters that is the same force everywhere: the hand
    presses on the balloons of the last cluster, something presses back under the first, and
    nothing acts between. Smaller clusters are pushed less, in proportion to the area they
    offer (the same firmness under the hand); where neighbouring interfaces differ, the pole's
    friction takes up the difference. Within a cluster balloons share by area.
    """
    force = np.zeros((len(tie), 3))
    free = np.asarray(problem.tie_free)
    area = np.bincount(tie, np.asarray(problem.radius) ** 2, minlength=len(free))
    full = np.flatnonzero(area > 0.0)
    if len(full) < 2 or np.all(free) or not np.any(free):
        return force
    in_order = full[np.argsort(np.asarray(problem.tie_s0)[full], kind="stable")]
    offered = area[in_order]
    carried = problem.push_n * np.minimum(offered[1:], offered[:-1]) / offered.max()
    load = np.zeros(len(free))
    load[in_order] = np.diff(np.concatenate([[0.0], carried, [0.0]]))
    share = np.asarray(problem.radius) ** 2 / area[tie]
    force[:] = (load[tie] * share)[:, None] * tangent[tie]
    return force


def spiral(count: int) -> Floats:
    """`count` unit vectors (count, 3) spread evenly over the sphere by the golden angle."""
    k = np.arange(count) + 0.5
    z = 1.0 - 2.0 * k / count
    angle = np.pi * (3.0 - np.sqrt(5.0)) * k
    across = np.sqrt(1.0 - z * z)
    return np.column_stack([across * np.cos(angle), across * np.sin(angle), z])
