"""WMO Code 1100, Beaufort scale, and the wind limit of inflatable structures near people."""

from __future__ import annotations

import pytest

from airwright.physics import wind
from airwright.units import GRAVITY_M_S2
from tests.validation.conftest import Compare
from tests.validation.reading import rows

TABLE = rows("beaufort.csv")


@pytest.mark.published
@pytest.mark.parametrize("row", TABLE, ids=lambda r: f"B{r['B']}")
def test_scale(row: dict[str, str], compare: Compare) -> None:
    number = int(row["B"])
    step = wind.BEAUFORT[number]
    compare(
        step.low_m_s,
        float(row["ms_low"]),
        atol=1e-9,
        source="WMO Code 1100",
        what=f"Beaufort {number} from",
        unit="m/s",
    )
    if number < 12:
        compare(
            step.high_m_s,
            float(row["ms_high"]),
            atol=1e-9,
            source="WMO Code 1100",
            what=f"Beaufort {number} to",
            unit="m/s",
        )
    for speed in (float(row["ms_low"]), step.high_m_s):
        assert wind.beaufort(speed).number == number
    assert step.name.lower().split()[0] == row["name"].lower().split()[0]


@pytest.mark.published
def test_inflatables_come_down_above_beaufort_5(compare: Compare) -> None:
    """EN 14960 / HSE: 24 mph = 38 km/h = Beaufort 5; ballast 163 kg a point where no stakes."""
    compare(
        wind.PEOPLE_NEAR_LIMIT_M_S,
        24 * 0.44704,
        rtol=5e-3,
        source="HSE text on EN 14960, 24 mph",
        what="limit near people",
        unit="m/s",
    )
    compare(
        wind.PEOPLE_NEAR_LIMIT_M_S,
        38 / 3.6,
        rtol=0.015,
        source="HSE text on EN 14960, 38 km/h",
        what="limit near people",
        unit="m/s",
    )
    assert wind.beaufort(wind.PEOPLE_NEAR_LIMIT_M_S).number == 5
    compare(
        163 * GRAVITY_M_S2,
        1600.0,
        rtol=2e-3,
        source="EN 14960 anchor force",
        what="163 kg ballast",
        unit="N",
    )
