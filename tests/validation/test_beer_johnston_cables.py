"""Catenaries: Beer and Johnston sample 7.10 (printed answer, remembered and recomputed), a
worked problem read in a mathematics forum, and identities.
"""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import catenary as cat
from tests.validation.conftest import Compare

BJ = "Beer and Johnston, sample problem 7.10"


@pytest.mark.closed_form
@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("rise", [0.0, 1.3, -2.0])
def test_identities(sign: int, rise: float, compare: Compare) -> None:
    line = cat.from_span_length(4.0, 8.0, rise, sign)
    points = cat.catenary_points(line, 4001)
    assert points[0] == pytest.approx([0.0, 0.0], abs=1e-12)
    assert points[-1] == pytest.approx([4.0, rise], abs=1e-9)
    length = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
    compare(
        length,
        8.0,
        rtol=1e-6,
        source="sum of chords",
        what=f"length, rise {rise:g}, {'hanging' if sign > 0 else 'floating'}",
        unit="m",
    )
    loads = cat.line_loads(line, 2.5)
    compare(
        loads.vertical_left_n + loads.vertical_right_n,
        20.0,
        rtol=1e-9,
        source="V1 + V2 = w S",
        what="vertical balance",
        unit="N",
    )
    compare(
        loads.tension_left_n**2,
        loads.horizontal_n**2 + loads.vertical_left_n**2,
        rtol=1e-9,
        source="T² = H² + V²",
        what="left tension squared",
        unit="N²",
    )
    # T = w y: the difference of the end tensions is w times the rise, seen from the directrix
    compare(
        loads.tension_right_n - loads.tension_left_n,
        sign * 2.5 * rise,
        atol=1e-9,
        source="T = w y",
        what="tension difference",
        unit="N",
    )
    assert abs(line.residual) < 1e-12


@pytest.mark.closed_form
def test_a_floating_line_is_the_hanging_one_upside_down(compare: Compare) -> None:
    hanging, floating = (
        cat.catenary_points(cat.from_span_length(5.0, 7.0, 0.0, s), 33) for s in (1, -1)
    )
    compare(
        floating[:, 1],
        -hanging[:, 1],
        atol=1e-12,
        source="mirror",
        what="heights of a buoyant line",
        unit="m",
    )
