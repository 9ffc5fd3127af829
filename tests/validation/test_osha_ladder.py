"""29 CFR 1926.1053(b)(5)(i): a ladder's foot stands out a quarter of its WORKING LENGTH.

The rule "one out for four up" measures the HEIGHT: another angle (a classic mix-up).
"""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import ladder
from tests.validation.conftest import Compare


@pytest.mark.closed_form
def test_quarter_of_length(compare: Compare) -> None:
    setting = ladder.ladder_setting(4.0)
    compare(
        float(setting.angle_deg),
        75.52,
        atol=0.01,
        source="arccos 1/4: a quarter of the working length, 29 CFR 1926.1053(b)(5)(i)",
        what="angle",
        unit="deg",
    )
    compare(
        float(setting.foot_out_m),
        1.0,
        rtol=1e-12,
        source="4 m / 4: a quarter of the working length, 29 CFR 1926.1053(b)(5)(i)",
        what="foot out, 4 m ladder",
        unit="m",
    )
    assert float(setting.angle_deg) == pytest.approx(75.5, abs=0.05)


@pytest.mark.from_memory
def test_one_in_four_by_height(compare: Compare) -> None:
    setting = ladder.ladder_setting(4.0, "one in four")
    compare(
        float(setting.angle_deg),
        75.96,
        atol=0.01,
        source="HSE rule, arctan 4",
        what="angle",
        unit="deg",
    )
    compare(
        float(setting.height_m / setting.foot_out_m),
        4.0,
        rtol=1e-9,
        source="HSE rule",
        what="height over foot distance",
        unit="-",
    )
    assert float(setting.angle_deg) > float(ladder.ladder_setting(4.0).angle_deg)


@pytest.mark.closed_form
def test_rails_above_a_landing() -> None:
    on_wall, landing = (float(ladder.ladder_length(3.0, x)) for x in (False, True))
    assert on_wall == pytest.approx(3.0 / np.sin(np.arccos(0.25)))
    assert (landing - on_wall) * np.sin(np.arccos(0.25)) == pytest.approx(0.9)
