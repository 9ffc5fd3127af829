"""CIEDE2000 against the 34 pairs of Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21, table 1.

It judges whether photographed shades are true, so it must itself be right, hue wrap
(pairs 9-16) and near-greys (33, 34) included.
"""

from __future__ import annotations

import pytest
from coloraide import Color

from tests.validation.conftest import Compare
from tests.validation.reading import rows

TABLE = rows("ciede2000_sharma2005.csv")


def lab(row: dict[str, str], side: str) -> Color:
    # the table gives Lab itself; with D65 Lab on both sides no adaptation happens
    return Color("lab-d65", [float(row[f"{axis}{side}"]) for axis in "Lab"])


@pytest.mark.published
@pytest.mark.parametrize("row", TABLE, ids=lambda r: f"pair{r['pair']}")
def test_pair(row: dict[str, str], compare: Compare) -> None:
    one, other = lab(row, "1"), lab(row, "2")
    compare(
        one.delta_e(other, method="2000", space="lab-d65"),
        float(row["dE00"]),
        atol=1e-4,
        source="Sharma, Wu & Dalal 2005, table 1",
        what=f"CIEDE2000 of pair {row['pair']}",
    )
    back = other.delta_e(one, method="2000", space="lab-d65")
    assert back == pytest.approx(float(row["dE00"]), abs=1e-4)


@pytest.mark.published
def test_the_whole_table_is_there() -> None:
    assert len(TABLE) == 34
