"""Balloons drawn into a gap of a finished body until they rest against it.

A loop or a tie pulls with a steady force towards the point it is hooked on; the balloons slide
into the nearest hollow and are pressed a little against what holds them:

      o o          the pull leads past the necks
       x           x: where their own necks are tied
     O | O         the body stays where it is
       +           +: where the loop is hooked
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats
from airwright.decor.context import Context, excess_pressure
from airwright.decor.draft import Draft
from airwright.decor.packing.neighbours import near_pairs
from airwright.decor.packing.threads import one_blas_thread
from airwright.decor.parts.cloud import KNOT_TO_CENTRE

Ints = NDArray[np.int64]

FIRMNESS = 0.02
"""Pull of a loop or tie over the sum of 2 pi p R^2 of what it holds: a 260 pulls a quad of 5 in
balloons with about 7 N (from memory: it stretches to twice its length under 5 to 10 N)."""

NEAR = 0.02
"""Counted as touching when the gap is below this share of the smaller radius."""

SLACK = 1e-3
"""Imbalance at which they are left to friction, of the pull on one loop."""

_STEPS = 300
_SKIN = 0.3  # of the mean radius: how far balloons may move before a new search


@dataclass(frozen=True, slots=True, eq=False)
class Balls:
    """Balloons as the packing feels them: centres (N, 3) and radii (N,) [m], wall (N,) [N/m].

    The wall's stiffness is 2 pi R p, see `packing.energy`.
    """

    centre: Floats
    radius: Floats
    wall: Floats

    @classmethod
    def of(cls, draft: Draft, ctx: Context) -> Balls:
        """Everything a draft holds so far."""
        radius = draft.radii
        firm = [
            excess_pressure(ctx.catalog.balloon(stock.size), stock.inflated_m)
            for stock in draft.stocks
        ]
        return cls(draft.centres, radius, 2 * np.pi * radius * np.array(firm))

    def near(self, centre: Floats, reach_m: float) -> Balls:
        """Those within `reach_m` [m] of a point (3,) [m], surface to point."""
        rows = np.linalg.norm(self.centre - centre, axis=1) - self.radius < reach_m
        return Balls(self.centre[rows], self.radius[rows], self.wall[rows])


@dataclass(frozen=True, slots=True, eq=False)
class Bunches:
    """Small clusters on loops: balloons, the bunch of each (K,), ties and hooks (B, 3) [m]."""

    balls: Balls
    bunch: Ints
    tie: Floats
    hook: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Nestled:
    """Where bunches came to rest: centres (K, 3) and ties (B, 3) [m], and how firmly.

    `held_by` (B,) counts the balloons of the body that each bunch touches; `imbalance` is the
    largest force left over the pull on one loop [-].
    """

    centre: Floats
    tie: Floats
    held_by: Ints
    imbalance: float


def nestle(balls: Balls, tie: Floats, hook: Floats, body: Balls) -> Nestled:
    """Draw one tied bunch towards a hook until the body holds it.

    Args:
        balls: where they start, clear of the body or nearly so.
        tie: where their necks are tied at the start (3,) [m].
        hook: where the pull leads to (3,) [m].
        body: what is in the way, and stays where it is.
    """
    one = np.zeros(len(balls.radius), dtype=np.int64)
    return nestle_all(Bunches(balls, one, tie[None], hook[None]), body)


def nestle_all(
    bunches: Bunches, body: Balls, *, floor: bool = True, behind_m: float | None = None
) -> Nestled:
    """Draw many bunches at once, which hold each other up as well.

    Args:
        bunches: where they start.
        body: what is in the way, and stays where it is.
        floor: whether z = 0 holds balloons up.
        behind_m: face of a wall behind that they stay in front of, y = behind_m [m].
    """
    from scipy.optimize import minimize

    problem = _Drawn(bunches, body, floor=floor, behind_m=behind_m)
    start = np.concatenate([bunches.balls.centre, bunches.tie]).ravel()
    count = len(bunches.balls.radius)
    with one_blas_thread():
        # Energies and forces over those that flatten a balloon by its radius: about one.
        found = minimize(
            problem.energy,
            start,
            jac=True,
            method="L-BFGS-B",
            options={"maxiter": _STEPS, "maxfun": 2 * _STEPS, "ftol": 0.0, "gtol": problem.slack},
        )
    _, slope = problem.energy(found.x)
    at = found.x.reshape(-1, 3)
    left = float(np.abs(slope).max(initial=0.0)) / (problem.slack / SLACK)
    return Nestled(at[:count], at[count:], problem.held_by(at[:count]), left)


class _Drawn:
    """Energy of bunches on loops: necks, contacts, floor, and the pull, over a scale [-]."""

    def __init__(
        self, bunches: Bunches, body: Balls, *, floor: bool, behind_m: float | None
    ) -> None:
        balls = bunches.balls
        self.count = len(balls.radius)
        self.bunch, self.hook, self.floor = bunches.bunch, bunches.hook, floor
        self.behind_m = behind_m
        self.body = body.centre
        self.radius = np.concatenate([balls.radius, body.radius])
        self.wall = np.concatenate([balls.wall, body.wall])
        own = balls.wall * balls.radius
        self.pull = FIRMNESS * np.bincount(bunches.bunch, own, minlength=len(bunches.tie))
        self.neck = 2 * KNOT_TO_CENTRE * balls.radius
        self.scale = float((own * balls.radius).mean())
        self.slack = SLACK * float(self.pull.mean()) / self.scale
        self.skin = _SKIN * float(balls.radius.mean())
        self.listed: Floats | None = None

    def energy(self, flat: Floats) -> tuple[float, Floats]:
        """Energy [-] and its slope [1/m] at centres and ties, flattened."""
        at = flat.reshape(-1, 3)
        x, tie = at[: self.count], at[self.count :]
        slope = np.zeros_like(at)
        total = self._necks(x, tie, slope) + self._contacts(x, slope) + self._pulls(tie, slope)
        if self.floor:
            wall = self.wall[: self.count]
            deep = np.maximum(self.radius[: self.count] - x[:, 2], 0.0)
            total += 0.5 * float(wall @ deep**2)
            slope[: self.count, 2] -= wall * deep
        if self.behind_m is not None:
            wall = self.wall[: self.count]
            deep = np.maximum(self.radius[: self.count] + x[:, 1] - self.behind_m, 0.0)
            total += 0.5 * float(wall @ deep**2)
            slope[: self.count, 1] += wall * deep
        return total / self.scale, slope.ravel() / self.scale

    def held_by(self, x: Floats) -> Ints:
        """How many balloons of the body each bunch touches (B,)."""
        whole = np.concatenate([x, self.body])
        i, j = near_pairs(whole, self.radius, NEAR * float(self.radius[: self.count].min()))
        held = (i < self.count) & (j >= self.count)
        pairs = np.unique(np.column_stack([self.bunch[i[held]], j[held]]), axis=0)
        return np.bincount(pairs[:, 0], minlength=len(self.hook))

    def _necks(self, x: Floats, tie: Floats, slope: Floats) -> float:
        wall = self.wall[: self.count]
        hang = x - tie[self.bunch]
        long = np.sqrt(np.einsum("ij,ij->i", hang, hang)) + 1e-12
        stretch = long - self.neck
        force = (wall * stretch / long)[:, None] * hang
        slope[: self.count] += force
        for axis in range(3):
            slope[self.count :, axis] -= np.bincount(self.bunch, force[:, axis], len(tie))
        return 0.5 * float(wall @ stretch**2)

    def _pulls(self, tie: Floats, slope: Floats) -> float:
        way = tie - self.hook
        far = np.linalg.norm(way, axis=1) + 1e-9
        slope[self.count :] += (self.pull / far)[:, None] * way
        return float(self.pull @ far)

    def _contacts(self, x: Floats, slope: Floats) -> float:
        whole = np.concatenate([x, self.body])
        self._refresh(x, whole)
        i, j = self.one, self.two
        apart = whole[i] - whole[j]
        far_sq = np.einsum("ij,ij->i", apart, apart)
        hit = np.flatnonzero(far_sq < self.reach**2)
        i, j, stiff = i[hit], j[hit], self.stiff[hit]
        far = np.sqrt(far_sq[hit]) + 1e-12
        deep = self.reach[hit] - far
        push = (stiff * deep / far)[:, None] * apart[hit]
        inner = j < self.count
        for axis in range(3):
            slope[: self.count, axis] -= np.bincount(i, push[:, axis], self.count)
            slope[: self.count, axis] += np.bincount(j[inner], push[inner, axis], self.count)
        return 0.5 * float(stiff @ deep**2)

    def _refresh(self, x: Floats, whole: Floats) -> None:
        """Search anew once a balloon has moved by half the skin."""
        if self.listed is not None and np.abs(x - self.listed).max() < 0.25 * self.skin:
            return
        i, j = near_pairs(whole, self.radius, self.skin)
        ours = i < self.count  # i < j, and the bunches come first
        self.one, self.two = i[ours], j[ours]
        a, b = self.wall[self.one], self.wall[self.two]
        self.stiff = a * b / (a + b)
        self.reach = self.radius[self.one] + self.radius[self.two]
        self.listed = x.copy()
