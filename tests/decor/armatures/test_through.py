"""A smooth curve through drawn points: it hits them, its length, and where it crosses itself."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.armatures import ArmatureError, Through, crossing, meets_itself, through

BENT = [(0.0, 0.0, 0.0), (-0.3, 0.0, 1.2), (0.2, 0.0, 2.1), (1.4, 0.0, 2.3)]


def test_it_passes_through_every_point() -> None:
    line = through(BENT)
    s = np.linspace(0.0, line.length_m, 20_001)
    near = np.linalg.norm(line.position(s)[:, None] - np.array(BENT)[None], axis=2).min(axis=0)
    assert near.max() < 1e-3
    assert line.position(np.array([0.0, line.length_m])) == pytest.approx(
        np.array([BENT[0], BENT[-1]])
    )


@pytest.mark.closed_form
def test_points_on_a_line_give_a_line() -> None:
    """Distance of the ends, however the points are spaced between."""
    line = through([(0, 0, 0), (0.3, 0, 0.4), (0.36, 0, 0.48), (3, 0, 4)])
    assert line.length_m == pytest.approx(5.0)
    assert line.tangent(np.array([0.0, 2.5, 5.0])) == pytest.approx(
        np.tile([0.6, 0.0, 0.8], (3, 1)), abs=1e-6
    )


@pytest.mark.closed_form
def test_points_on_a_circle_give_nearly_its_arc() -> None:
    """Half a circle of radius 1: length pi, by nine points to half a percent."""
    turn = np.linspace(np.pi, 0.0, 9)
    line = through([(float(np.cos(a)), 0.0, float(np.sin(a))) for a in turn])
    assert line.length_m == pytest.approx(np.pi, rel=5e-3)
    s = np.linspace(0.0, line.length_m, 300)
    assert np.abs(np.linalg.norm(line.position(s), axis=1) - 1.0).max() < 0.01


def test_arc_length_is_even_and_tangents_are_its_slope() -> None:
    line = through(BENT)
    s = np.linspace(0.0, line.length_m, 4001)
    steps = np.linalg.norm(np.diff(line.position(s), axis=0), axis=1)
    assert steps.max() / steps.min() < 1.03
    slope = np.gradient(line.position(s), s, axis=0)[5:-5]
    assert np.abs(slope - line.tangent(s)[5:-5]).max() < 0.02


def test_turned_round_it_is_as_long() -> None:
    assert through(BENT[::-1]).length_m == pytest.approx(through(BENT).length_m)


def test_points_that_repeat_count_once() -> None:
    assert through([BENT[0], *BENT]).length_m == pytest.approx(through(BENT).length_m)


@pytest.mark.parametrize("points", [[], [BENT[0]], [BENT[0]] * 3, [BENT[0], (np.nan, 0, 0)]])
def test_what_is_no_line_is_refused(points: list[tuple[float, float, float]]) -> None:
    with pytest.raises(ArmatureError) as refused:
        Through(tuple(points))
    assert refused.value.mend


def test_a_crossing_is_found_with_both_its_legs() -> None:
    eight = through([(-1, 0, 0.2), (1, 0, 2), (1, 0, 0.2), (-1, 0, 2)])
    found = crossing(eight)
    assert found is not None
    assert [eight.leg_of(s) for s in found] == [0, 2]
    assert eight.position(np.array(found[:1]))[0] == pytest.approx(
        eight.position(np.array(found[1:]))[0], abs=0.03
    )
    assert crossing(through(BENT)) is None


def test_a_way_that_comes_back_is_near_itself() -> None:
    hairpin = through([(-2, 0, 1), (2, 0, 1), (2, 0, 1.3), (-2, 0, 1.3)])
    assert meets_itself(hairpin, 0.4) is not None
    assert meets_itself(through(BENT), 0.4) is None
