"""Moist air: printed worked values (NIST SOP 2 example 1, Gupta) and CoolProp's humid air.

The printed values were read in the test file of an open statistics package that cites them.
"""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import air
from tests.validation.conftest import Compare
from tests.validation.reading import rows

ROWS = rows("moist_air_density.csv")


def ours(row: dict[str, str]) -> float:
    return float(air.air_density(float(row["t_C"]), float(row["p_Pa"]), float(row["RH"])))


@pytest.mark.published
@pytest.mark.parametrize("row", [r for r in ROWS if r["rho_printed"]], ids=lambda r: r["note"])
def test_printed_examples(row: dict[str, str], compare: Compare) -> None:
    # 1e-4: the NIST example predates CIPM-2007 (argon content), 5e-5 off
    compare(
        ours(row),
        float(row["rho_printed"]),
        rtol=1e-4,
        source=row["note"],
        what=f"moist air at {row['t_C']} °C, {row['RH']} humidity",
        unit="kg/m³",
    )


@pytest.mark.other_program
def test_against_coolprop_humid_air(compare: Compare) -> None:
    seen = [r for r in ROWS if r["rho_coolprop_HA"] and float(r["t_C"]) >= 0]
    compare(
        np.array([ours(r) for r in seen]),
        np.array([float(r["rho_coolprop_HA"]) for r in seen]),
        rtol=3e-4,
        source="CoolProp 8.0.0 HAPropsSI",
        what=f"moist air, {len(seen)} states",
        unit="kg/m³",
    )


@pytest.mark.closed_form
def test_oiml_short_formula(compare: Compare) -> None:
    """OIML R 111 approximation, stated to hold within 2e-4 at room conditions."""
    t, h = 20.0, 50.0
    short = (0.34848 * 1013.25 - 0.009 * h * np.exp(0.061 * t)) / (273.15 + t)
    compare(
        float(air.air_density(t, 101325.0, 0.5)),
        float(short),
        rtol=2e-4,
        source="OIML R 111 short formula",
        what="moist air at 20 °C, 50 %",
        unit="kg/m³",
    )


@pytest.mark.from_memory
def test_standard_air_is_ideal_real_air_is_not() -> None:
    """The trap: ISA says 1.2250 at 15 °C, real dry air weighs 1.2255."""
    assert float(air.air_density(15.0, 101325.0, 0.0)) == pytest.approx(1.2255, abs=5e-5)
    assert float(air.standard_atmosphere(0.0)[2]) == pytest.approx(1.2250, abs=5e-6)
