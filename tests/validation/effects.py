"""What the job shows of the numbers it uses: effects that are known from outside."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from airwright.catalog import Family
from airwright.decor.assembly import Shade, Stock
from airwright.job.studio import Studio
from airwright.physics import drag, inflation, overturning, room_air, shape, wind
from airwright.physics.drag import drag_force
from airwright.plan.floating import FloatLine, lines_of
from airwright.plan.gas import gas_plan
from airwright.plan.hours import PACE, Done, Way, way_of, work_lines
from airwright.plan.packs import cheapest
from airwright.plan.spares import to_buy
from airwright.plan.surroundings import EVERYDAY, surroundings
from airwright.plan.values import PiecePlan
from airwright.plan.warmth import Kind, size_checks
from airwright.units import FOOT3_M3, INCH_M
from tests.plan.samples import column, job, plan

RIBBON_KG = 0.0015
BOUQUET = (
    column().split("[[pieces]]")[0] + '[[pieces]]\nname = "B"\nkind = "bouquet"\n'
    'height = "8 ft"\n[[pieces.balloons]]\nballoon = "11in @ 10in"\ncount = 3\n'
    'shades = ["coral"]\n'
)


def floating(studio: Studio, size: str = "11in") -> FloatLine:
    """A helium balloon filled to its nominal size, on a ribbon, indoors."""
    row = studio.catalog().balloon(size)
    across = row.nominal_in * INCH_M
    stock = Stock(size, Family.ROUND, across, across, helium=True)
    (line,) = lines_of((stock,), (1,), RIBBON_KG, studio.catalog(), EVERYDAY, studio.helium)
    return line


def net_lift_g(size: str):  # type: ignore[no-untyped-def]
    def effect(studio: Studio) -> float:
        line = floating(studio, size)
        return 1000 * (line.net_lift_kg + line.carried_kg)

    return effect


def gas_ft3(studio: Studio) -> float:
    return floating(studio).gas_m3 / FOOT3_M3


def down_h(studio: Studio) -> float:
    return floating(studio).usual_h


def longest_h(studio: Studio) -> float:
    return floating(studio).longest_h


def down_24in_h(studio: Studio) -> float:
    return floating(studio, "24in").usual_h


def good_h(studio: Studio) -> float:
    return floating(studio).good_h


def safe_h(studio: Studio) -> float:
    return floating(studio).safe_h


def coated_days(studio: Studio) -> float:
    helium = studio.helium.model_copy(update={"coated": "yes"})
    return floating(studio.model_copy(update={"helium": helium})).safe_h / 24


def excess_kpa(studio: Studio) -> float:
    """Pressure in an 11 in balloon made 10 in."""
    skin = inflation.skin(11 * INCH_M, 2.8e-3, 3.9 * INCH_M)
    state = inflation.inflate(skin, np.array(10 * INCH_M), 20.0)
    return float(state.excess_pa) / 1000


def height_over_width(studio: Studio) -> float:
    """Body of a full balloon, knot to crown, over its width."""
    return float(shape.height_over_diameter(shape.pear_profile(tightness=1.0)))


def minutes(*done: Done):  # type: ignore[no-untyped-def]
    """Time of some operations by the studio's own hands [min]."""

    def effect(studio: Studio) -> float:
        lines = work_lines(done, studio.catalog(), way_of(job(), studio))
        return 60 * sum(line.hours for line in lines)

    return effect


def first_time_minutes(studio: Studio) -> float:
    way = Way(pace=PACE["first time"])
    lines = work_lines([("inflate medium", 100.0, None)], studio.catalog(), way)
    return 60 * lines[0].hours


def piece(text: str, studio: Studio) -> PiecePlan:
    return plan(text, studio).pieces[0]


def quad_pitch_in(studio: Studio) -> float:
    pitch = piece(column(), studio).assembly.pitch_m
    assert pitch is not None
    return pitch / INCH_M


def pole_ballast_kg(studio: Studio) -> float:
    """Ballast of a column 2.0 x 0.45 m on a base 0.4 m wide, against a guest's push."""
    around = surroundings(job(), studio)
    needed = overturning.ballast_needed(
        around.push_n * overturning.GUEST_PUSH_HEIGHT_M, 0.20, around.factor, 8.0 * 9.80665 * 0.20
    )
    return float(needed)


def sliding_kg(studio: Studio) -> float:
    """What must stand on a smooth floor so that a pull of 30 N does not drag it, no factor."""
    return float(overturning.sliding_ballast(30.0, 0.0, surroundings(job(), studio).friction, 1.0))


def kept_factor(studio: Studio) -> float:
    """How many times what tips is held by what holds, in a plan."""
    return surroundings(job(), studio).factor


def column_force_n(studio: Studio) -> float:
    """Wind on a column of balloons, 2.0 x 0.45 m, at 8 m/s."""
    q = float(wind.velocity_pressure(8.0))
    return float(drag_force(drag.CLUSTERED_COLUMN, 0.9, q))


def balloon_force_n(studio: Studio) -> float:
    """Wind on one balloon of 0.28 m at 8 m/s."""
    q = float(wind.velocity_pressure(8.0))
    return float(drag_force(drag.SAFE_SPHERE, math.pi / 4 * 0.28**2, q))


def gust_pa(studio: Studio) -> float:
    return float(wind.velocity_pressure(10.728))  # 24 mph


def assumed_mph(studio: Studio) -> float:
    text = column().replace('"indoor" ', '"open air"')
    return surroundings(job(text), studio).gust_m_s / 0.44704


def oxygen_share(studio: Studio) -> float:
    """Oxygen left when a tenth of a closed room's air is replaced."""
    return float(room_air.oxygen_after_release(10.0, 100.0).displaced)


def margin_at(size_in: float):  # type: ignore[no-untyped-def]
    """What is left of the nominal size of an 11 in balloon, warmed from 20 to 37 °C."""

    def effect(studio: Studio) -> float:
        around = replace(EVERYDAY, peak_c=37.0)
        stock = Stock("11in", Family.ROUND, 11 * INCH_M, size_in * INCH_M)
        kind = Kind(stock, Shade("white", "#ffffff"))
        (check,) = size_checks({kind: {"": 1}}, studio.catalog(), around)
        return check.burst_share

    return effect


def rise_in_sun_k(studio: Studio) -> float:
    """Gas in a black 11 in balloon above the air, in full sun."""
    around = replace(EVERYDAY, setting="open air", in_sun=True, peak_c=25.0)
    stock = Stock("11in", Family.ROUND, 11 * INCH_M, 9 * INCH_M)
    kind = Kind(stock, Shade("black", "#000000"))
    (check,) = size_checks({kind: {"": 1}}, studio.catalog(), around)
    return check.gas_c - 25.0


def waste_share(studio: Studio) -> float:
    found = gas_plan(plan(BOUQUET, studio).pieces, studio)
    assert found is not None
    return found.waste_m3 / found.gas_m3


def spares_in_100(size: str = "11in"):  # type: ignore[no-untyped-def]
    def effect(studio: Studio) -> float:
        row = studio.catalog().balloon(size)
        return float(to_buy(100, row.failure_rate, 0.05, row.failure_seen) - 100)

    return effect


def wall_um(size: str):  # type: ignore[no-untyped-def]
    """Thickness of the empty balloon's rubber, from its mass and flat width [µm]."""

    def effect(studio: Studio) -> float:
        row = studio.catalog().balloon(size)
        radius = row.flat_width_in * INCH_M / math.pi
        return 1e6 * 0.85 * row.mass_g / 1000 / (930.0 * 4 * math.pi * radius**2)

    return effect


def weight_over_lift(studio: Studio) -> float:
    """Counterweight of a bouquet over its lift, in still air."""
    piece = plan(BOUQUET, studio).pieces[0]
    assert piece.weighting is not None
    return piece.weighting.needed_kg / piece.weighting.net_lift_kg


def net_balloons(studio: Studio) -> float:
    """Balloons of 11 in, made 10 in, in a net 8 ft long and 2 ft across."""
    text = (
        column().split("[[pieces]]")[0] + '[[pieces]]\nname = "N"\nkind = "drop"\n'
        'height = "12 ft"\nlength = "8 ft"\nshades = ["coral"]\n'
    )
    return float(len(plan(text, studio).pieces[0].assembly))


def empty_mass_kg(text: str):  # type: ignore[no-untyped-def]
    """What one piece weighs before its bases are filled."""

    def effect(studio: Studio) -> float:
        return piece(text, studio).mass_kg

    return effect


def one_costs(size: str, count: int):  # type: ignore[no-untyped-def]
    """Cheapest bags of so many balloons."""

    def effect(studio: Studio) -> float:
        bags = cheapest(studio.catalog().balloon(size).packs, count)
        return float(sum(bag.price * bag.bags for bag in bags))

    return effect


def sold_for(text: str, per: float = 1.0):  # type: ignore[no-untyped-def]
    """What one piece is sold for, over a length or a number."""

    def effect(studio: Studio) -> float:
        price = piece(text, studio).price
        assert price is not None
        return float(price.unit_price) / per

    return effect
