"""Balloons inflated here and met elsewhere: laws that must hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.physics import air, inflation, rubber, sun
from airwright.physics.errors import PhysicsError

INCH = 0.0254
ELEVEN = inflation.skin(11 * INCH, 2.8e-3, 3.9 * INCH)
MIXED = inflation.skin(
    np.array([5.0, 11.0, 17.0, 36.0]) * INCH,
    np.array([0.9, 2.8, 6.8, 50.0]) * 1e-3,
    np.array([1.9, 3.9, 6.0, 13.0]) * INCH,
)
FILL = st.floats(0.6, 0.98)
ROOM = st.floats(0.0, 40.0)


@given(fill=FILL, t=ROOM, to=ROOM)
def test_hotter_is_larger(fill: float, t: float, to: float) -> None:
    tied = inflation.inflate(ELEVEN, fill * 11 * INCH, t)
    there = inflation.carry(ELEVEN, tied, to)
    assert (float(there.diameter_m) - float(tied.diameter_m)) * (to - t) >= 0
    if abs(to - t) > 1.0:
        assert there.diameter_m != tied.diameter_m


@given(fill=FILL, z=st.floats(100.0, 3000.0))
def test_higher_is_larger(fill: float, z: float) -> None:
    tied = inflation.inflate(ELEVEN, fill * 11 * INCH)
    there = inflation.carry(ELEVEN, tied, 20.0, air.standard_pressure(z))
    assert there.diameter_m > tied.diameter_m
    assert there.margin < tied.margin


@given(fill=FILL, t=ROOM, to=ROOM, z=st.floats(0.0, 2500.0))
def test_there_and_back_again(fill: float, t: float, to: float, z: float) -> None:
    tied = inflation.inflate(MIXED, fill * MIXED.nominal_m, t)
    there = inflation.carry(MIXED, tied, to, air.standard_pressure(z))
    back = inflation.carry(MIXED, there, t)
    assert back.diameter_m == pytest.approx(tied.diameter_m, rel=1e-8)
    assert np.all(np.abs(there.residual) < 1e-10)
    assert there.gas_mol == pytest.approx(tied.gas_mol, rel=1e-9)


@given(fill=FILL, to=ROOM)
def test_gas_law_bounds_the_growth(fill: float, to: float) -> None:
    """A skin that pushes back can only lessen what the gas law alone would give."""
    tied = inflation.inflate(ELEVEN, fill * 11 * INCH, 20.0)
    there = inflation.carry(ELEVEN, tied, to)
    free = ((to + 273.15) / 293.15) ** (1 / 3)
    grown = float(there.diameter_m / tied.diameter_m)
    # 0.4 %: the pear changes its form a little, and the pressure curve is nearly flat
    assert grown == pytest.approx(free, rel=4e-3)


def test_cooling_shrinks_as_the_gas_law_says() -> None:
    """21 to 5 °C: diameter x 0.98153 (closed form, fixed gas, constant pressure)."""
    tied = inflation.inflate(ELEVEN, 9.5 * INCH, 21.0)
    there = inflation.carry(ELEVEN, tied, 5.0)
    assert there.volume_m3 / tied.volume_m3 == pytest.approx(0.94561, rel=1e-3)
    assert there.diameter_m / tied.diameter_m == pytest.approx(0.98153, rel=2e-3)


@given(margin=st.floats(0.0, 0.3), t=ROOM, warmer=st.floats(0.0, 35.0), z=st.floats(0.0, 2000.0))
def test_margin_is_kept_exactly(margin: float, t: float, warmer: float, z: float) -> None:
    p = air.standard_pressure(z)
    hot = min(t + warmer, 75.0)
    d = inflation.diameter_for_margin(MIXED, margin, t, 101325.0, hot, p)
    there = inflation.carry(MIXED, inflation.inflate(MIXED, d, t), hot, p)
    assert np.all(there.margin >= margin - 1e-8)
    assert there.margin == pytest.approx(np.full(4, margin), abs=1e-7)


def test_arrays_equal_scalars() -> None:
    many = inflation.inflate(MIXED, 0.87 * MIXED.nominal_m)
    many_there = inflation.carry(MIXED, many, 45.0, 95_000.0)
    for i in range(4):
        one = inflation.skin(
            float(MIXED.nominal_m[i]), float(MIXED.mass_kg[i]), float(MIXED.flat_width_m[i])
        )
        alone = inflation.carry(
            one, inflation.inflate(one, 0.87 * float(one.nominal_m)), 45.0, 95_000.0
        )
        assert float(alone.diameter_m) == pytest.approx(float(many_there.diameter_m[i]), rel=1e-9)


def test_film_thins_and_volume_is_the_pears() -> None:
    d = np.linspace(0.6, 1.0, 9) * 11 * INCH
    state = inflation.inflate(ELEVEN, d)
    assert np.all(np.diff(state.film_m) < 0)
    assert np.all(np.diff(state.volume_m3) > 0)
    rubber_m3 = state.film_m * state.area_m2
    assert rubber_m3 == pytest.approx(2.8e-3 * 0.85 / rubber.RUBBER_KG_M3)
    sphere = np.pi / 6 * d**3
    assert np.all((state.volume_m3 > sphere) & (state.volume_m3 < 1.12 * sphere))


def test_template_hole_grows_for_warm_gas() -> None:
    assert inflation.template_hole(0.24) == pytest.approx(0.24)
    assert inflation.template_hole(0.24, 20.0, 10.0) == pytest.approx(
        0.24 * (303.15 / 293.15) ** (1 / 3)
    )


@given(a=st.floats(0.0, 1.0), b=st.floats(0.0, 1.0))
def test_darker_is_warmer(a: float, b: float) -> None:
    dark, light = sorted((a, b))
    warm = [float(sun.gas_temperature(0.25, 25.0, sun.solar_absorptance(y))) for y in (dark, light)]
    assert warm[0] >= warm[1] - 1e-9
    assert warm[1] > 25.0


def test_sun_shade_wind_and_size() -> None:
    assert sun.gas_temperature(0.25, 25.0, 0.9, 0.0) == pytest.approx(25.0, abs=1e-9)
    winds = sun.gas_temperature(0.25, 25.0, 0.9, wind_m_s=np.array([0.0, 1.0, 4.0, 10.0]))
    assert np.all(np.diff(winds) < 0)
    sizes = sun.gas_temperature(np.array([0.1, 0.3, 0.9]), 25.0, 0.9)
    assert np.all(np.diff(sizes) > 0)


def test_heat_balance_closes() -> None:
    d, air_c, a = 0.25, 27.0, 0.8
    t = float(sun.gas_temperature(d, air_c, a))
    gained = a * 1000 * (0.25 * 0.85 + 0.5 * (0.15 + 0.2))
    h = float(sun.convection(d, t, air_c, 0.5))
    lost = h * (t - air_c) + 0.9 * 5.670374419e-8 * ((t + 273.15) ** 4 - (air_c + 273.15) ** 4)
    assert lost == pytest.approx(gained, rel=1e-6)


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda: inflation.skin(0.28, 0.0, 0.1), "physics.balloon-mass"),
        (lambda: inflation.skin(0.28, 2.8, 0.1), "physics.balloon-mass"),
        (lambda: inflation.skin(11.0, 2.8e-3, 3.9), "physics.out-of-range"),
        (lambda: inflation.skin(0.28, 2.8e-3, 0.3), "physics.out-of-range"),
        (lambda: inflation.inflate(ELEVEN, 0.07), "physics.below-neck"),
        (lambda: inflation.inflate(ELEVEN, 0.4), "physics.bursts"),
        (lambda: inflation.inflate(ELEVEN, 0.24, 85.0), "physics.temperature"),
        (lambda: inflation.inflate(ELEVEN, 0.24, -280.0), "physics.below-absolute-zero"),
        (lambda: inflation.inflate(ELEVEN, 0.24, 20.0, 200e5), "physics.out-of-range"),
        (
            lambda: inflation.diameter_for_margin(ELEVEN, 5.0, 20.0, 101325.0, 30.0, 101325.0),
            "physics.out-of-range",
        ),
        (lambda: sun.solar_absorptance(0.5, "velvet"), "physics.unknown-method"),
    ],
)
def test_questions_refused(ask: object, code: str) -> None:
    with pytest.raises(PhysicsError) as caught:
        ask()  # type: ignore[operator]
    assert caught.value.code == code
    assert caught.value.cure
