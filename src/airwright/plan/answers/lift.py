"""What a floating balloon lifts, takes and how long it stays up."""

from __future__ import annotations

from dataclasses import dataclass

from airwright.catalog import Balloon, Catalog
from airwright.decor.context import stock_of
from airwright.job.cluster import Inflated
from airwright.job.studio import Helium
from airwright.language import message
from airwright.physics.errors import require
from airwright.physics.permeation import DOWN_H, FIRST_H, SPREAD
from airwright.physics.tether import RIBBON_KG_M, WEIGHT_FACTOR, counterweight, ribbon_mass
from airwright.plan.answers.base import Answer
from airwright.plan.floating import lines_of
from airwright.plan.surroundings import Surroundings
from airwright.units import FOOT3_M3


@dataclass(frozen=True, slots=True)
class LiftAnswer(Answer):
    """Floating balloons, all alike; figures of ONE unless the name says all.

    Attributes:
        size, made_m, count: what is filled.
        volume_m3, gas_m3, gas_ft3: of the balloon, and gas drawn at 15 °C and 101.325 kPa.
        all_gas_m3, all_gas_ft3: for all of them.
        purity: share of helium in the gas [-].
        gross_lift_kg, balloon_kg, ribbon_kg, tail_kg, net_lift_kg: masses [kg].
        floats: whether it rises.
        all_net_lift_kg, weight_kg: of all of them, and what holds them down [kg].
        weight_factor: weight over net lift [-].
        shortest_h, usual_h, longest_h: until it is down, without coating [h].
        good_h, safe_h: how long it looks good, and how long it is safe to count on, without
            coating [h].
        coated_shortest_h, coated_usual_h, coated_longest_h: with it; None for foil [h].
        calibration: practice over first principles, for balloons up to 11 in [-].
    """

    size: str
    made_m: float
    count: int
    volume_m3: float
    gas_m3: float
    gas_ft3: float
    all_gas_m3: float
    all_gas_ft3: float
    purity: float
    gross_lift_kg: float
    balloon_kg: float
    ribbon_kg: float
    tail_kg: float
    net_lift_kg: float
    floats: bool
    all_net_lift_kg: float
    weight_kg: float
    weight_factor: float
    shortest_h: float
    usual_h: float
    longest_h: float
    good_h: float
    safe_h: float
    coated_shortest_h: float | None
    coated_usual_h: float | None
    coated_longest_h: float | None
    calibration: float
    doubts: tuple[str, ...]


def lift_answer(
    row: Balloon,
    made: Inflated,
    count: int,
    ribbon_m: float,
    tail_kg: float,
    catalog: Catalog,
    around: Surroundings,
    helium: Helium,
) -> LiftAnswer:
    """Reckon floating balloons of one kind.

    Args:
        row: as bought; its mass may be the studio's own.
        made: the diameter filled to, else the usual one.
        count: how many.
        ribbon_m: hanging ribbon of one [m].
        tail_kg: anything else on one [kg].
        catalog: holds `row` under its size.
        around: temperatures and altitude.
        helium: purity and the studio's own float times.

    Raises:
        PhysicsError: sizes, masses, temperatures or altitudes out of range.
    """
    require("ribbon", ribbon_m, message("From zero to 100 m."), low=0.0, high=100.0, unit="m")
    require("tail", tail_kg, message("From zero to 5 kg."), low=0.0, high=5.0, unit="kg")
    stock = stock_of(row, made, helium=True)
    own = catalog.with_rows(balloons=[row])
    sold = catalog.of_use("ribbon")
    ribbon = float(ribbon_mass(ribbon_m, sold[0].mass_kg if sold else RIBBON_KG_M))
    carried = ribbon + tail_kg
    (bare,) = lines_of(
        (stock,), (count,), carried, own, around, helium.model_copy(update={"coated": "no"})
    )
    (coated,) = lines_of(
        (stock,), (count,), carried, own, around, helium.model_copy(update={"coated": "yes"})
    )
    latex = stock.family.value != "foil"
    up = max(bare.net_lift_kg, 0.0) * count
    return LiftAnswer(
        size=row.size,
        made_m=stock.inflated_m,
        count=count,
        volume_m3=bare.volume_m3,
        gas_m3=bare.gas_m3,
        gas_ft3=bare.gas_m3 / FOOT3_M3,
        all_gas_m3=bare.gas_m3 * count,
        all_gas_ft3=bare.gas_m3 * count / FOOT3_M3,
        purity=helium.purity,
        gross_lift_kg=bare.gross_lift_kg,
        balloon_kg=bare.balloon_kg,
        ribbon_kg=ribbon,
        tail_kg=tail_kg,
        net_lift_kg=bare.net_lift_kg,
        floats=bare.floats,
        all_net_lift_kg=up,
        weight_kg=float(counterweight(up)),
        weight_factor=WEIGHT_FACTOR,
        shortest_h=bare.shortest_h,
        usual_h=bare.usual_h,
        longest_h=bare.longest_h,
        good_h=bare.good_h,
        safe_h=bare.safe_h,
        coated_shortest_h=coated.shortest_h if latex else None,
        coated_usual_h=coated.usual_h if latex else None,
        coated_longest_h=coated.longest_h if latex else None,
        calibration=DOWN_H / FIRST_H * helium.float_factor if latex else 1.0,
        doubts=_doubts(latex),
    )


def _doubts(latex: bool) -> tuple[str, ...]:
    if not latex:
        return (
            message(
                "Hours of foil are common practice: its film hardly leaks, seam and valve decide."
            ),
            message("Volume of a foil outline is an estimate (10 %; stars and bursts 25 %)."),
        )
    return (
        message(
            "Hours: three gases through the film, drawn out to what the trade quotes ({down} h "
            "for 11 in), give or take a factor of {spread}. Coated: 6 to 20 times, common "
            "practice.",
            down=f"{DOWN_H:g}",
            spread=f"{SPREAD:g}",
        ),
        message("Weight: still air. In wind it must hold the pull of the ribbon, which is more."),
    )
