"""Sphere drag: correlations written out here, values printed in fluids' own tests, and the rule
never to rely on the drag crisis.
"""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import air, drag, wind
from airwright.physics.types import Floats
from tests.validation.conftest import Compare
from tests.validation.reading import rows


def morrison(re: Floats) -> Floats:
    """F. A. Morrison, An Introduction to Fluid Mechanics (2013), equation 8.83; from memory."""
    x = re / 5.0
    y = re / 2.63e5
    middle = 2.6 * x / (1 + x**1.52) + 0.411 * y**-7.94 / (1 + y**-8.0)
    return np.asarray(24 / re + middle + re**0.80 / 461_000.0)


@pytest.mark.from_memory
def test_morrison_written_out(compare: Compare) -> None:
    re = np.geomspace(1.0, 1e6, 25)
    compare(
        drag.sphere_drag_coefficient(re, "morrison"),
        morrison(re),
        rtol=1e-2,
        source="Morrison 2013, equation 8.83",
        what="sphere drag, Re 1 to 1e6",
        unit="-",
    )


@pytest.mark.published
@pytest.mark.parametrize(
    ("re", "method", "cd"),
    [(40_000.0, "clift", 0.4639), (2_500.0, "clift", 0.4082), (1e6, "barati", 0.212546)],
)
def test_values_printed_in_the_librarys_tests(
    re: float, method: str, cd: float, compare: Compare
) -> None:
    compare(
        float(drag.sphere_drag_coefficient(re, method)),
        cd,
        rtol=2e-4,
        source="fluids tests/test_drag.py",
        what=f"sphere drag by {method}, Re {re:g}",
        unit="-",
    )


@pytest.mark.other_program
def test_file_of_correlations(compare: Compare) -> None:
    table = [r for r in rows("sphere_drag.csv") if 1e3 <= float(r["Re"]) <= 2e5]
    re = np.array([float(r["Re"]) for r in table])
    ours = drag.sphere_drag_coefficient(re, "measured")
    # 25 %: below the crisis independent correlations agree so far and no further
    compare(
        ours,
        np.array([float(r["Almedeij"]) for r in table]),
        rtol=0.25,
        source="Almedeij 2008 through fluids 1.3.1",
        what="measured curve, Re 1e3 to 2e5",
        unit="-",
    )


@pytest.mark.published
def test_never_below_047() -> None:
    """The trap: at Re 3e5 one correlation says 0.18, another 0.48."""
    re = np.geomspace(0.1, 1e7, 400)
    assert np.all(drag.sphere_drag_coefficient(re) >= drag.SAFE_SPHERE)
    assert float(drag.sphere_drag_coefficient(3e5, "measured")) < 0.2


@pytest.mark.other_program
def test_eleven_inch_balloon_in_a_breeze(compare: Compare) -> None:
    d, v, rho, mu = 0.28, 8.0, 1.225, 1.7894e-5
    re = float(drag.reynolds(v, d, rho, mu))
    compare(
        re, 1.533e5, rtol=1e-3, source="definition", what="Re of a 28 cm balloon at 8 m/s", unit="-"
    )
    cd = drag.sphere_drag_coefficient(re)
    force = float(drag.drag_force(cd, np.pi / 4 * d**2, wind.velocity_pressure(v, rho)))
    compare(force, 1.1330, rtol=0.01, source="fluids 1.3.1", what="its drag", unit="N")
    assert float(air.air_viscosity(15.0)) == pytest.approx(mu, rel=1e-3)


@pytest.mark.from_memory
@pytest.mark.parametrize(
    "row",
    [r for r in rows("drag_3d_bodies.csv") if r["body"] == "short cylinder"],
    ids=lambda r: r["value"],
)
def test_short_cylinders(row: dict[str, str], compare: Compare) -> None:
    ours = float(drag.cylinder_drag_coefficient(float(row["value"])))
    compare(
        ours,
        float(row["Cd"]),
        rtol=1e-9,
        source="White, table 7.3 after Hoerner, remembered",
        what=f"short cylinder, L/D {row['value']}",
        unit="-",
    )


@pytest.mark.from_memory
def test_bluff_bodies(compare: Compare) -> None:
    compare(
        drag.flat_drag_coefficient("plate"),
        1.18,
        rtol=1e-9,
        source="White, table 7.3, remembered",
        what="square plate",
        unit="-",
    )
    compare(
        float(drag.cylinder_drag_coefficient(1e5)),
        1.20,
        rtol=1e-9,
        source="White, table 7.3, remembered",
        what="endless cylinder",
        unit="-",
    )
