"""Helium of a job: gas, cylinders, float time, weights, air to breathe."""

import itertools
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from airwright.catalog import Family, default_catalog
from airwright.decor.assembly import Assembly, Role, Shade, Stock, Strand
from airwright.decor.assembly import HardwarePlaced as Placed
from airwright.job.studio import CYLINDERS, Cylinder, Helium, Studio
from airwright.plan import physics, risks
from airwright.plan.export import as_json
from airwright.plan.floating import float_lines, weighting
from airwright.plan.gas import choose_cylinders, gas_needs, gas_plan, usable_m3
from airwright.plan.needs import material_cost, rental_cost
from airwright.plan.planning import make_plan, plan_piece
from airwright.plan.surroundings import EVERYDAY
from airwright.plan.values import PiecePlan
from airwright.units import FOOT3_M3, INCH_M
from tests.plan.samples import job

CATALOG = default_catalog()
WHITE = Shade("white", "#ffffff")


def bouquet(count: int = 6, made_in: float = 10.5, weights: int = 1) -> Assembly:
    """Floating balloons over one weight, as plain as can be."""
    spots = np.array([[0.0, 0.0, 1.5 + 0.1 * at] for at in range(count)])
    none = np.full(count, -1, dtype=np.int32)
    return Assembly(
        name="Bouquet",
        kind="bouquet",
        centre=spots,
        radius=np.full(count, made_in * INCH_M / 2),
        axis=np.tile([0.0, 0.0, 1.0], (count, 1)),
        stock=np.zeros(count, dtype=np.int32),
        shade=np.zeros(count, dtype=np.int32),
        cluster=none.copy(),
        layer=none.copy(),
        slot=none.copy(),
        role=np.full(count, Role.FLOATER, dtype=np.int32),
        stocks=(Stock("11in", Family.ROUND, 11 * INCH_M, made_in * INCH_M, helium=True),),
        shades=(WHITE,),
        hardware=(
            Placed(
                "bouquet weight 170 g", "weight", weights, "each", ((0.0, 0.0, 0.0),), 0.07, 0.07
            ),
        ),
        strands=tuple(
            Strand("ribbon", ((0, 0, 0), tuple(spot)), 0.005, WHITE, item="curling ribbon")
            for spot in spots.tolist()
        ),
    )


def planned(assembly: Assembly, count: int = 1, around: object = EVERYDAY) -> PiecePlan:
    spec = job().pieces[0].model_copy(update={"name": "Bouquet", "count": count})
    bare = plan_piece(spec, assembly, "pieces[0]", CATALOG)
    return physics.with_physics(bare, CATALOG, around, Helium())  # type: ignore[arg-type]


def test_lift_carries_balloon_and_ribbon() -> None:
    (line,) = float_lines(bouquet(), CATALOG, EVERYDAY, Helium())
    mean_ribbon = np.mean([1.5 + 0.1 * at for at in range(6)]) * 0.001
    assert line.carried_kg == pytest.approx(mean_ribbon)
    assert line.net_lift_kg == pytest.approx(line.gross_lift_kg - 0.0028 - line.carried_kg)
    assert line.shortest_h < line.usual_h < line.longest_h
    assert line.good_h < line.safe_h < line.usual_h


@pytest.mark.closed_form
def test_lift_and_gas_go_with_the_cube_of_the_size() -> None:
    small, large = (
        float_lines(bouquet(made_in=d), CATALOG, EVERYDAY, Helium())[0] for d in (8.0, 10.0)
    )
    per_volume = [line.gross_lift_kg / line.volume_m3 for line in (small, large)]
    assert per_volume[0] == pytest.approx(per_volume[1], rel=1e-3)
    # a tighter pear is taller: 3 % more volume than the cube says
    assert large.gross_lift_kg / small.gross_lift_kg == pytest.approx((10 / 8) ** 3, rel=0.04)
    assert large.gas_m3 / large.volume_m3 == pytest.approx(small.gas_m3 / small.volume_m3, rel=0.01)


def test_needs_hold_gas_and_cylinders_and_the_price_pays_for_them() -> None:
    piece = planned(bouquet(), count=10)
    needs = {need.item: need for need in gas_needs([piece], Studio())}
    plan = gas_plan([piece], Studio())
    assert plan is not None
    assert plan.balloons == 60
    assert needs["helium"].used == pytest.approx(60 * piece.floats[0].gas_m3, abs=1e-3)
    assert needs["helium"].spare == pytest.approx(0.05 * needs["helium"].used, abs=1e-3)
    assert plan.gas_ft3 * FOOT3_M3 == pytest.approx(plan.gas_m3)
    held = sum(line.usable_m3 * line.count for line in plan.cylinders)
    assert held >= plan.gas_m3 + plan.waste_m3


def cost(piece: PiecePlan, studio: Studio) -> tuple[Decimal, Decimal]:
    """Material and rental cost of the gas alone."""
    needs = gas_needs([piece], studio)
    return material_cost(needs), rental_cost(needs)


def test_gas_is_charged_by_what_is_used_and_the_cylinder_by_its_rent() -> None:
    studio = Studio()
    three, nine = (cost(planned(bouquet(count=3), count=n), studio) for n in (1, 3))
    assert three[1] == nine[1] == Decimal("15.00")  # one cylinder's rent, whatever is in it
    assert float(nine[0] / three[0]) == pytest.approx(3.0, rel=0.03)
    plan = gas_plan([planned(bouquet(count=3), count=1)], studio)
    assert plan is not None
    (line,) = plan.cylinders
    share = (plan.gas_m3 + plan.waste_m3) / line.usable_m3
    assert float(three[0]) == pytest.approx(share * 70.0, rel=0.02)
    assert plan.left_m3 == pytest.approx((1 - share) * line.usable_m3)


def test_a_cylinder_used_up_costs_what_it_costs() -> None:
    """The whole price comes back where nothing is left over."""
    kind = CYLINDERS[0].model_copy(update={"most": 100})
    studio = Studio(cylinders=(kind,))
    piece = planned(bouquet(count=60), count=40)
    plan = gas_plan([piece], studio)
    assert plan is not None
    (line,) = plan.cylinders
    used_up = line.count - plan.left_m3 / line.usable_m3
    gas, rent = cost(piece, studio)
    assert float(gas) == pytest.approx(used_up * 70.0, rel=1e-3)
    assert rent == line.count * Decimal("15.00")


def test_the_shopping_pays_for_full_cylinders() -> None:
    cylinder = gas_needs([planned(bouquet(count=3))], Studio())[1]
    assert cylinder.purchase == Decimal("85.00")


def test_a_rent_above_the_price_is_refused() -> None:
    with pytest.raises(ValidationError, match="rent"):
        Cylinder(name="x", water=0.01, mass=17.0, price=Decimal(20), rent=Decimal(21))


def test_no_floating_balloon_no_gas() -> None:
    made = make_plan(job())
    assert made.physics is not None
    assert made.physics.gas is None
    assert not [need for need in made.needs if need.kind in ("gas", "cylinder")]
    assert as_json(made)["gas"] is None


@given(st.floats(0.05, 30.0))
@settings(max_examples=20, deadline=None)
def test_the_cheapest_set_is_the_cheapest_of_all_sets(demand: float) -> None:
    kinds = [row.model_copy(update={"most": 3}) for row in CYLINDERS]
    lines, short = choose_cylinders(demand, kinds)
    usable = [usable_m3(kind) for kind in kinds]
    sets = [
        (sum(n * kind.price for n, kind in zip(counts, kinds, strict=True)), counts)
        for counts in itertools.product(range(4), repeat=3)
        if sum(n * each for n, each in zip(counts, usable, strict=True)) >= demand
    ]
    if not sets:
        assert short == pytest.approx(demand - 3 * sum(usable))
        return
    assert short == 0.0
    assert sum(line.price * line.count for line in lines) == min(sets)[0]


@pytest.mark.published
def test_a_full_cylinder_gives_what_the_table_says() -> None:
    # Helium at 200 bar absolute, 15 °C: 0.180026 m³ a litre (reference equation, printed by
    # CoolProp; the same table the validation of physics reads), less 2 bar gauge left inside.
    kind = Cylinder(name="50 L", water=0.05, gauge=200e5 - 101_325, mass=68.0, price=Decimal(1))
    left = 0.05 * 3.01325 / 1.01325  # ideal is good to 0.2 % here
    assert usable_m3(kind) == pytest.approx(0.05 * 180.026 - left, rel=2e-3)


def test_weights_too_light_are_told_and_bought() -> None:
    heavy = planned(bouquet(count=3, weights=1))
    light = planned(bouquet(count=60, weights=1))
    assert heavy.weighting is not None
    assert light.weighting is not None
    assert heavy.weighting.missing_kg == 0.0
    assert light.weighting.needed_kg == pytest.approx(1.5 * light.weighting.net_lift_kg)
    assert light.weighting.missing_kg > 0.1
    found = risks.findings([light], physics.job_physics([light], job(), CATALOG, Studio()))
    assert "weights-light" in {f.code for f in found}


def test_outdoors_the_weight_holds_the_drag_too() -> None:
    from dataclasses import replace

    windy = replace(EVERYDAY, setting="open air", gust_m_s=6.0)
    lines = float_lines(bouquet(), CATALOG, EVERYDAY, Helium())
    still, blown = (weighting(bouquet(), lines, CATALOG, a) for a in (EVERYDAY, windy))
    assert still is not None
    assert blown is not None
    drag = 0.5 * 1.225 * 36 * 0.47 * np.pi * 6 * (10.5 * INCH_M / 2) ** 2
    assert blown.drag_n == pytest.approx(drag)
    assert blown.needed_kg == pytest.approx(still.needed_kg + 1.5 * drag / (0.3 * 9.80665))


def test_balloons_that_sink_before_strike_are_told() -> None:
    piece = planned(bouquet())
    found = risks.findings([piece], physics.job_physics([piece], job(), CATALOG, Studio()))
    (sinks,) = [f for f in found if f.code == "helium-size"]
    assert "with 11.5 h to last" in sinks.what  # 06:30 to 18:00
    assert "11in" in sinks.what


def test_a_heavy_tail_does_not_float() -> None:
    piece = planned(bouquet(made_in=5.0))
    assert piece.floats[0].net_lift_kg < 0
    assert not piece.floats[0].floats
    assert piece.weighting is None


def test_oxygen_in_a_small_room_and_in_the_van_is_told() -> None:
    piece = planned(bouquet(), count=10)
    plan = gas_plan([piece], Studio(), 20.0)
    assert plan is not None
    assert plan.room_oxygen is not None
    assert plan.van_oxygen is not None
    largest = max(line.usable_m3 for line in plan.cylinders)
    assert plan.room_oxygen == pytest.approx(0.209 * (1 - largest / 20.0))
    small = job().model_copy(update={"venue": job().venue.model_copy(update={"room": 20.0})})
    found = risks.findings([piece], physics.job_physics([piece], small, CATALOG, Studio()))
    (air,) = [f for f in found if f.code == "low-oxygen"]
    assert "in the room" in air.what
    assert "in the van" in air.what


def test_more_gas_than_can_be_rented_is_told() -> None:
    piece = planned(bouquet(), count=10)
    poor = Studio(cylinders=(CYLINDERS[0].model_copy(update={"most": 0}),))
    found = risks.findings([piece], physics.job_physics([piece], job(), CATALOG, poor))
    assert "helium-short" in {f.code for f in found}
