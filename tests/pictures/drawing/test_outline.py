"""Outlines against closed forms: balls, pears from the side and the end, contact circles."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.pictures.drawing.outline import (
    DIRECTIONS,
    body_of,
    contact,
    cut_outlines,
    pear,
    pear_outlines,
    silhouette,
)

WAY = np.arange(DIRECTIONS) * (2 * np.pi / DIRECTIONS)


@pytest.mark.closed_form
@given(tilt=st.floats(0.0, 1.0))
def test_a_ball_shows_a_circle_from_everywhere(tilt: float) -> None:
    t = np.linspace(0, np.pi, 400)
    found = silhouette(-np.cos(t), np.sin(t), tilt)
    assert found == pytest.approx(np.ones(DIRECTIONS), abs=5e-4)


@pytest.mark.closed_form
def test_an_ellipsoid_shows_the_known_ellipse() -> None:
    """Half axes b, b, a seen at an angle: a' = sqrt(a^2 cos^2 + b^2 sin^2), b' = b."""
    t = np.linspace(0, np.pi, 800)
    a, b, tilt = 1.6, 1.0, 0.6
    found = silhouette(-a * np.cos(t), b * np.sin(t), tilt)
    long = np.sqrt((a * np.sqrt(1 - tilt**2)) ** 2 + (b * tilt) ** 2)
    want = 1.0 / np.sqrt((np.cos(WAY) / long) ** 2 + (np.sin(WAY) / b) ** 2)
    assert found == pytest.approx(want, rel=1e-3)


def test_a_pear_is_its_profile_from_the_side_and_a_circle_from_the_end() -> None:
    z, rho = body_of(pear(0.88))
    side = silhouette(z, rho, 0.0)
    assert side[0] == pytest.approx(z.max(), rel=1e-3)
    assert side[DIRECTIONS // 2] == pytest.approx(-z.min(), rel=2e-3)
    assert side[DIRECTIONS // 4] == pytest.approx(1.0, rel=2e-3)
    assert silhouette(z, rho, 1.0) == pytest.approx(np.ones(DIRECTIONS), rel=1e-3)


@pytest.mark.closed_form
def test_the_contact_plane_is_where_two_balls_meet() -> None:
    """Radii 3 and 4 at distance 5: a right angle, so the plane lies 9/5 from the first."""
    gap, normal, reach = contact(
        np.array([[0.0, 0, 0], [5.0, 0, 0]]), np.array([3.0, 4.0]), np.array([[0, 1]])
    )
    assert (gap[0], reach[0]) == pytest.approx((5.0, 1.8))
    assert normal[0] == pytest.approx([1.0, 0.0, 0.0])


@pytest.mark.closed_form
def test_balls_side_by_side_meet_in_a_straight_line() -> None:
    centre = np.array([[0.0, 0, 0], [1.6, 0, 0]])
    radius = np.ones(2)
    angles = np.stack([WAY, WAY])
    whole = np.ones((2, DIRECTIONS))
    found, cutter = cut_outlines(angles, whole, centre, radius, np.array([[0, 1]]))
    x = found[0] * np.cos(WAY)
    cut = cutter[0] == 0
    assert cut.any()
    assert x[cut] == pytest.approx(np.full(cut.sum(), 0.8), abs=2e-3)
    assert found[1] == pytest.approx(np.ones(DIRECTIONS))


@given(
    x=st.floats(-1.5, 1.5),
    y=st.floats(-1.5, 1.5),
    z=st.floats(0.0, 1.5),
    size=st.floats(0.3, 2.0),
)
def test_a_cut_only_takes_away_and_keeps_the_middle(
    x: float, y: float, z: float, size: float
) -> None:
    centre = np.array([[0.0, 0, 0], [x, y, z]])
    angles, whole = pear_outlines(
        np.array([0.9, 0.9]), np.array([1.0, size]), np.array([[0.0, 1, 0], [0.6, 0, 0.8]])
    )
    found, _ = cut_outlines(angles, whole, centre, np.array([1.0, size]), np.array([[0, 1]]))
    assert np.isfinite(found).all()
    assert (found <= whole + 1e-12).all()
    assert (found > 0.2).all()
