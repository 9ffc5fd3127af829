"""Y. A. Çengel, Heat and Mass Transfer: the worked problem of a leaking helium balloon.

Sphere of 15 cm, rubber 0.1 mm, 110 kPa helium inside, air at 100 kPa outside, 25 °C;
permeabilities 9.4e-13, 7.05e-13, 2.6e-13 kmol/(m s bar) for He, O2, N2. The statement was
read; the printed answer 0.168 is remembered and recomputed here.
"""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import permeation
from airwright.physics.gas import GAS_CONSTANT, HELIUM_KG_MOL
from tests.validation.conftest import Compare

SOURCE = "Çengel, helium balloon problem"
RECOMPUTED = "P A (p_in - p_out) / wall with the problem's numbers"
PER_BAR = 1e3 / 1e5  # kmol/(m s bar) in mol/(m s Pa)
D, WALL = 0.15, 1e-4
AREA, VOLUME = np.pi * D**2, np.pi / 6 * D**3


@pytest.mark.closed_form
def test_flows(compare: Compare) -> None:
    he = float(permeation.film_flow(9.4e-13 * PER_BAR, AREA, WALL, 110e3, 0.0))
    o2 = float(permeation.film_flow(7.05e-13 * PER_BAR, AREA, WALL, 0.0, 21e3))
    n2 = float(permeation.film_flow(2.6e-13 * PER_BAR, AREA, WALL, 0.0, 79e3))
    compare(he / 1e3, 7.3089e-10, rtol=1e-4, source=RECOMPUTED, what="helium out", unit="kmol/s")
    compare(-o2 / 1e3, 1.0465e-10, rtol=1e-4, source=RECOMPUTED, what="oxygen in", unit="kmol/s")
    compare(-n2 / 1e3, 1.4519e-10, rtol=1e-4, source=RECOMPUTED, what="nitrogen in", unit="kmol/s")


@pytest.mark.from_memory
def test_share_lost_in_five_hours(compare: Compare) -> None:
    flow = float(permeation.film_flow(9.4e-13 * PER_BAR, AREA, WALL, 110e3, 0.0))
    held = 110e3 * VOLUME / (GAS_CONSTANT * 298.0)  # the textbook takes 25 °C as 298 K
    compare(
        held * HELIUM_KG_MOL, 3.1407e-4, rtol=2e-4, source=SOURCE, what="helium held", unit="kg"
    )
    compare(
        flow * 5 * 3600 / held, 0.168, atol=5e-4, source=SOURCE, what="share lost in 5 h", unit="-"
    )
    half_life = np.log(2) * held / flow / 3600
    compare(
        float(half_life),
        20.66,
        rtol=1e-3,
        source=SOURCE,
        what="half-life at constant film",
        unit="h",
    )


@pytest.mark.published
def test_our_helium_figure_is_the_textbook_one(compare: Compare) -> None:
    compare(
        float(permeation.permeability("He", 25.0)) / PER_BAR,
        9.4e-13,
        rtol=2e-3,
        source=SOURCE,
        what="helium in natural rubber, 25 °C",
        unit="kmol/(m s bar)",
    )
