"""What must not change the result, and how it must grow with size."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.decor.packing import (
    Packed,
    SoftPacking,
    StraightRail,
    extent,
    mean_rise,
    pitch,
    relax,
    ring_start,
    settle,
)

MIXED = [[0.12] * 2 + [0.06] * 2, [0.06] * 4] * 4


def problem(
    turn: float = 0.0, mirror: bool = False, order: np.ndarray | None = None
) -> SoftPacking:
    """A pushed column of unlike clusters, turned, mirrored and shuffled."""
    start = ring_start(MIXED)
    c, s = math.cos(turn), math.sin(turn)
    centre = start.centre0 @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    if mirror:
        centre = centre * [-1.0, 1.0, 1.0]
    order = np.arange(len(centre)) if order is None else order
    return SoftPacking(
        centre[order], start.radius[order], start.tie[order], start.tie_s0,
        neck_m=start.neck_m[order], push_n=30.0,
    )  # fmt: skip


def shape(packing: SoftPacking) -> tuple[Packed, np.ndarray]:
    packed = relax(packing)
    assert packed.converged
    return packed, np.array([np.diff(packed.tie_s).mean(), *extent(packing, packed)])


@pytest.fixture(scope="module")
def plain() -> tuple[Packed, np.ndarray]:
    return shape(problem())


@settings(max_examples=8, deadline=None)
@given(turn=st.floats(0.0, 6.28), mirror=st.booleans(), seed=st.integers(0, 99))
def test_turning_mirroring_and_shuffling_change_nothing(
    plain: tuple[Packed, np.ndarray], turn: float, mirror: bool, seed: int
) -> None:
    order = np.random.default_rng(seed).permutation(32)
    packed, now = shape(problem(turn, mirror, order))
    assert now == pytest.approx(plain[1], rel=1e-6)
    back = np.empty_like(packed.centre)
    back[order] = packed.centre
    if mirror:
        back = back * [-1.0, 1.0, 1.0]
    c, s = math.cos(turn), math.sin(turn)
    back = back @ np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    assert back == pytest.approx(plain[0].centre, abs=1e-6)


@settings(max_examples=10, deadline=None)
@given(
    count=st.integers(3, 6),
    push=st.floats(0.0, 0.06),  # pushed harder, triplets slip, and to which side is chance
    scale=st.floats(0.1, 8.0),
)
def test_lengths_scale_when_forces_scale_with_the_area(
    count: int, push: float, scale: float
) -> None:
    """At one pressure, c times the size and c^2 times the push give c times the pitch."""
    full = 2.0 * math.pi * 2700.0 * 0.12**2
    one = settle([[0.12] * count] * 7, push * full)
    other = settle([[0.12 * scale] * count] * 7, push * full * scale**2)
    assert other.rise_m == pytest.approx(scale * one.rise_m, rel=1e-5)
    assert other.width_m == pytest.approx(scale * one.width_m, rel=1e-5)
    assert other.length_m == pytest.approx(scale * one.length_m, rel=1e-5)


def test_pressure_and_push_together_change_no_place() -> None:
    assert pitch(0.12, 4, 80.0, pressure_pa=5400.0) == pytest.approx(
        pitch(0.12, 4, 40.0, pressure_pa=2700.0), rel=1e-7
    )


@pytest.mark.parametrize("count", [3, 4, 5, 6])
def test_a_harder_push_never_lengthens(count: int) -> None:
    rises = [pitch(0.12, count, push) for push in (0.0, 10.0, 30.0, 60.0)]
    assert all(a > b for a, b in itertools.pairwise(rises))


def test_a_long_stack_has_the_pitch_of_an_endless_one() -> None:
    long = settle([[0.12] * 4] * 60, 40.0)
    assert long.rise_m[5:-5] == pytest.approx(pitch(0.12, 4, 40.0), rel=1e-5)


def test_any_direction_of_the_rail_gives_the_same_stack() -> None:
    up = settle(MIXED, 30.0)
    for direction in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 2.0, -0.5)):
        other = settle(MIXED, 30.0, rail=StraightRail(3.0, (1.0, 2.0, 3.0), direction))
        assert other.rise_m == pytest.approx(up.rise_m, rel=1e-6)
        assert other.width_m == pytest.approx(up.width_m, rel=1e-6)


def test_mean_rise_of_unlike_clusters_does_not_depend_on_which_comes_first() -> None:
    first, second = MIXED[:2]
    assert mean_rise([first, second], 20.0) == pytest.approx(
        mean_rise([second, first], 20.0), rel=0.05
    )  # unlike clusters find more than one way to nest


def test_twice_gives_the_same_bits() -> None:
    a, b = relax(problem()), relax(problem())
    assert np.array_equal(a.centre, b.centre)
    assert np.array_equal(a.tie_s, b.tie_s)
