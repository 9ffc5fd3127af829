"""Catenaries: Beer and Johnston sample 7.10 (printed answer, remembered and recomputed), a
worked problem read in a mathematics forum, and identities.
"""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import catenary as cat
from tests.validation.conftest import Compare

BJ = "Beer and Johnston, sample problem 7.10"


@pytest.mark.published
def test_through_two_points(compare: Compare) -> None:
    line = cat.from_span_sag(20.0, 6.0)
    compare(
        line.a,
        9.1889,
        rtol=1e-5,
        source="worked problem, mathhelpforum 104833",
        what="a through (±10, 6)",
        unit="m",
    )


@pytest.mark.from_memory
def test_sample_7_10(compare: Compare) -> None:
    """Span 500 ft, sag 100 ft, 3 lb/ft."""
    line = cat.from_span_sag(500.0, 100.0)
    loads = cat.line_loads(line, 3.0)
    compare(line.a, 328.0, rtol=1e-3, source=BJ, what="c", unit="ft")
    compare(loads.horizontal_n, 984.0, rtol=1e-3, source=BJ, what="least tension", unit="lb")
    compare(loads.tension_left_n, 1284.0, rtol=1e-3, source=BJ, what="largest tension", unit="lb")
    compare(line.length, 550.0, rtol=1e-3, source=BJ, what="length", unit="ft")


@pytest.mark.closed_form
def test_span_4(compare: Compare) -> None:
    by_sag = cat.from_span_sag(4.0, 2.0)
    compare(
        np.array([by_sag.a, by_sag.length]),
        np.array([1.237518, 5.983335]),
        rtol=1e-6,
        source="root of the sag equation",
        what="span 4, sag 2: a, length",
        unit="m",
    )
    loads = cat.line_loads(by_sag, 1.0)
    compare(
        loads.tension_right_n,
        3.237518,
        rtol=1e-6,
        source="T = w y",
        what="span 4, sag 2: largest tension over w",
        unit="m",
    )
    angle = float(np.degrees(np.arctan2(loads.vertical_right_n, loads.horizontal_n)))
    compare(
        angle, 67.527, atol=1e-3, source="tan = sinh", what="span 4, sag 2: end angle", unit="deg"
    )
    by_length = cat.from_span_length(4.0, 8.0)
    compare(
        np.array([by_length.a, by_length.sag]),
        np.array([0.918561, 3.185553]),
        rtol=1e-6,
        source="root of the length equation",
        what="span 4, length 8: a, sag",
        unit="m",
    )


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
