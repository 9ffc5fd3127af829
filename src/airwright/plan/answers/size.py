"""What becomes of a balloon's size elsewhere, and what size to make."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from airwright.catalog import Balloon
from airwright.decor.assembly import Shade
from airwright.decor.context import stock_of
from airwright.job.cluster import Inflated
from airwright.language import message
from airwright.physics import air, inflation, shape, sun
from airwright.physics.errors import OutOfRangeError
from airwright.plan.answers.base import Answer, require_latex
from airwright.plan.surroundings import Surroundings
from airwright.plan.warmth import absorptance, skins_of, to_make, warmth

SUN_RISE_DOUBT: Final = 0.35
"""Relative doubt of the warming in the sun (absorptance and convection)."""
WEATHER: Final = 0.03
"""Pressure of the air by weather, against the standard atmosphere."""


@dataclass(frozen=True, slots=True)
class SizeAnswer(Answer):
    """One balloon made here and taken there.

    Attributes:
        size, nominal_m, mass_kg, flat_width_m: the balloon as bought.
        made_m: widest diameter made in the workshop [m].
        tall_m: knot and neck to crown, as made [m].
        volume_m3, film_m, stretch: as made [m³], [m], [-].
        excess_pa, excess_low_pa, excess_high_pa: pressure inside above the air's [Pa].
        workshop_c, gas_c, gas_low_c, gas_high_c: gas as made, and at the warmest [°C].
        altitude_m: of the place it is taken to [m].
        in_sun: whether the sun falls on it.
        then_m, then_low_m, then_high_m: diameter there [m].
        margin, wanted_margin: share of nominal left there, and wanted [-].
        burst_m, burst_share: where it is taken to burst [m]; diameter there over it [-].
        inflate_to_m: largest diameter to make so that the wanted margin stays [m].
        template_m: hole of the sizing template to use [m].
        warm_template_m: hole while the gas is still 10 K warm from the inflator [m].
        residual: of the gas law [-].
    """

    size: str
    nominal_m: float
    mass_kg: float
    flat_width_m: float
    made_m: float
    tall_m: float
    volume_m3: float
    film_m: float
    stretch: float
    excess_pa: float
    excess_low_pa: float
    excess_high_pa: float
    workshop_c: float
    gas_c: float
    gas_low_c: float
    gas_high_c: float
    altitude_m: float
    in_sun: bool
    then_m: float
    then_low_m: float
    then_high_m: float
    margin: float
    wanted_margin: float
    burst_m: float
    burst_share: float
    inflate_to_m: float
    template_m: float
    warm_template_m: float
    residual: float
    doubts: tuple[str, ...]

    @property
    def fits(self) -> bool:
        """Whether enough margin is left."""
        return self.margin >= self.wanted_margin


def size_answer(row: Balloon, made: Inflated, shade: Shade, around: Surroundings) -> SizeAnswer:
    """Reckon one balloon.

    Args:
        row: as bought; mass and flat width may be the studio's own.
        made: the diameter made, else the usual one.
        shade: colour and finish, for the sun.
        around: workshop and place, sun, wanted margin.

    Raises:
        PhysicsError: no round latex balloon, or a size, mass, temperature or altitude out of
            range.
    """
    require_latex(row)
    stock = stock_of(row, made)
    skin = skins_of([row])
    across = np.array([stock.inflated_m])
    here = float(air.standard_pressure(around.workshop_altitude_m))
    there = float(air.standard_pressure(around.altitude_m))
    state = inflation.inflate(skin, across, around.workshop_c, here)
    keeps = np.array([absorptance(shade, row.family)])
    emits = np.array([sun.FINISHES[shade.finish].emittance])
    found = warmth(skin, across, keeps, emits, around, in_sun=around.in_sun)
    gas = float(found.gas_c[0])
    if around.in_sun and gas >= air.HOTTEST_C - 1e-9:
        cure = message(
            "In this sun the gas gets beyond 80 °C: put it in the shade, or take a light shade."
        )
        raise OutOfRangeError("temperature of the gas", gas, cure, high=air.HOTTEST_C, unit="°C")
    rise = gas - around.peak_c
    ends = [
        inflation.carry(
            skin,
            state,
            min(around.peak_c + rise * (1 + sign * SUN_RISE_DOUBT), air.HOTTEST_C),
            max(there * (1 - sign * WEATHER), 30_000.0),
        )
        for sign in (-1, 1)
    ]
    exact = inflation.carry(skin, state, gas, there)
    best = to_make(stock.inflated_m, float(found.inflate_to_m[0]))
    excess = float(state.excess_pa[0])
    profile = shape.pear_profile(200, float(across[0] / skin.nominal_m[0]))
    return SizeAnswer(
        size=row.size,
        nominal_m=stock.nominal_m,
        mass_kg=row.mass_g / 1000,
        flat_width_m=float(skin.flat_width_m[0]),
        made_m=stock.inflated_m,
        tall_m=stock.inflated_m * shape.height_over_diameter(profile),
        volume_m3=float(state.volume_m3[0]),
        film_m=float(state.film_m[0]),
        stretch=float(state.stretch[0]),
        excess_pa=excess,
        excess_low_pa=excess * (1 - inflation.PRESSURE_DOUBT),
        excess_high_pa=excess * (1 + inflation.PRESSURE_DOUBT),
        workshop_c=around.workshop_c,
        gas_c=gas,
        gas_low_c=around.peak_c + rise * (1 - SUN_RISE_DOUBT),
        gas_high_c=around.peak_c + rise * (1 + SUN_RISE_DOUBT),
        altitude_m=around.altitude_m,
        in_sun=around.in_sun,
        then_m=float(found.then_m[0]),
        then_low_m=float(ends[0].diameter_m[0]),
        then_high_m=float(ends[1].diameter_m[0]),
        margin=float(found.margin[0]),
        wanted_margin=around.margin,
        burst_m=float(skin.burst_m[0]),
        burst_share=float(found.burst_share[0]),
        inflate_to_m=best,
        template_m=float(inflation.template_hole(best, around.workshop_c)),
        warm_template_m=float(inflation.template_hole(best, around.workshop_c, 10.0)),
        residual=float(np.abs(exact.residual).max()),
        doubts=_doubts(around, row),
    )


def _doubts(around: Surroundings, row: Balloon) -> tuple[str, ...]:
    told = [
        "The range covers weather that moves the air pressure by 3 %"
        + (", and a sun that warms it a third more or less." if around.in_sun else "."),
        message(
            "The pressure inside is good to 30 %: rubber and flat width are remembered figures."
        ),
        message("Where it bursts (a fifth above its nominal size) is common practice."),
    ]
    if "memory" in row.source:
        told.append(
            message("Mass and flat width are from memory; your own scale and tape are better.")
        )
    return tuple(told)
