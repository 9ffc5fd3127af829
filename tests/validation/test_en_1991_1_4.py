"""EN 1991-1-4: a basic velocity pressure."""

from __future__ import annotations

import pytest

from airwright.physics import wind
from tests.validation.conftest import Compare

SOURCE = "EN 1991-1-4 worked example"


@pytest.mark.published
def test_basic_pressure(compare: Compare) -> None:
    qb = float(wind.velocity_pressure(40.9, 1.25)) / 1e3
    compare(
        qb,
        1.046,
        atol=1e-3,
        source="EN 1991-1-4 calculation sheet",
        what="basic pressure, vb 40.9",
        unit="kPa",
    )
