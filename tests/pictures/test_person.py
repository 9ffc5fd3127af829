"""The outline of a person has a person's proportions."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.pictures.person import PERSON_M, dense_outline, outline


def breadth(at_share: float, *, body: bool = False) -> float:
    """Breadth of the outline at a share of stature; of the body alone, arms left out [m]."""
    points = dense_outline(20)
    near = points[np.abs(points[:, 1] - at_share * PERSON_M) < 0.012]
    xs = np.abs(near[:, 0])
    return 2 * float(xs.min() if body else xs.max())


@pytest.mark.from_memory
def test_proportions_are_those_of_the_tables() -> None:
    """Shares of stature after Drillis and Contini (1966), remembered: shoulders 0.259 between
    their joints and a little more over the muscles, chin 0.870, fingertips 0.377."""
    ring, _ = outline()
    assert ring[:, 1].max() == pytest.approx(PERSON_M)
    assert ring[:, 1].min() == pytest.approx(0.0)
    assert 0.25 <= breadth(0.77) / PERSON_M <= 0.29  # over the upper arms
    neck = ring[(ring[:, 1] > 1.42) & (ring[:, 1] < 1.5)]
    lowest_neck = neck[np.abs(neck[:, 0]).argmin(), 1]
    assert lowest_neck / PERSON_M == pytest.approx(0.86, abs=0.02)
    hands = ring[np.abs(ring[:, 0]) > 0.23]
    assert hands[:, 1].min() / PERSON_M == pytest.approx(0.385, abs=0.015)
    assert breadth(0.945) == pytest.approx(0.155, abs=0.015)  # head


def test_the_outline_is_the_same_left_and_right_and_closes() -> None:
    ring, corners = outline()
    assert len(set(corners)) == 3
    mirrored = {(round(-x, 6), round(z, 6)) for x, z in ring}
    assert mirrored == {(round(x, 6), round(z, 6)) for x, z in ring}
