"""Statics in closed form: outlines of discs, base weights, tipping gust."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import overturning as over
from airwright.physics import wind
from tests.validation.conftest import Compare


def array(*x: float) -> over.Floats:
    return np.array(x)


@pytest.mark.closed_form
def test_one_disc(compare: Compare) -> None:
    shape = over.outline(array(0.3), array(1.0), array(0.5), 1000)
    compare(
        shape.area_m2, np.pi / 4, rtol=1e-4, source="pi r²", what="outline of one disc", unit="m²"
    )
    compare(shape.centroid_m, 1.0, rtol=1e-9, source="symmetry", what="its centre", unit="m")


@pytest.mark.closed_form
def test_two_discs_count_their_overlap_once(compare: Compare) -> None:
    r, s = 0.5, 0.5
    lens = 2 * r**2 * np.arccos(s / (2 * r)) - s / 2 * np.sqrt(4 * r**2 - s**2)
    shape = over.outline(array(0.0, s), array(1.0, 1.0), array(r, r), 1000)
    compare(
        shape.area_m2,
        2 * np.pi * r**2 - lens,
        rtol=2e-4,
        source="circle lens",
        what="outline of two discs",
        unit="m²",
    )


@pytest.mark.closed_form
def test_gust_that_tips_a_column(compare: Compare) -> None:
    """Without a factor the ballast for 8 m/s tips at exactly 8 m/s."""
    moment_at_1_pa = 1.2 * 0.9 * 1.0
    mass = float(over.ballast_needed(moment_at_1_pa * float(wind.velocity_pressure(8.0)), 0.3, 1.0))
    held = over.holding_moment(array(mass), array(0.3))
    compare(
        float(over.gust_at_limit(moment_at_1_pa, held)),
        8.0,
        rtol=1e-9,
        source="moment balance",
        what="gust at tipping",
        unit="m/s",
    )


@pytest.mark.closed_form
def test_sliding(compare: Compare) -> None:
    ours = float(over.sliding_ballast(100.0, 5.0, 0.4, 1.5))
    compare(
        ours,
        1.5 * 100 / (0.4 * 9.80665) - 5,
        rtol=1e-12,
        source="Coulomb friction",
        what="ballast against sliding",
        unit="kg",
    )
