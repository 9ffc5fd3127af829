"""CIEDE2000 against the 34 pairs of Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21, table 1.

The formula is the coloraide library's, none of ours: it is the ruler that judges whether
photographed shades are true, so the ruler is checked, hue wrap (pairs 9-16) and near-greys
(33, 34) included. As nothing of ours is in it, the validation page shows no row.
"""

from __future__ import annotations

import pytest
from coloraide import Color

from tests.validation.reading import rows

TABLE = rows("ciede2000_sharma2005.csv")


def lab(row: dict[str, str], side: str) -> Color:
    # the table gives Lab itself; with D65 Lab on both sides no adaptation happens
    return Color("lab-d65", [float(row[f"{axis}{side}"]) for axis in "Lab"])


@pytest.mark.published
@pytest.mark.parametrize("row", TABLE, ids=lambda r: f"pair{r['pair']}")
def test_the_ruler(row: dict[str, str]) -> None:
    one, other = lab(row, "1"), lab(row, "2")
    for near, far in ((one, other), (other, one)):
        found = near.delta_e(far, method="2000", space="lab-d65")
        assert found == pytest.approx(float(row["dE00"]), abs=1e-4)


@pytest.mark.published
def test_the_whole_table_is_there() -> None:
    assert len(TABLE) == 34
