"""Helium against CoolProp 8.0.0 (reference equation of state), tables in the data files."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import gas
from tests.validation.conftest import Compare
from tests.validation.reading import rows

SOURCE = "CoolProp 8.0.0"
PSI_PA = 0.45359237 * 9.80665 / 0.0254**2  # a pound-force on a square inch, by definition
LIFT = rows("helium_air_density.csv")
CYLINDERS = rows("helium_cylinder.csv")
BAR = 1e5
FT3 = 0.028316846592


def column(table: list[dict[str, str]], name: str) -> gas.Floats:
    return np.array([float(r[name]) for r in table])


@pytest.mark.other_program
def test_density_and_lift_at_one_atmosphere(compare: Compare) -> None:
    t = column(LIFT, "t_C")
    compare(
        gas.helium_density(t),
        column(LIFT, "rho_He"),
        rtol=1e-4,
        source=SOURCE,
        what="helium density, -10 to 40 °C",
        unit="kg/m³",
    )
    compare(
        gas.lift_density(t),
        column(LIFT, "lift_kg_m3"),
        rtol=1e-3,
        source=SOURCE,
        what="gross lift, -10 to 40 °C",
        unit="kg/m³",
    )
    compare(
        gas.lift_density(t) * 1000 * FT3,
        column(LIFT, "lift_g_ft3"),
        rtol=1e-3,
        source=SOURCE,
        what="gross lift, -10 to 40 °C",
        unit="g/ft³",
    )


@pytest.mark.other_program
def test_real_gas_factor(compare: Compare) -> None:
    p, t = column(CYLINDERS, "p_abs_bar") * BAR, column(CYLINDERS, "t_fill_C")
    compare(
        gas.helium_compressibility(p, t),
        column(CYLINDERS, "Z"),
        rtol=3e-4,
        source=SOURCE,
        what="Z of helium to the highest tabled pressure",
        unit="-",
    )


@pytest.mark.other_program
@pytest.mark.parametrize(
    ("delivery", "name"), [(15.0, "m3at15C_per_L"), (20.0, "m3at20C_per_L"), (0.0, "m3at0C_per_L")]
)
def test_contents_per_litre(delivery: float, name: str, compare: Compare) -> None:
    p, t = column(CYLINDERS, "p_abs_bar") * BAR, column(CYLINDERS, "t_fill_C")
    ours = gas.cylinder_contents(0.001, p, t, delivery)
    compare(
        ours,
        column(CYLINDERS, name),
        rtol=3e-4,
        source=SOURCE,
        what=f"cylinder contents per litre, stated at {delivery:g} °C",
        unit="m³",
    )


@pytest.mark.other_program
def test_fifty_litres_at_200_bar(compare: Compare) -> None:
    held = float(gas.cylinder_contents(0.05, 200 * BAR))
    compare(held, 9.001, rtol=1e-3, source=SOURCE, what="50 L at 200 bar absolute", unit="m³")
    down = float(gas.cylinder_usable(0.05, 200 * BAR, residual_pa=101325.0))
    compare(
        down,
        8.951,
        rtol=1e-3,
        source=SOURCE,
        what="the same, usable down to one atmosphere",
        unit="m³",
    )
    ideal = 0.05 * 200 * BAR / 101325.0
    assert ideal / held == pytest.approx(1.096, abs=0.001), "the ideal law overstates by a tenth"


@pytest.mark.other_program
def test_cylinder_in_the_sun(compare: Compare) -> None:
    hot = float(gas.cylinder_pressure_at(200 * BAR, 15.0, 35.0)) / BAR
    compare(hot, 213.7, atol=0.1, source=SOURCE, what="200 bar at 15 °C taken to 35 °C", unit="bar")


@pytest.mark.from_memory
def test_catalogue_cylinder(compare: Compare) -> None:
    """A trade catalogue's 49 L cylinder at 2640 psi gauge and 70 °F, about 291 ft³."""
    p = gas.absolute_pressure(2640 * PSI_PA, "gauge")
    held = float(gas.cylinder_contents(0.049, p, 21.1, 21.1)) / FT3
    compare(
        held,
        291.0,
        rtol=0.02,
        source="industrial gas catalogue, remembered",
        what="49 L at 2640 psi gauge, 70 °F",
        unit="ft³",
    )


@pytest.mark.closed_form
def test_gauge_and_absolute_differ_by_an_atmosphere(compare: Compare) -> None:
    compare(
        float(gas.absolute_pressure(200 * BAR, "gauge")) / BAR,
        201.01325,
        atol=1e-9,
        source="definition",
        what="200 bar gauge",
        unit="bar absolute",
    )


@pytest.mark.other_program
@pytest.mark.parametrize(("d", "grams"), [(0.28, 11.93), (0.91, 409.7)])
def test_gross_lift_of_a_sphere(d: float, grams: float, compare: Compare) -> None:
    lift = float(gas.lift_density(20.0)) * np.pi / 6 * d**3 * 1000
    compare(
        lift,
        grams,
        rtol=1e-3,
        source=SOURCE,
        what=f"gross lift of a {d:g} m sphere at 20 °C",
        unit="g",
    )
