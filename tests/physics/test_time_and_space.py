"""Float time, ageing, room air, packing, ladder, lifting: limits and refusals."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.physics import (
    ageing,
    inflation,
    ladder,
    lifting,
    loose_packing,
    permeation,
    room_air,
)
from airwright.physics.errors import PhysicsError

VOLUME, AREA, MASS = np.pi / 6 * 0.28**3, np.pi * 0.28**2, 2.8e-3


@given(scale=st.floats(1.05, 3.0))
def test_larger_balloons_of_the_same_film_float_longer(scale: float) -> None:
    one, other = (
        float(permeation.float_hours(VOLUME * k**3, AREA * k**2, MASS * k**2, MASS * k**2))
        for k in (1.0, scale)
    )
    assert other > one


@given(extra=st.floats(0.0, 0.02))
def test_more_load_sinks_earlier(extra: float) -> None:
    light = float(permeation.float_hours(VOLUME, AREA, MASS, MASS))
    loaded = float(permeation.float_hours(VOLUME, AREA, MASS, MASS + extra))
    assert loaded <= light
    if MASS + extra > 1.021 * VOLUME:
        assert loaded == 0.0


def test_warm_air_and_thin_gas_sink_earlier() -> None:
    cool, warm = (
        float(permeation.float_hours(VOLUME, AREA, MASS, MASS, temperature_c=t))
        for t in (15.0, 35.0)
    )
    assert warm < 0.6 * cool
    pure, mixed = (
        float(permeation.float_hours(VOLUME, AREA, MASS, MASS, purity=x)) for x in (1.0, 0.92)
    )
    assert mixed < pure


def test_float_hours_of_inflated_balloons_by_the_thousand() -> None:
    balloon = inflation.skin(0.2794, 2.8e-3, 0.0991)
    state = inflation.inflate(balloon, np.linspace(0.2, 0.28, 1000))
    hours = permeation.float_hours(state.volume_m3, state.area_m2, MASS * 0.85, MASS)
    assert hours.shape == (1000,)
    floating = hours > 0
    assert np.all(np.diff(hours[floating]) > 0)


def test_range_holds_the_estimate_and_the_studios_own_factor_counts() -> None:
    usual = permeation.float_time(np.array([5.0, 10.0]))
    assert np.all((usual.shortest_h < usual.hours) & (usual.hours < usual.longest_h))
    assert np.all((usual.good_h < usual.safe_h) & (usual.safe_h < usual.hours))
    own = permeation.float_time(np.array([5.0, 10.0]), own=2.0)
    assert own.hours == pytest.approx(2 * usual.hours)
    assert own.calibration == pytest.approx(2 * usual.calibration)


@given(t=st.floats(0.0, 40.0))
def test_ageing_halves_in_ten_kelvin(t: float) -> None:
    now, warmer = (ageing.good_hours("indoors", x) for x in (t, t + 10.0))
    assert warmer.usual_h == pytest.approx(now.usual_h / 2)
    assert now.shortest_h < now.usual_h < now.longest_h


def test_sun_is_worse_than_shade_than_indoors() -> None:
    hours = [float(ageing.good_hours(s, 25.0).usual_h) for s in ("indoors", "shade", "sun")]
    assert hours[0] > hours[1] > hours[2]
    used = ageing.life_used(6.0, ageing.good_hours("sun", 28.0))
    assert used.usual_h == pytest.approx(1.0)
    assert used.shortest_h > used.usual_h > used.longest_h


@given(n=st.integers(1, 5000))
def test_container_for_holds_what_it_is_for(n: int) -> None:
    volume = float(loose_packing.container_for(float(n), 0.009))
    fill = loose_packing.balloons_in(volume * (1 + 1e-9), 0.009)
    assert fill.fewest >= n
    assert fill.fewest <= fill.usual <= fill.most


def test_walls_cost_balloons() -> None:
    open_heap = loose_packing.balloons_in(5.0, 0.009)
    van = loose_packing.balloons_in(5.0, 0.009, 1.5)
    assert van.usual < open_heap.usual
    assert loose_packing.balloons_in(0.001, 0.009).most == 0


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda: permeation.float_hours(VOLUME, AREA, 0.0, MASS), "physics.out-of-range"),
        (lambda: permeation.permeability("Ar", 20.0), "physics.unknown-method"),
        (lambda: permeation.permeability("He", 99.0), "physics.temperature"),
        (lambda: permeation.float_time(10.0, own=50.0), "physics.out-of-range"),
        (lambda: ageing.good_hours("moon", 20.0), "physics.unknown-method"),
        (lambda: room_air.oxygen_after_release(9.0, 0.0), "physics.out-of-range"),
        (lambda: room_air.airing_hours(0.15, 0.0), "physics.out-of-range"),
        (lambda: loose_packing.wall_factor(1.0), "physics.container-too-narrow"),
        (lambda: ladder.ladder_setting(40.0), "physics.out-of-range"),
        (lambda: ladder.ladder_setting(4.0, "by eye"), "physics.unknown-method"),
        (lambda: lifting.recommended_weight(0.9, 0.75, 0.25), "physics.out-of-range"),
        (lambda: lifting.frequency_multiplier(1.0, 5), "physics.unknown-method"),  # type: ignore[arg-type]
    ],
)
def test_questions_refused(ask: object, code: str) -> None:
    with pytest.raises(PhysicsError) as caught:
        ask()  # type: ignore[operator]
    assert caught.value.code == code
    assert caught.value.cure
