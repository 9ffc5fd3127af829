"""Permeability of natural rubber: Michaels and Bixler 1961, Paul 1979, van Amerongen 1946.

Rows of the data file, with how each was seen. Between sources values scatter by 10 %.
"""

from __future__ import annotations

import pytest

from airwright.physics import permeation
from tests.validation.conftest import Compare
from tests.validation.reading import rows

TABLE = rows("rubber_permeability.csv")


@pytest.mark.published
@pytest.mark.parametrize("gas", ["O2", "N2"])
def test_air_gases_at_25(gas: str, compare: Compare) -> None:
    seen = [
        r
        for r in TABLE
        if r["gas"] == gas
        and float(r["T_C"]) == 25.0
        and ("Paul" in r["source"] or "Michaels" in r["source"] or r["source"] == "same row")
    ]
    assert seen
    ours = float(permeation.permeability(gas, 25.0)) / permeation.BARRER
    for row in seen:
        compare(
            ours,
            float(row["P_Barrer"]),
            rtol=0.01,
            source="Michaels and Bixler 1961 / Paul 1979",
            what=f"{gas} in natural rubber, 25 °C",
            unit="barrer",
        )


@pytest.mark.from_memory
def test_helium_against_van_amerongen(compare: Compare) -> None:
    ours = float(permeation.permeability("He", 25.0)) / permeation.BARRER
    compare(
        ours,
        31.2,
        rtol=0.11,
        source="van Amerongen 1946, remembered",
        what="helium in natural rubber, 25 °C",
        unit="barrer",
    )


@pytest.mark.from_memory
def test_warmth_speeds_helium(compare: Compare) -> None:
    p = [float(permeation.permeability("He", t)) for t in (15.0, 25.0, 35.0)]
    # E_P 28 ± 4 kJ/mol, derived from hydrogen between two sources
    compare(
        p[2] / p[1],
        1.44,
        rtol=0.03,
        source="E_P of hydrogen in NR, derived",
        what="P(35 °C)/P(25 °C), helium",
        unit="-",
    )
    compare(
        p[0] / p[1],
        0.68,
        rtol=0.03,
        source="E_P of hydrogen in NR, derived",
        what="P(15 °C)/P(25 °C), helium",
        unit="-",
    )


@pytest.mark.closed_form
def test_barrer(compare: Compare) -> None:
    mole = 1e-6 / 22_413.97e-6  # 1 cm3 (STP) in mol, of 1e-10
    unit = 1e-10 * mole * 1e-2 / (1e-4 * 1333.224)
    compare(
        permeation.BARRER,
        unit,
        rtol=2e-4,
        source="definition of the barrer",
        what="1 barrer",
        unit="mol/(m s Pa)",
    )
