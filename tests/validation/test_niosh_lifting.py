"""NIOSH Publication 94-110 (revised 2021): example 1 and plain points of the equation.

The example's factors are rounded to two figures in print; the tolerance of 3 % covers that.
"""

from __future__ import annotations

import pytest

from airwright.physics import lifting
from tests.validation.conftest import Compare

IN, LB = 0.0254, 0.45359237
SOURCE = "NIOSH 94-110, example 1 (punch press stock)"


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("h", "v", "d", "a", "fm", "grip", "limit"),
    [
        (0.25, 0.75, 0.25, 0.0, 1.0, "good", 23.0),
        (0.50, 0.75, 0.25, 0.0, 1.0, "good", 11.5),
        (0.40, 0.30, 0.60, 45.0, 0.88, "fair", 7.9639),
    ],
)
def test_metric_points(
    h: float, v: float, d: float, a: float, fm: float, grip: str, limit: float, compare: Compare
) -> None:
    ours = lifting.recommended_weight(h, v, d, a, fm, grip)  # type: ignore[arg-type]
    compare(
        float(ours),
        limit,
        rtol=1e-4,
        source="NIOSH equation, metric",
        what=f"limit at H {h}, V {v}, D {d}, A {a}",
        unit="kg",
    )


@pytest.mark.from_memory
@pytest.mark.parametrize(
    ("f", "hours", "v", "fm"),
    [
        (3, 1, 0.7, 0.88),
        (0.2, 8, 0.7, 0.85),
        (9, 8, 0.7, 0.0),
        (9, 8, 0.8, 0.15),
        (16, 1, 0.8, 0.0),
        (4.5, 2, 0.8, 0.66),
    ],
)
def test_frequency_table(f: float, hours: int, v: float, fm: float, compare: Compare) -> None:
    ours = lifting.frequency_multiplier(f, hours, v)  # type: ignore[arg-type]
    compare(
        ours,
        fm,
        atol=1e-9,
        source="NIOSH 94-110, table 5, remembered",
        what=f"FM, {f}/min, {hours} h, hands at {v} m",
        unit="-",
    )
