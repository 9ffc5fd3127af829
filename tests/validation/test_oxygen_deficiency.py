"""Oxygen after a release: dilution in closed form, limit of 29 CFR 1910.134/146 (remembered)."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import room_air
from tests.validation.conftest import Compare


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("room", "displaced", "mixed"), [(30.0, 14.63, 15.48), (100.0, 19.02, 19.10)]
)
def test_one_cylinder_let_out(
    room: float, displaced: float, mixed: float, compare: Compare
) -> None:
    oxygen = room_air.oxygen_after_release(9.0, room)
    compare(
        float(oxygen.displaced) * 100,
        displaced,
        atol=0.006,
        source="20.9 (1 - V/R)",
        what=f"9 m³ into {room:g} m³, displaced",
        unit="% O2",
    )
    compare(
        float(oxygen.mixed) * 100,
        mixed,
        atol=0.006,
        source="20.9 exp(-V/R)",
        what=f"9 m³ into {room:g} m³, mixed",
        unit="% O2",
    )


@pytest.mark.from_memory
def test_limit(compare: Compare) -> None:
    compare(
        room_air.OXYGEN_LIMIT,
        0.195,
        atol=1e-12,
        source="29 CFR 1910.134 and .146, remembered",
        what="oxygen-deficient below",
        unit="-",
    )
    room = room_air.least_room(9.0)
    compare(
        float(room_air.oxygen_after_release(9.0, room).displaced),
        0.195,
        rtol=1e-9,
        source="dilution inverted",
        what="oxygen in the least room for 9 m³",
        unit="-",
    )


@pytest.mark.closed_form
def test_airing(compare: Compare) -> None:
    start, n = 0.1463, 5.0
    hours = float(room_air.airing_hours(start, n))
    back = 0.209 - (0.209 - start) * np.exp(-n * hours)
    compare(
        float(back),
        0.195,
        rtol=1e-9,
        source="exponential decay",
        what="oxygen after airing",
        unit="-",
    )
    assert room_air.airing_hours(0.2, 5.0) == 0.0
