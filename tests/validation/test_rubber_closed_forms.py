"""The pressure in a toy balloon lies in the band that others measured."""

from __future__ import annotations

import numpy as np
import pytest


@pytest.mark.from_memory
def test_toy_balloon_band() -> None:
    """Several kPa, at most about 5: a physics-olympiad task and an amateur measurement."""
    from airwright.physics import inflation

    balloon = inflation.skin(0.2794, 0.0028, 0.0991)
    state = inflation.inflate(balloon, np.array([0.2, 0.24, 0.27]))
    assert np.all(state.excess_pa * (1 + inflation.PRESSURE_DOUBT) > 1500)
    assert np.all(state.excess_pa * (1 - inflation.PRESSURE_DOUBT) < 5000)
