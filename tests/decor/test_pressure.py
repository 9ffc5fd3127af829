"""One pressure a size: the packing is as firm as physics says."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.context import FALLBACK_PRESSURE_PA, excess_pressure
from airwright.decor.parts.stack import layer_of
from airwright.job.cluster import Cluster, Inflated
from airwright.physics.inflation import inflate, skin
from airwright.units import INCH_M
from tests.decor.pieces.helpers import CTX


@pytest.mark.parametrize("text", ["5in @ 4.5in", "11in @ 9.5in", "17in @ 15in", "36in @ 33in"])
def test_packing_takes_the_pressure_that_physics_reckons(text: str) -> None:
    balloon = Inflated.parse(text)
    row = CTX.balloon(balloon)
    one = skin(row.nominal_in * INCH_M, row.mass_g / 1000, row.flat_width_in * INCH_M)
    expected = float(inflate(one, balloon.diameter_m).excess_pa)
    assert CTX.pressure(balloon) == pytest.approx(expected)


def test_small_balloons_are_firmer_and_each_layer_knows_it() -> None:
    made = Cluster.parse("2 x 11in @ 9.5in + 2 x 5in @ 4.5in")
    large, _, small, _ = layer_of(made, CTX).pressure
    assert small > 2 * large


def test_what_physics_refuses_falls_back() -> None:
    row = CTX.catalog.balloon("11in")
    assert excess_pressure(row, 0.05) == FALLBACK_PRESSURE_PA
    assert np.isfinite(excess_pressure(CTX.catalog.balloon("18in foil round"), 0.4))
