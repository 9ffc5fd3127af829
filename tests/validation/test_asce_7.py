"""ASCE/SEI 7-10: worked example of a solid sign (read), and the exposure formula."""

from __future__ import annotations

import pytest

from airwright.physics import wind
from tests.validation.conftest import Compare

MPH, FT, LBF = 0.44704, 0.3048, 4.4482216
SOURCE = "ASCE 7-10 worked example, solid sign"


@pytest.mark.published
def test_solid_sign(compare: Compare) -> None:
    kz = wind.asce_height_factor(20 * FT, "D")
    compare(float(kz), 1.083, atol=5e-4, source=SOURCE, what="Kz, exposure D, 20 ft", unit="-")
    q = float(wind.asce_velocity_pressure(155 * MPH, kz, 1.0, 0.85))
    compare(
        q / wind.PSF_PA,
        56.62,
        rtol=2e-4,
        source=SOURCE,
        what="velocity pressure at 155 mph",
        unit="psf",
    )
    force = q * 0.85 * 1.80 * 7.48 * FT**2 / LBF
    compare(force, 648.0, rtol=5e-4, source=SOURCE, what="force on 7.48 ft²", unit="lb")


@pytest.mark.from_memory
@pytest.mark.parametrize(("feet", "kz"), [(15, 0.8489), (35, 1.01465)])
def test_exposure_c(feet: float, kz: float, compare: Compare) -> None:
    compare(
        float(wind.asce_height_factor(feet * FT, "C")),
        kz,
        rtol=1e-4,
        source="ASCE 7-10 table, remembered",
        what=f"Kz, exposure C, {feet} ft",
        unit="-",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("mph", "pascal", "psf"), [(24, 70.56, 1.475), (25, 76.57, 1.600), (38, 176.9, 3.697)]
)
def test_pressure_of_common_limits(mph: float, pascal: float, psf: float, compare: Compare) -> None:
    q = float(wind.asce_velocity_pressure(mph * MPH))
    compare(q, pascal, rtol=1e-3, source="0.613 V²", what=f"{mph} mph", unit="Pa")
    compare(q / wind.PSF_PA, psf, rtol=1e-3, source="0.00256 V²", what=f"{mph} mph", unit="psf")
