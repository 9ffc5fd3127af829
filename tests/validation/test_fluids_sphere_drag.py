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


@pytest.mark.other_program
@pytest.mark.parametrize(
    ("re", "method", "cd"),
    [(40_000.0, "clift", 0.4639), (2_500.0, "clift", 0.4082), (1e6, "barati", 0.212546)],
)
def test_the_library_gives_what_its_own_tests_print(re: float, method: str, cd: float) -> None:
    """Guards the way to the library (fluids tests/test_drag.py), not our physics: no row."""
    assert float(drag.sphere_drag_coefficient(re, method)) == pytest.approx(cd, rel=2e-4)


@pytest.mark.other_program
def test_correlations_agree_below_the_crisis() -> None:
    """Two correlations of one library within 25 %: how sure the curve is, not that it is: no row.

    Almedeij 2008 through fluids 1.3.1, in the data file.
    """
    table = [r for r in rows("sphere_drag.csv") if 1e3 <= float(r["Re"]) <= 2e5]
    ours = drag.sphere_drag_coefficient(np.array([float(r["Re"]) for r in table]), "measured")
    assert ours == pytest.approx(np.array([float(r["Almedeij"]) for r in table]), rel=0.25)


@pytest.mark.from_memory
def test_a_smooth_sphere_before_the_crisis(compare: Compare) -> None:
    """0.47 between Re 1e4 and 2e5, as textbooks have it for a smooth sphere."""
    compare(
        drag.sphere_drag_coefficient(np.array([3e4, 1e5, 2e5])),
        np.full(3, 0.47),
        rtol=0.05,
        source="Cd 0.47 of a smooth sphere in textbooks of fluid mechanics, remembered",
        what="sphere drag we reckon with, Re 3e4 to 2e5",
        unit="-",
    )


@pytest.mark.from_memory
def test_never_below_047() -> None:
    """The trap: at Re 3e5 one correlation says 0.18, another 0.48."""
    re = np.geomspace(0.1, 1e7, 400)
    assert np.all(drag.sphere_drag_coefficient(re) >= drag.SAFE_SPHERE)
    assert float(drag.sphere_drag_coefficient(3e5, "measured")) < 0.2


@pytest.mark.other_program
def test_eleven_inch_balloon_in_a_breeze(compare: Compare) -> None:
    d, v, rho, mu = 0.28, 8.0, 1.225, 1.7894e-5
    re = float(drag.reynolds(v, d, rho, mu))
    assert re == pytest.approx(v * d * rho / mu, rel=1e-12)
    cd = drag.sphere_drag_coefficient(re)
    force = float(drag.drag_force(cd, np.pi / 4 * d**2, wind.velocity_pressure(v, rho)))
    compare(force, 1.1330, rtol=0.01, source="fluids 1.3.1", what="its drag", unit="N")
    assert float(air.air_viscosity(15.0)) == pytest.approx(mu, rel=1e-3)
