"""Forces balance: recomputed here from the formulas, not taken from the engine."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.packing import (
    Packed,
    SoftPacking,
    StraightRail,
    Tolerance,
    cluster_start,
    relax,
    ring_start,
    settle,
)
from airwright.decor.packing.energy import System
from airwright.decor.packing.rail import on_rail
from airwright.decor.packing.stiffness import Layout, Stiffness
from tests.decor.packing.rails import Hoop

PRESSURE = 2500.0


def forces_on_balloons(problem: SoftPacking, packed: Packed) -> np.ndarray:
    """Sum of neck, contact, pole and floor forces (N, 3), pair by pair."""
    x, radius = packed.centre, np.asarray(problem.radius)
    n = len(x)
    pull = np.array(problem.pull_n)
    wall = 2.0 * np.pi * radius * np.asarray(problem.pressure_pa)
    tied_at, _ = on_rail(problem.rail, np.asarray(problem.tie_s0))
    for i in range(n):
        hang = x[i] - packed.tie_point[problem.tie[i]]
        tied = problem.centre0[i] - tied_at[problem.tie[i]]
        tied *= problem.neck_m[i] / np.linalg.norm(tied)
        pull[i] -= problem.grip[i] * wall[i] * (hang - tied)
        length = np.linalg.norm(hang)
        stretch = length - problem.neck_m[i]
        pull[i] -= problem.neck_stiffness_n_m[i] * stretch * hang / length
        for j in range(n):
            apart = x[i] - x[j]
            gap = radius[i] + radius[j] - np.linalg.norm(apart)
            if i != j and gap > 0.0:
                both = radius[i] * radius[j] / (radius[i] + radius[j])
                push = PRESSURE * np.pi * 2.0 * both * gap  # pressure times patch area
                pull[i] += push * apart / np.linalg.norm(apart)
        if problem.pole_radius_m > 0.0:
            out = x[i] * [1.0, 1.0, 0.0]  # the pole of these tests is the z axis
            gap = radius[i] + problem.pole_radius_m - np.linalg.norm(out)
            if gap > 0.0:
                flat = np.sqrt(problem.pole_radius_m / (problem.pole_radius_m + radius[i]))
                pull[i] += wall[i] * flat * gap * out / np.linalg.norm(out)
        if problem.floor and radius[i] > x[i, 2]:
            pull[i, 2] += wall[i] * (radius[i] - x[i, 2])
    return pull


def mixed_column(**more: object) -> SoftPacking:
    start = ring_start([[0.12] * 2 + [0.06] * 2, [0.06] * 4] * 3)
    gentle = np.where(start.radius[:, None] < 0.1, [0.0, -0.3, 0.0], 0.0)
    gentle[:, 2] -= 0.03
    return SoftPacking(
        start.centre0,
        start.radius,
        start.tie,
        start.tie_s0,
        neck_m=start.neck_m,
        pressure_pa=PRESSURE,
        pull_n=gentle,
        **more,  # type: ignore[arg-type]
    )


def test_every_force_on_every_balloon_cancels() -> None:
    problem = mixed_column(pole_radius_m=0.05, floor=True)
    packed = relax(problem)
    assert packed.converged
    assert (packed.pole_overlap_m > 0.0).any(), "the pole should press on someone here"
    left = forces_on_balloons(problem, packed)
    assert np.abs(left).max() < 1e-6 * packed.typical_force_n
    assert packed.residual < 1e-6
    assert packed.residual_n == pytest.approx(packed.residual * packed.typical_force_n)


def test_the_push_runs_through_every_interface(quad_radius: float) -> None:
    """Cut the column between two layers: what crosses the cut is the push."""
    push = 60.0
    stack = settle([[quad_radius] * 4] * 8, push, pressure_pa=PRESSURE)
    centre, pair = stack.packed.centre, stack.packed.contacts.pair
    layer = stack.start.tie
    for cut in range(7):
        crossing = (layer[pair].min(axis=1) <= cut) & (layer[pair].max(axis=1) > cut)
        low = np.where(layer[pair[:, 0]] <= cut, pair[:, 0], pair[:, 1])[crossing]
        high = np.where(layer[pair[:, 0]] <= cut, pair[:, 1], pair[:, 0])[crossing]
        way = centre[high] - centre[low]
        way /= np.linalg.norm(way, axis=1)[:, None]
        carried = (stack.packed.contacts.force_n[crossing, None] * way).sum(axis=0)
        assert carried == pytest.approx([0.0, 0.0, push], abs=1e-3)


def test_patch_is_pressure_times_area(quad_radius: float) -> None:
    contacts = settle([[quad_radius] * 4] * 4, 40.0, pressure_pa=PRESSURE).packed.contacts
    area = np.pi * contacts.patch_radius_m**2
    assert contacts.force_n == pytest.approx(PRESSURE * area, rel=1e-12)


@pytest.mark.parametrize("curved", [False, True])
def test_gradient_and_stiffness_are_derivatives_of_the_energy(curved: bool) -> None:
    """Central differences of the energy, and of the gradient, in random directions."""
    rail = Hoop(1.5) if curved else StraightRail()
    start = ring_start([[0.12] * 3 + [0.07]] * 3, rail, start_s=0.7)
    free = np.ones(3, dtype=bool)
    system = System(
        SoftPacking(
            start.centre0, start.radius, start.tie, start.tie_s0, rail=rail, tie_free=free,
            pole_radius_m=0.0 if curved else 0.06, pull_n=np.full((12, 3), 0.2), floor=True,
        )
    )  # fmt: skip
    chance = np.random.default_rng(0)
    x = system.x0 + 0.01 * chance.normal(size=system.x0.shape)
    s = system.s0 + 0.01 * chance.normal(size=3)
    here = system.evaluate(x, s)
    layout = Layout(system)
    gradient = layout.gather(here.grad_x, here.grad_s)
    matrix = dense(Stiffness(system, layout, here, 1.0, 0.0))
    for _ in range(5):
        way = chance.normal(size=layout.size)
        dx, ds = layout.scatter(way, 3)
        h = 1e-6
        ahead = system.evaluate(x + h * dx, s + h * ds)
        behind = system.evaluate(x - h * dx, s - h * ds)
        slope = (ahead.energy - behind.energy) / (2 * h)
        assert slope == pytest.approx(gradient @ way, rel=1e-6)
        bend = layout.gather(ahead.grad_x - behind.grad_x, ahead.grad_s - behind.grad_s) / (2 * h)
        if not curved:  # on a curve the pieces of the rail's copy have kinks in their curvature
            assert matrix @ way == pytest.approx(bend, rel=1e-5, abs=1e-3)
        else:
            assert matrix @ way == pytest.approx(bend, rel=1e-3, abs=1.0)


def dense(stiffness: Stiffness) -> np.ndarray:
    """The band written out as a full symmetric matrix."""
    row, col, value = stiffness.entries()
    full = np.zeros((stiffness.n, stiffness.n))
    full[row, col] = value
    return full + full.T - np.diag(full.diagonal())


def test_band_and_sparse_factorisations_agree(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = mixed_column(push_n=20.0)
    band = relax(problem)
    monkeypatch.setattr("airwright.decor.packing.stiffness._BAND_LIMIT", 0.0)
    sparse = relax(problem)
    assert sparse.converged
    assert sparse.centre == pytest.approx(band.centre, abs=1e-6)


def test_unconverged_says_so(quad_radius: float) -> None:
    stack = settle([[quad_radius] * 4] * 6, 60.0, tolerance=Tolerance(1e-9, max_iterations=1))
    assert not stack.packed.converged
    assert stack.packed.residual > 1e-9
    assert not stack.sound


def test_a_cloud_of_six_rests_round_its_tie() -> None:
    """Two 15 in and four 10 in balloons, necks tied together, alone in space."""
    radius = np.array([0.19, 0.19, 0.127, 0.127, 0.127, 0.127])
    at = np.array([0.3, -0.2, 1.5])
    packed = relax(
        SoftPacking(
            cluster_start(radius, at), radius, np.zeros(6, dtype=int), np.zeros(1),
            rail=StraightRail(1.0, tuple(at)),
        )
    )  # fmt: skip
    assert packed.converged
    assert packed.tie_point[0] == pytest.approx(at)
    assert np.linalg.norm(packed.axis, axis=1) == pytest.approx(np.ones(6))
    large = packed.centre[:2] - at
    assert large[0] == pytest.approx(-large[1], abs=1e-6)
    deepest = packed.contacts.overlap_m.max(initial=0.0)
    assert deepest < 0.2 * radius.min()
