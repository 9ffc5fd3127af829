"""Float time: three-gas diffusion solved on its own here, and the hours the trade quotes.

The table of first-principles hours was computed with scipy's solve_ivp from the same
constants in plain variables (moles, seconds); ours solves one curve in shares. The trade's
hours are common practice without a source.
"""

from __future__ import annotations

import numpy as np
import pytest

from airwright.catalog import Family, default_catalog
from airwright.decor.assembly import Stock
from airwright.job.studio import Helium
from airwright.physics import inflation, permeation
from airwright.physics.types import Floats
from airwright.plan.floating import lines_of
from airwright.plan.surroundings import EVERYDAY
from airwright.units import INCH_M
from tests.validation.conftest import Compare

DIAMETER = np.array([0.23, 0.28, 0.41, 0.61, 0.91])
MASS = np.array([1.8, 2.8, 6.5, 18.0, 50.0]) / 1000
HOURS = np.array([7.3, 10.5, 20.4, 41.9, 85.9])
VOLUME, AREA = np.pi / 6 * DIAMETER**3, np.pi * DIAMETER**2


def ours() -> Floats:
    return permeation.float_hours(VOLUME, AREA, MASS, MASS)


@pytest.mark.other_program
def test_first_principles_table(compare: Compare) -> None:
    # 1 %: the table is printed to 0.1 h
    compare(
        ours(),
        HOURS,
        rtol=0.01,
        source="scipy 1.17.1 solve_ivp, moles and seconds",
        what="hours to zero lift, 23 to 91 cm",
        unit="h",
    )


def plain_hours(diameter: float, mass: float, step_s: float = 30.0) -> float:
    """Explicit Euler in moles and seconds: another formulation and another method."""
    p_out, p, temperature = 101_325.0, 103_825.0, 298.15
    rubber = mass / 930.0
    perm = np.array([28.1, 23.4, 9.4]) * 3.34640e-16
    molar = np.array([0.004002602, 0.031998, 0.028014])
    outside = np.array([0.0, 0.2095, 0.7905]) * p_out
    n = np.array([p * np.pi / 6 * diameter**3 / (8.314462618 * temperature), 0.0, 0.0])
    rho = p_out * 0.0289655 / (8.314462618 * temperature)
    seconds = 0.0
    while True:
        volume = n.sum() * 8.314462618 * temperature / p
        if rho * volume - (n * molar).sum() < mass:
            return seconds / 3600
        area = np.pi ** (1 / 3) * (6 * volume) ** (2 / 3)
        n = n - step_s * perm * area**2 / rubber * (p * n / n.sum() - outside)
        seconds += step_s


@pytest.mark.closed_form
@pytest.mark.parametrize("i", [0, 1, 2])
def test_against_plain_stepping(i: int, compare: Compare) -> None:
    # 0.5 %: Euler steps of 30 s and ideal-gas air
    compare(
        float(ours()[i]),
        plain_hours(float(DIAMETER[i]), float(MASS[i])),
        rtol=5e-3,
        source="explicit stepping in this test",
        what=f"hours to zero lift, {DIAMETER[i]:g} m",
        unit="h",
    )


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("diameter", "mass", "width", "low", "high"),
    [
        (0.28, 2.8, 0.0991, 12, 24),
        (0.41, 6.5, 0.150, 24, 30),
        (0.61, 18.0, 0.218, 40, 56),
        (0.91, 50.0, 0.330, 72, 120),
    ],
)
def test_range_meets_what_the_trade_quotes(
    diameter: float, mass: float, width: float, low: float, high: float
) -> None:
    balloon = inflation.skin(diameter, mass / 1000, width)
    state = inflation.inflate(balloon, diameter, 21.0)
    skin_kg = balloon.mass_kg * (1 - inflation.NECK_SHARE)
    hours = permeation.float_time(
        permeation.float_hours(
            state.volume_m3, state.area_m2, skin_kg, balloon.mass_kg, temperature_c=21.0
        )
    )
    assert hours.shortest_h < high
    assert hours.longest_h > low
    middle = (low * high) ** 0.5
    assert hours.shortest_h < middle < hours.longest_h


@pytest.mark.common_practice
def test_coating_lasts_days() -> None:
    plain, coated = (permeation.float_time(10.5, c) for c in (0.0, 1.0))
    assert coated.hours / plain.hours == pytest.approx(np.sqrt(6 * 20))
    assert coated.shortest_h > 2 * 24
    assert coated.shortest_h < coated.hours < coated.longest_h


@pytest.mark.common_practice
def test_eleven_inch_good_safe_down(compare: Compare) -> None:
    """11 in filled to 11 in, on a ribbon of 1.5 m, indoors, no coating."""
    stock = Stock("11in", Family.ROUND, 11 * INCH_M, 11 * INCH_M, helium=True)
    (line,) = lines_of((stock,), (1,), 0.0015, default_catalog(), EVERYDAY, Helium())
    for what, ours, hours in (
        ("looks good for", line.good_h, 8.0),
        ("is safe to count on for", line.safe_h, 12.0),
        ("is down after about", line.usual_h, 18.0),
    ):
        compare(
            ours,
            hours,
            rtol=0.05,
            source="common practice, no source: untreated 11 in",
            what=f"helium, 11 in at 11 in {what}",
            unit="h",
        )
    compare(
        1000 * (line.net_lift_kg + line.carried_kg),
        10.0,
        rtol=0.1,
        source="common practice, no source: 10 g for 11 in",
        what="net lift of 11 in at 11 in, ribbon not counted",
        unit="g",
    )


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("size", "made_in", "grams"), [("9in", 9, 6), ("17in", 16, 34), ("36in", 36, 339)]
)
def test_net_lift_of_other_sizes(size: str, made_in: float, grams: float, compare: Compare) -> None:
    """Averages the trade prints; ours is of the shape and the mass in the catalogue."""
    row = default_catalog().balloon(size)
    stock = Stock(size, Family.ROUND, row.nominal_in * INCH_M, made_in * INCH_M, helium=True)
    (line,) = lines_of((stock,), (1,), 0.0, default_catalog(), EVERYDAY, Helium())
    compare(
        1000 * line.net_lift_kg,
        float(grams),
        rtol=0.2,
        source="common practice, no source: printed averages",
        what=f"net lift, {made_in} in",
        unit="g",
    )
