"""Starts, pitch, the fitted push, garlands and arches."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.packing import (
    PackingError,
    SoftPacking,
    Tolerance,
    fit_push,
    mean_rise,
    neck_for,
    pitch,
    relax,
    ring_start,
    settle,
)
from tests.decor.packing.rails import Hoop, Wave

INCH = 0.0254


def test_slot_zero_faces_the_front_and_slots_go_to_the_right() -> None:
    start = ring_start([[0.1] * 4])
    assert start.centre0[0] == pytest.approx([0.0, -0.13, 0.1])
    assert start.centre0[1] == pytest.approx([0.13, 0.0, 0.1])
    assert start.slot.tolist() == [0, 1, 2, 3]
    assert neck_for(np.array([0.1])) == pytest.approx([0.13])


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6])
def test_rings_alternate_between_two_turns(count: int) -> None:
    start = ring_start([[0.1] * count] * 6)
    first = start.angle[start.slot == 0]
    gap = 2.0 * np.pi / count
    assert np.mod(first[1] - first[0], gap) == pytest.approx(gap / 2)
    assert first[2:] == pytest.approx(first[:-2])


def test_asked_turns_are_kept() -> None:
    start = ring_start([[0.1] * 4] * 3, rotation=[0.3, None, 1.0])
    first = start.angle[start.slot == 0]
    assert first[0] == pytest.approx(0.3)
    assert first[2] == pytest.approx(1.0)


def test_a_studio_s_measurement_gives_its_push_back() -> None:
    """Twelve quads of 11 in at 9.5 in made 84 in."""
    fit = fit_push(4, 4.75 * INCH, 12, 84 * INCH)
    again = settle([[4.75 * INCH] * 4] * 12, fit.push_n)
    assert again.length_m == pytest.approx(84 * INCH, rel=1e-6)
    assert fit.pitch_m == pytest.approx(again.rise_m.mean())
    assert 20.0 < fit.push_n < 300.0, "a push that two arms can give"


@pytest.mark.parametrize("push", [5.0, 40.0, 120.0])
def test_fitting_undoes_settling(push: float) -> None:
    length = settle([[0.12] * 4] * 8, push).length_m
    assert fit_push(4, 0.12, 8, length).push_n == pytest.approx(push, rel=1e-4)


@pytest.mark.parametrize(
    ("layers", "length", "message"),
    [
        (12, 3.0, "only 2.5.. m long when nothing pushes"),
        (12, 1.4, "pushed as hard as can be they are"),
        (1, 1.0, "measure at least two clusters"),
        (12, 0.0, "above zero"),
        (12, float("nan"), "finite"),
    ],
)
def test_impossible_measurements_say_why(layers: int, length: float, message: str) -> None:
    with pytest.raises(PackingError, match=message):
        fit_push(4, 4.75 * INCH, layers, length)


def test_the_hand_eases_off_before_clusters_slip_through_each_other() -> None:
    stack = settle([[0.12] * 4] * 8, 3000.0)
    assert stack.sound
    assert 50.0 < stack.packed.push_n < 300.0
    assert pitch(0.12, 4, 3000.0) == pytest.approx(np.median(stack.rise_m), rel=0.05)
    stubborn = settle([[0.12] * 4] * 8, 3000.0, yielding=False)
    assert not stubborn.sound
    assert stubborn.packed.push_n == 3000.0


def test_smaller_clusters_are_pushed_less() -> None:
    """The same firmness under the hand: small quads on large ones keep their proportions."""
    large, small = [0.12] * 4, [0.06] * 4
    stack = settle([large] * 6 + [small] * 6, 60.0).rise_m
    assert stack[2] / 0.24 == pytest.approx(pitch(0.12, 4, 60.0) / 0.24, rel=1e-3)
    assert stack[9] / 0.12 == pytest.approx(pitch(0.12, 4, 60.0) / 0.24, rel=1e-3)


def test_pitch_needs_something_to_stack() -> None:
    with pytest.raises(PackingError, match="at least one balloon"):
        pitch(0.12, 0)
    with pytest.raises(PackingError, match="at least one cluster"):
        mean_rise([], 1.0)


@pytest.mark.common_practice
def test_six_foot_column_takes_nine_to_thirteen_quads() -> None:
    """Common practice, no source: 11 in balloons at 9 to 9.5 in, pushed by hand."""
    for inflated in (9.0, 9.5):
        for push in (40.0, 80.0, 160.0):
            rise = pitch(inflated * INCH / 2, 4, push)
            quads = 1 + (72 * INCH - inflated * INCH) / rise
            assert 9 <= round(quads) <= 13


def test_small_ones_of_unlike_clusters_turn_to_the_front() -> None:
    """A steady pull brings the 5 in balloons of a mixed quad to the face of the column."""
    layers = [[2.25 * INCH] * 4, [4.75 * INCH] * 2 + [2.25 * INCH] * 2] * 3
    start = ring_start(layers)
    small = start.radius < 0.1
    pull = np.where(small[:, None], [0.0, -1.0, 0.0], 0.0)
    loose = settle(layers, 20.0, grip=0.0).packed
    drawn = settle(layers, 20.0, pull_n=pull, grip=0.0).packed
    assert drawn.converged
    assert drawn.centre[small, 1].mean() < loose.centre[small, 1].mean() - 0.01


def test_a_hoop_of_quads() -> None:
    """Ties fixed along a half circle: mirror-symmetrical, closer on the inside."""
    hoop = Hoop(1.2)
    layers = 21
    rise = hoop.length_m / layers
    start = ring_start([[0.12] * 4] * layers, hoop, start_s=rise / 2, rise_m=rise)
    held = np.zeros(layers, dtype=bool)
    packed = relax(
        SoftPacking(start.centre0, start.radius, start.tie, start.tie_s0, tie_free=held, rail=hoop)
    )
    assert packed.converged
    flipped = packed.centre * [-1.0, 1.0, 1.0]
    nearest = np.linalg.norm(packed.centre[:, None] - flipped[None], axis=2).min(axis=1)
    assert nearest.max() < 1e-4


@pytest.mark.parametrize("slide", [False, True])
def test_a_garland_of_random_clusters_closes_up(slide: bool) -> None:
    """Five sizes at random along a path in space, each cluster a ring turned at random."""
    chance = np.random.default_rng(5)
    sizes = np.array([5.0, 11.0, 17.0, 24.0, 36.0]) * 0.9 * INCH / 2
    share = [0.3, 0.5, 0.14, 0.05, 0.01]
    clusters = [chance.choice(sizes, 4, p=share) for _ in range(200)]
    room = np.array([0.225 * 2 * cluster.sum() for cluster in clusters])
    path = Wave(float(room.sum()) / 1.06, 3.0)
    tie_s = (np.cumsum(room) - room / 2) * (path.length_m / room.sum())
    start = ring_start(
        clusters, path, start_s=float(tie_s[0]), rise_m=list(np.diff(tie_s)),
        rotation=list(chance.uniform(0.0, 6.28, 200)),
    )  # fmt: skip
    free = np.full(200, slide)
    free[[0, -1]] = False
    problem = SoftPacking(
        start.centre0, start.radius, start.tie, start.tie_s0, tie_free=free, rail=path
    )
    packed = relax(problem, Tolerance(1e-2))
    assert packed.converged
    reach = start.radius[packed.contacts.pair].min(axis=1)
    overlap = packed.contacts.overlap_m / reach
    assert overlap.mean() < 0.1, "balloons touch, they do not run into each other"
    assert np.percentile(overlap, 99) < 0.5
    assert 2 * len(overlap) / len(start.radius) > 3.0, "and they do touch"
