"""EN 1991-1-4: two worked examples (read) and a basic velocity pressure."""

from __future__ import annotations

import pytest

from airwright.physics import wind
from tests.validation.conftest import Compare

SOURCE = "EN 1991-1-4 worked example"


@pytest.mark.published
def test_sea_terrain_77_m(compare: Compare) -> None:
    steps = wind.en_peak_pressure(25.0, 77.36, "0")
    compare(
        float(steps.roughness_factor),
        1.585,
        atol=5e-4,
        source=SOURCE,
        what="roughness factor, z 77.36 m",
        unit="-",
    )
    compare(float(steps.mean_m_s), 39.624, atol=5e-4, source=SOURCE, what="mean wind", unit="m/s")
    compare(float(steps.turbulence), 0.098, atol=5e-4, source=SOURCE, what="turbulence", unit="-")
    compare(
        float(steps.peak_pa) / 1e3,
        1.658,
        atol=1e-3,
        source=SOURCE,
        what="peak pressure",
        unit="kN/m²",
    )


@pytest.mark.published
def test_terrain_one_at_3_5_m(compare: Compare) -> None:
    qp = float(wind.en_peak_pressure(27.0, 3.5, "I").peak_pa) / 1e3
    compare(qp, 0.989, atol=5e-4, source=SOURCE, what="peak pressure, vb 27, z 3.5 m", unit="kN/m²")


@pytest.mark.published
def test_basic_pressure(compare: Compare) -> None:
    qb = float(wind.velocity_pressure(40.9, wind.EN_AIR_KG_M3)) / 1e3
    compare(
        qb,
        1.046,
        atol=1e-3,
        source="EN 1991-1-4 calculation sheet",
        what="basic pressure, vb 40.9",
        unit="kPa",
    )
