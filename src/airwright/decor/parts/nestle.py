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

from airwright.decor.assembly import Floats
from airwright.decor.context import Context, excess_pressure
from airwright.decor.draft import Draft
from airwright.decor.packing.threads import one_blas_thread
from airwright.decor.parts.cloud import KNOT_TO_CENTRE

FIRMNESS = 0.02
"""Pull of a loop or tie over the sum of 2 pi p R^2 of what it holds: a 260 pulls a quad of 5 in
balloons with about 7 N (from memory: it stretches to twice its length under 5 to 10 N)."""

NEAR = 0.02
"""Counted as touching when the gap is below this share of the smaller radius."""

_STEPS = 200


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
class Nestled:
    """Where balloons came to rest: centres (n, 3) and their tie (3,) [m], and what they touch.

    `held_by` counts the balloons of the body that any of them touches.
    """

    centre: Floats
    tie: Floats
    held_by: int


def touching(a: Balls, b: Balls) -> Floats:
    """(len(a), len(b)) whether each of `a` touches each of `b`."""
    apart = np.linalg.norm(a.centre[:, None] - b.centre[None], axis=2)
    slack = NEAR * np.minimum(a.radius[:, None], b.radius[None])
    found: Floats = apart < a.radius[:, None] + b.radius[None] + slack
    return found


def nestle(balls: Balls, tie: Floats, hook: Floats, body: Balls) -> Nestled:
    """Draw tied balloons towards a hook until the body holds them.

    Args:
        balls: where they start, clear of the body or nearly so.
        tie: where their necks are tied at the start (3,) [m].
        hook: where the pull leads to (3,) [m].
        body: what is in the way, and stays where it is.
    """
    from scipy.optimize import minimize

    problem = _Drawn(balls, hook, body)
    start = np.concatenate([balls.centre, tie[None]]).ravel()
    # The energy in units of what flattens a balloon by its radius: about one.
    with one_blas_thread():
        found = minimize(
            problem.energy, start, jac=True, method="L-BFGS-B", options={"maxiter": _STEPS}
        )
    at = found.x.reshape(-1, 3)
    rest = Balls(at[:-1], balls.radius, balls.wall)
    return Nestled(at[:-1], at[-1], int(touching(rest, body).any(axis=0).sum()))


class _Drawn:
    """Energy of balloons on a loop: necks, contacts, floor, and the pull [J over a scale]."""

    def __init__(self, balls: Balls, hook: Floats, body: Balls) -> None:
        self.hook, self.body = hook, body
        self.radius, self.wall = balls.radius, balls.wall
        self.neck = 2 * KNOT_TO_CENTRE * balls.radius
        self.pull = FIRMNESS * float((balls.wall * balls.radius).sum())
        self.scale = float((balls.wall * balls.radius**2).mean())
        self.one, self.two = np.triu_indices(len(balls.radius), 1)

    def energy(self, flat: Floats) -> tuple[float, Floats]:
        """Energy [-] and its slope [1/m] at centres and tie, flattened."""
        at = flat.reshape(-1, 3)
        x, tie = at[:-1], at[-1]
        slope = np.zeros_like(at)
        total = self._necks(x, tie, slope) + self._mates(x, slope) + self._body(x, slope)
        deep = np.maximum(self.radius - x[:, 2], 0.0)
        total += 0.5 * float(self.wall @ deep**2)
        slope[:-1, 2] -= self.wall * deep
        way = tie - self.hook
        far = float(np.linalg.norm(way)) + 1e-9
        total += self.pull * far
        slope[-1] += self.pull * way / far
        return total / self.scale, slope.ravel() / self.scale

    def _necks(self, x: Floats, tie: Floats, slope: Floats) -> float:
        hang = x - tie
        long = np.linalg.norm(hang, axis=1) + 1e-12
        stretch = long - self.neck
        force = (self.wall * stretch / long)[:, None] * hang
        slope[:-1] += force
        slope[-1] -= force.sum(axis=0)
        return 0.5 * float(self.wall @ stretch**2)

    def _mates(self, x: Floats, slope: Floats) -> float:
        i, j = self.one, self.two
        stiff = self.wall[i] * self.wall[j] / (self.wall[i] + self.wall[j])
        apart = x[i] - x[j]
        far = np.linalg.norm(apart, axis=1) + 1e-12
        deep = np.maximum(self.radius[i] + self.radius[j] - far, 0.0)
        push = (stiff * deep / far)[:, None] * apart
        np.add.at(slope, i, -push)
        np.add.at(slope, j, push)
        return 0.5 * float(stiff @ deep**2)

    def _body(self, x: Floats, slope: Floats) -> float:
        body = self.body
        stiff = self.wall[:, None] * body.wall / (self.wall[:, None] + body.wall)
        apart = x[:, None] - body.centre[None]
        far = np.linalg.norm(apart, axis=2) + 1e-12
        deep = np.maximum(self.radius[:, None] + body.radius - far, 0.0)
        slope[:-1] -= ((stiff * deep / far)[:, :, None] * apart).sum(axis=1)
        return 0.5 * float((stiff * deep**2).sum())
