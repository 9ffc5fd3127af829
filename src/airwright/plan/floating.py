"""Floating balloons of one piece: gas, lift, what they carry, how long they stay up."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from airwright.catalog import Catalog, Family
from airwright.decor.assembly import Assembly, Floats, Stock
from airwright.decor.foil_body import letter_film, letter_volume
from airwright.job.studio import Helium
from airwright.physics import air, bodies, gas, inflation, permeation, shape
from airwright.physics.drag import SAFE_SPHERE, drag_force
from airwright.physics.tether import WEIGHT_FACTOR, counterweight
from airwright.physics.wind import PEOPLE_NEAR_LIMIT_M_S, velocity_pressure
from airwright.plan.surroundings import Surroundings
from airwright.plan.to_json import json_values
from airwright.plan.warmth import ROUND_FAMILIES, skins
from airwright.units import GRAVITY_M_S2

FOIL_HOURS: Final = (72.0, 120.0, 336.0, 72.0, 72.0)
"""Shortest, usual, longest float time of foil, and how long it looks good and is safe [h].
Common practice, no source: its film hardly lets gas through; seams and valve decide."""
FOIL_FULLNESS: Final = {"round": 1.0, "star": 0.55, "heart": 0.75, "starburst": 0.5}
"""Volume of a foil outline over that of the round one as wide. From memory, an estimate."""
OTHER_FOIL: Final = 0.6
EXCESS_FOIL_PA: Final = 1_000.0


@dataclass(frozen=True, slots=True)
class FloatLine:
    """Floating balloons alike in one piece; masses, volumes and lift of ONE balloon.

    Attributes:
        size: catalogue size.
        family: latex round or foil.
        count: how many in one piece.
        inflated_m: diameter as filled [m].
        volume_m3: of the balloon [m³].
        gas_m3: drawn from the cylinder, at 15 °C and 101.325 kPa [m³].
        gross_lift_kg: what the gas carries [kg].
        balloon_kg, carried_kg: the balloon itself, and ribbon or tail on it [kg].
        net_lift_kg: what is left; below zero it does not float [kg].
        shortest_h, usual_h, longest_h: from filling until it is down [h].
        good_h, safe_h: how long it looks good, and how long it is safe to count on [h].
    """

    size: str
    family: str
    count: int
    inflated_m: float
    volume_m3: float
    gas_m3: float
    gross_lift_kg: float
    balloon_kg: float
    carried_kg: float
    net_lift_kg: float
    shortest_h: float
    usual_h: float
    longest_h: float
    good_h: float
    safe_h: float

    @property
    def floats(self) -> bool:
        """Whether it rises at all."""
        return self.net_lift_kg > 0.0

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values for plan.json."""
        return json_values(self)


@dataclass(frozen=True, slots=True)
class Weighting:
    """What holds one floating piece down.

    Attributes:
        net_lift_kg: of all its balloons, ribbons subtracted [kg].
        gust_m_s, drag_n: gust outdoors, and its drag on all balloons; zero indoors [m/s], [N].
        needed_kg: factor times lift, and outdoors what keeps the drag from dragging it off [kg].
        there_kg: weights the piece has [kg].
        factor: the factor [-].
        take_in_gust_m_s: outdoors: take it in above; None indoors [m/s].
    """

    net_lift_kg: float
    gust_m_s: float
    drag_n: float
    needed_kg: float
    there_kg: float
    factor: float
    take_in_gust_m_s: float | None

    @property
    def missing_kg(self) -> float:
        """What is still to be added [kg]."""
        return max(self.needed_kg - self.there_kg, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Filled:
    """Filled balloons (N,): volume [m³], surface [m²], excess pressure [Pa]."""

    volume_m3: Floats
    area_m2: Floats
    excess_pa: Floats


def filled(stocks: tuple[Stock, ...], catalog: Catalog, around: Surroundings) -> Filled:
    """Bodies of balloons as filled in the workshop.

    Raises:
        PhysicsError: a diameter or mass no such balloon has.
    """
    here = float(air.standard_pressure(around.workshop_altitude_m))
    volume, area = np.zeros(len(stocks)), np.zeros(len(stocks))
    excess = np.full(len(stocks), EXCESS_FOIL_PA)
    latex = [at for at, stock in enumerate(stocks) if stock.family in ROUND_FAMILIES]
    if latex:
        rows = [stocks[at] for at in latex]
        state = inflation.inflate(
            skins(rows, catalog),
            np.array([stock.inflated_m for stock in rows]),
            around.workshop_c,
            here,
        )
        volume[latex], area[latex] = state.volume_m3, state.area_m2
        excess[latex] = state.excess_pa
    for at, stock in enumerate(stocks):
        if stock.family is Family.FOIL:
            half = stock.inflated_m / 2
            full = FOIL_FULLNESS.get(stock.outline or "round", OTHER_FOIL)
            letter = letter_volume(stock)
            round_m3 = full * shape.volume_factor(bodies.foil_profile(96)) * half**3
            volume[at] = round_m3 if letter is None else letter
            area[at] = letter_film(stock) or shape.area_factor(bodies.foil_profile(96)) * half**2
        elif stock.family is Family.MODELLING and stock.length_m > 0:
            tube = bodies.tube_profile(max(stock.length_m / stock.inflated_m, 1.2))
            half = stock.inflated_m / 2
            volume[at] = shape.volume_factor(tube) * half**3
            area[at] = shape.area_factor(tube) * half**2
    return Filled(volume, area, excess)


def float_lines(
    assembly: Assembly, catalog: Catalog, around: Surroundings, helium: Helium
) -> tuple[FloatLine, ...]:
    """The floating balloons of one piece; empty where all are filled with air."""
    counts = Counter(
        (at, int(skins))
        for at, skins in zip(assembly.stock.tolist(), assembly.skins, strict=True)
        if assembly.stocks[at].helium
    )
    if not counts:
        return ()
    stocks = tuple(assembly.stocks[at] for at, _ in counts)
    skins = tuple(skins for _, skins in counts)
    each = ribbon_kg(assembly, catalog) / sum(counts.values())
    return lines_of(stocks, tuple(counts.values()), each, catalog, around, helium, skins)


def ribbon_kg(assembly: Assembly, catalog: Catalog) -> float:
    """All ribbon in a piece [kg]; its balloons carry it in equal shares."""
    return sum(
        strand.length_m * catalog.item(strand.item).mass_kg
        for strand in assembly.strands
        if strand.item is not None and catalog.item(strand.item).use == "ribbon"
    )


def lines_of(
    stocks: tuple[Stock, ...],
    counts: tuple[int, ...],
    carried_kg: float,
    catalog: Catalog,
    around: Surroundings,
    helium: Helium,
    skins: tuple[int, ...] | None = None,
) -> tuple[FloatLine, ...]:
    """Reckon kinds of floating balloons at once.

    Args:
        stocks, counts: the kinds and how many of each.
        carried_kg: ribbon or tail on each balloon [kg].
        catalog: masses and flat widths.
        around: temperatures and altitudes.
        helium: purity, coating, own float times.
        skins: how many balloons make up each, 2 for one in another; one each if left out.
    """
    body = filled(stocks, catalog, around)
    venue_pa = float(air.standard_pressure(around.altitude_m))
    mass = np.array([catalog.balloon(stock.size).mass_g / 1000 for stock in stocks])
    mass = mass * np.array(skins or 1, dtype=float)
    lift = body.volume_m3 * gas.lift_density(
        around.workshop_c, venue_pa, 0.5, body.excess_pa, helium.purity
    )
    drawn = gas.gas_drawn(
        body.volume_m3,
        around.workshop_c,
        float(air.standard_pressure(around.workshop_altitude_m)),
        body.excess_pa,
    )
    hours = _hours(stocks, body, mass, carried_kg, around, helium)
    return tuple(
        FloatLine(
            size=stock.size,
            family=stock.family.value,
            count=counts[at],
            inflated_m=stock.inflated_m,
            volume_m3=float(body.volume_m3[at]),
            gas_m3=float(drawn[at]),
            gross_lift_kg=float(lift[at]),
            balloon_kg=float(mass[at]),
            carried_kg=carried_kg,
            net_lift_kg=float(lift[at]) - float(mass[at]) - carried_kg,
            shortest_h=hours[at][0],
            usual_h=hours[at][1],
            longest_h=hours[at][2],
            good_h=hours[at][3],
            safe_h=hours[at][4],
        )
        for at, stock in enumerate(stocks)
    )


def _hours(
    stocks: tuple[Stock, ...],
    body: Filled,
    mass: Floats,
    carried_kg: float,
    around: Surroundings,
    helium: Helium,
) -> list[tuple[float, ...]]:
    hours: list[tuple[float, ...]] = [FOIL_HOURS] * len(stocks)
    latex = [at for at, stock in enumerate(stocks) if stock.family is not Family.FOIL]
    if latex:
        first = permeation.float_hours(
            body.volume_m3[latex],
            body.area_m2[latex],
            mass[latex] * (1.0 - inflation.NECK_SHARE),
            mass[latex] + carried_kg,
            temperature_c=(around.workshop_c + around.peak_c) / 2,
            ambient_pa=float(air.standard_pressure(around.altitude_m)),
            purity=helium.purity,
        )
        times = permeation.float_time(
            first,
            1.0 if helium.coated == "yes" else 0.0,
            helium.float_factor,
        )
        columns = (times.shortest_h, times.hours, times.longest_h, times.good_h, times.safe_h)
        for at, row in zip(latex, np.atleast_2d(np.array(columns)).T, strict=True):
            hours[at] = tuple(float(value) for value in row)
    return hours


def lifts(assembly: Assembly, lines: tuple[FloatLine, ...]) -> Floats | None:
    """(N,) gross lift of each balloon of a piece [kg], zero for air; None where none floats."""
    if not lines:
        return None
    gross = {(line.size, line.inflated_m): line.gross_lift_kg for line in lines}
    of_stock = np.array(
        [
            gross.get((stock.size, stock.inflated_m), 0.0) if stock.helium else 0.0
            for stock in assembly.stocks
        ]
    )
    return np.asarray(of_stock[assembly.stock])


def weighting(
    assembly: Assembly, lines: tuple[FloatLine, ...], catalog: Catalog, around: Surroundings
) -> Weighting | None:
    """Counterweight of one floating piece; None where nothing floats.

    In a gust the ribbons pull aside; the weight must not slide:  m g >= L g + D/friction.
    """
    net = sum(max(line.net_lift_kg, 0.0) * line.count for line in lines)
    if net <= 0.0:
        return None
    there = sum(
        catalog.item(part.item).mass_kg * part.quantity
        for part in assembly.hardware
        if part.use in ("weight", "base", "stand")
    )
    gust = around.gust_m_s if around.outdoors else 0.0
    frontal = float(np.pi * (assembly.radius**2).sum())
    drag = float(drag_force(SAFE_SPHERE, frontal, velocity_pressure(gust)))
    aside = WEIGHT_FACTOR * drag / (around.friction * GRAVITY_M_S2)
    return Weighting(
        net_lift_kg=net,
        gust_m_s=gust,
        drag_n=drag,
        needed_kg=float(counterweight(net, WEIGHT_FACTOR)) + aside,
        there_kg=there,
        factor=WEIGHT_FACTOR,
        take_in_gust_m_s=min(gust, PEOPLE_NEAR_LIMIT_M_S) if around.outdoors else None,
    )
