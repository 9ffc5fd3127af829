"""Curves: arc-length parametrisation, ends, mirror symmetry, valid ranges."""

from __future__ import annotations

from typing import get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.decor import armatures as arm
from airwright.decor.packing import Rail

CURVES: dict[str, Rail] = {
    "half circle": arm.half_circle(2, 1),
    "stilted": arm.half_circle(2, 3),
    "segment": arm.half_circle(4, 1),
    "low ellipse": arm.HalfEllipse(4, 1),
    "high ellipse": arm.HalfEllipse(2, 4),
    "parabola": arm.Parabola(3, 2.4),
    "catenary": arm.Catenary(4, 2),
    "swag": arm.Catenary(4, 0.5, hanging=True),
    "rounded square": arm.rounded_square(3, 2),
    "half hoop": arm.hoop(2),
    "banister": arm.staircase(12, 0.17, 0.28),
    "polyline": arm.polyline([(0, 0, 0), (1, 0, 1), (1, 1, 1)]),
    "moved": arm.Moved(arm.Parabola(3, 2.4), (1, 2, 3)),
}


@pytest.mark.parametrize("name", CURVES)
def test_equal_steps_of_arc_length_are_equal_steps_along(name: str) -> None:
    curve = CURVES[name]
    s = np.linspace(0, curve.length_m, 4001)
    step = np.linalg.norm(np.diff(curve.position(s), axis=0), axis=1)
    # A chord is shorter than its arc by (step/2r)²/6; at a corner it cuts across.
    assert np.sort(step)[2:] == pytest.approx(s[1], rel=1e-5)
    assert step.max() <= s[1] * (1 + 1e-9)


@pytest.mark.parametrize("name", CURVES)
def test_tangents_are_unit_and_follow_the_curve(name: str) -> None:
    curve = CURVES[name]
    s = np.linspace(0, curve.length_m, 997)[1:-1]
    tangent = curve.tangent(s)
    assert np.linalg.norm(tangent, axis=1) == pytest.approx(1, abs=1e-12)
    h = 1e-6 * curve.length_m
    slope = (curve.position(s + h) - curve.position(s - h)) / (2 * h)
    off = np.abs(slope - tangent).max(axis=1)
    assert np.sort(off)[-3] < 1e-5  # all but the two corners of the polyline


@pytest.mark.parametrize("name", arm.ARCH_FORMS)
@pytest.mark.parametrize(("width", "height"), [(3.0, 2.4), (2.0, 1.0), (6.0, 1.0), (1.5, 3.0)])
def test_every_arch_stands_on_its_feet_and_is_its_own_mirror_image(
    name: str, width: float, height: float
) -> None:
    curve = arm.ARCH_FORMS[name](width, height)
    s = np.linspace(0, curve.length_m, 801)
    points = curve.position(s)
    assert points[0] == pytest.approx([-width / 2, 0, 0], abs=1e-9)
    assert points[-1] == pytest.approx([width / 2, 0, 0], abs=1e-9)
    assert points[:, 2].max() == pytest.approx(height, abs=1e-9)
    assert points[::-1] * [-1, 1, 1] == pytest.approx(points, abs=1e-8)
    assert np.all(points[:, 1] == 0)


def test_registry_names_what_the_job_file_offers() -> None:
    assert set(arm.ARCH_FORMS) == set(get_args(arm.ArchCurve))


@pytest.mark.parametrize("name", arm.ARCH_FORMS)
def test_out_of_range_says_what_and_how_to_mend(name: str) -> None:
    form = arm.ARCH_FORMS[name]
    for width, height in ((100.0, 1.0), (0.1, 30.0), (0.0, 1.0)):
        with pytest.raises(arm.ArmatureError) as caught:
            form(width, height)
        assert caught.value.what.endswith(".")
        assert caught.value.mend.endswith(".")


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: arm.half_circle(-1, 1),
        lambda: arm.half_circle(float("nan"), 1),
        lambda: arm.HalfEllipse(1, 0),
        lambda: arm.Parabola(0, 1),
        lambda: arm.Catenary(1, 1e-6),
        lambda: arm.Catenary(1, 1e6),
        lambda: arm.rounded_square(2, 1, corner_m=1.5),
        lambda: arm.hoop(2, share=0),
        lambda: arm.hoop(2, share=1.5),
        lambda: arm.staircase(0, 0.17, 0.28),
        lambda: arm.polyline([(0, 0, 0)]),
        lambda: arm.polyline([(1, 2, 3), (1, 2, 3)]),
        lambda: arm.polyline([(0, 0, 0), (float("nan"), 0, 1)]),
        lambda: arm.Chain(()),
    ],
)
def test_impossible_curves_are_refused(wrong: object) -> None:
    with pytest.raises(arm.ArmatureError):
        wrong()  # type: ignore[operator]


def test_half_hoop_runs_from_the_foot_up_its_side_to_the_top() -> None:
    for side, sign in (("left", -1), ("right", 1)):
        curve = arm.hoop(2, 0.5, side)
        foot, flank, top = curve.position(curve.length_m * np.array([0.0, 0.5, 1.0]))
        assert foot == pytest.approx([0, 0, 0], abs=1e-12)
        assert flank == pytest.approx([sign, 0, 1], abs=1e-12)
        assert top == pytest.approx([0, 0, 2], abs=1e-12)


def test_tightest_bend_of_a_circle_is_its_radius() -> None:
    assert arm.tightest_bend(arm.half_circle(2, 1)) == pytest.approx(1, rel=1e-4)
    assert arm.tightest_bend(arm.staircase(3, 0.2, 0.3)) == float("inf")


@settings(max_examples=60, deadline=None)
@given(
    name=st.sampled_from(list(arm.ARCH_FORMS)),
    width=st.floats(0.5, 20),
    ratio=st.floats(0.06, 9),
    scale=st.floats(0.1, 10),
)
def test_lengths_scale_with_the_size_and_are_never_shorter_than_the_straight_way(
    name: str, width: float, ratio: float, scale: float
) -> None:
    form = arm.ARCH_FORMS[name]
    curve = form(width, ratio * width)
    straight = 2 * np.hypot(width / 2, ratio * width)
    assert curve.length_m >= straight * (1 - 1e-12)
    assert curve.length_m <= (width + 2 * ratio * width) * (1 + 1e-12)
    assert form(scale * width, scale * ratio * width).length_m == pytest.approx(
        scale * curve.length_m, rel=1e-9
    )
