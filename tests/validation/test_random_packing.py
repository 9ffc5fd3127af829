"""Random packing of spheres: G. D. Scott, Nature 188 (1960) 908 (fractions remembered)."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import loose_packing
from tests.validation.conftest import Compare


@pytest.mark.from_memory
def test_loose_and_close(compare: Compare) -> None:
    compare(
        loose_packing.DENSEST,
        0.637,
        atol=0.005,
        source="random close packing, Scott 1960, remembered",
        what="densest random packing",
        unit="-",
    )
    compare(
        loose_packing.LOOSEST,
        0.555,
        atol=0.01,
        source="random loose packing, remembered",
        what="loosest packing",
        unit="-",
    )
    assert np.pi / np.sqrt(18) > loose_packing.DENSEST, "no heap is denser than fcc"


@pytest.mark.from_memory
@pytest.mark.parametrize("ratio", [2.0, 6.0, 30.0])
def test_walls_thin_the_packing(ratio: float, compare: Compare) -> None:
    exact = (1 - (0.390 + 1.740 / (ratio + 1.140) ** 2)) / (1 - 0.390)
    compare(
        float(loose_packing.wall_factor(ratio)),
        exact,
        rtol=1e-6,
        source="Benyahia and O'Neill 2005, equation",
        what=f"wall factor at {ratio:g} diameters",
        unit="-",
    )
