"""Air and gas: laws that must hold, and questions that must be refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.physics import air, gas
from airwright.physics.errors import AmbiguousPressureError, NotFiniteError, PhysicsError

WARM = st.floats(-10.0, 45.0)


@given(a=WARM, b=WARM)
def test_hotter_air_is_lighter(a: float, b: float) -> None:
    cold, hot = sorted((a, b))
    assert air.air_density(hot) <= air.air_density(cold)


@given(t=WARM, h=st.floats(0.0, 1.0))
def test_moist_air_is_lighter_than_dry(t: float, h: float) -> None:
    assert air.air_density(t, 101325.0, h) <= air.air_density(t, 101325.0, 0.0)


@given(a=st.floats(-500.0, 9000.0), b=st.floats(-500.0, 9000.0))
def test_higher_is_thinner(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert air.standard_pressure(high) <= air.standard_pressure(low)


@given(r=st.floats(0.05, 1.0), scale=st.floats(1.1, 3.0))
def test_lift_goes_with_the_cube_of_the_radius(r: float, scale: float) -> None:
    one, other = (float(gas.lift_density(20.0)) * 4 / 3 * np.pi * x**3 for x in (r, r * scale))
    assert other / one == pytest.approx(scale**3)


def test_impure_gas_lifts_less_and_air_lifts_nothing() -> None:
    x = np.array([1.0, 0.95, 0.5, 0.0])
    lift = gas.lift_density(20.0, purity=x)
    assert np.all(np.diff(lift) < 0)
    assert lift[-1] == pytest.approx(0.0, abs=1e-9)


def test_arrays_and_scalars_agree() -> None:
    z = np.array([[0.0, 1000.0], [1000.0, 2000.0]])
    t, p, rho = air.standard_atmosphere(z)
    assert t.shape == p.shape == rho.shape == (2, 2)
    assert p[1, 0] == air.standard_pressure(1000.0) == p[0, 1]


@given(p=st.floats(2e5, 3e7), t=st.floats(-20.0, 50.0), to=st.floats(-20.0, 50.0))
def test_cylinder_warmed_and_cooled_comes_back(p: float, t: float, to: float) -> None:
    there = float(gas.cylinder_pressure_at(p, t, to))
    assert float(gas.cylinder_pressure_at(there, to, t)) == pytest.approx(p, rel=1e-9)


def test_cylinders_needed_rounds_up_whole_ones() -> None:
    assert gas.cylinders_needed(8.0, 9.0) == 1
    assert gas.cylinders_needed(9.0, 9.0, waste=0.0) == 1
    assert gas.cylinders_needed(9.0, 9.0) == 2
    assert gas.cylinders_needed(0.0, 9.0) == 0


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda: air.kelvin(-300.0), "physics.below-absolute-zero"),
        (lambda: air.kelvin(81.0), "physics.temperature"),
        (lambda: air.air_density(np.array([20.0, 95.0])), "physics.temperature"),
        (lambda: air.standard_pressure(12_000.0), "physics.altitude"),
        (lambda: air.standard_pressure(-2_000.0), "physics.altitude"),
        (lambda: air.air_density(20.0, 101325.0, 50.0), "physics.out-of-range"),
        (lambda: gas.cylinder_contents(50.0, 2e7), "physics.out-of-range"),
        (lambda: gas.cylinder_contents(0.05, 2.5e7, rated_pa=2e7), "physics.cylinder-over-rating"),
        (lambda: gas.absolute_pressure(2e7, None), "physics.gauge-or-absolute"),
        (lambda: gas.absolute_pressure(-1.0, "gauge"), "physics.out-of-range"),
        (lambda: gas.lift_density(20.0, purity=95.0), "physics.out-of-range"),
        (lambda: gas.cylinders_needed(5.0, 0.0), "physics.out-of-range"),
    ],
)
def test_questions_refused(ask: object, code: str) -> None:
    with pytest.raises(PhysicsError) as caught:
        ask()  # type: ignore[operator]
    assert caught.value.code == code
    assert caught.value.cure


def test_error_names_the_row_and_the_bounds() -> None:
    with pytest.raises(PhysicsError, match=r"row 1.*between -60 and 80") as caught:
        air.kelvin(np.array([20.0, 95.0, 99.0]))
    assert caught.value.index == 1
    assert caught.value.value == 95.0
    assert (caught.value.low, caught.value.high) == (-60.0, 80.0)


def test_not_a_number_is_refused() -> None:
    with pytest.raises(NotFiniteError):
        air.kelvin(float("nan"))


def test_bare_pressure_is_refused_with_a_cure() -> None:
    with pytest.raises(AmbiguousPressureError, match="gauge"):
        gas.absolute_pressure(2e7, None)
