"""fluids 1.3: its `ATMOSPHERE_1976`, an independent program for the same standard atmosphere."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import air
from airwright.units import ZERO_CELSIUS_K
from tests.validation.conftest import Compare


@pytest.mark.other_program
def test_the_closed_form_is_the_library_s(compare: Compare) -> None:
    atmosphere = pytest.importorskip("fluids.atmosphere").ATMOSPHERE_1976
    heights = np.linspace(air.LOWEST_M, air.HIGHEST_M, 96)
    found = [atmosphere(float(z)) for z in heights]
    t, p, rho = air.standard_atmosphere(heights)
    ours = (t + ZERO_CELSIUS_K, p, rho)
    theirs = ([a.T for a in found], [a.P for a in found], [a.rho for a in found])
    names = (("temperature", "K"), ("pressure", "Pa"), ("density", "kg/m³"))
    for (what, unit), own, other in zip(names, ours, theirs, strict=True):
        compare(
            own,
            np.array(other),
            rtol=1e-9,  # the same formula; only the order of the sums differs
            source="fluids 1.3.1 ATMOSPHERE_1976",
            what=f"{what}, -500 to 9000 m",
            unit=unit,
        )
