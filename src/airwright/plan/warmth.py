"""Each balloon taken from the workshop to the warmest it will meet: size then, and size to make.

One row a stock, shade and finish: all of a kind share one fate. Latex is reckoned as a Gent
membrane that keeps its gas; foil cannot stretch and is told by how much its gas would outgrow it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

import numpy as np

from airwright.catalog import Balloon, Catalog, Family
from airwright.decor.assembly import Floats, Shade, Stock
from airwright.physics import air, inflation, sun
from airwright.physics.srgb import light_of_hex
from airwright.plan.surroundings import Surroundings
from airwright.plan.to_json import json_values
from airwright.units import INCH_M, ZERO_CELSIUS_K

STEP_IN: Final = 0.5
"""Sizing templates have a hole every half inch; sizes to make are rounded down to it."""
ROUND_FAMILIES: Final = frozenset({Family.ROUND, Family.LINK})


@dataclass(frozen=True, slots=True)
class Kind:
    """Balloons alike in all that warmth cares for."""

    stock: Stock
    shade: Shade


@dataclass(frozen=True, slots=True)
class SizeCheck:
    """One kind of balloon, here and at its warmest.

    Attributes:
        size, shade: catalogue size and shade name.
        setting, in_sun: where it stands, and whether the sun falls on it there.
        count: how many in the job.
        pieces: names of the pieces that hold it.
        inflated_m: diameter made in the workshop [m].
        gas_c: warmest gas inside, sun included [°C].
        then_m: diameter then; for foil the diameter it would need to stay as slack [m].
        margin: share of nominal left then; below zero it is beyond what it is sold for [-].
        wanted_margin: what the studio keeps free [-].
        burst_share: diameter then over bursting diameter; 1 and more: it bursts [-].
        inflate_to_m: largest diameter to make so that the wanted margin stays; equals
            `inflated_m` where that is small enough [m].
        template_m: hole of a sizing template for `inflate_to_m`, measured cool [m].
        if_sunny_margin: the same margin were the sun on it [-].
    """

    size: str
    shade: str
    setting: str
    in_sun: bool
    family: str
    count: int
    pieces: tuple[str, ...]
    inflated_m: float
    gas_c: float
    then_m: float
    margin: float
    wanted_margin: float
    burst_share: float
    inflate_to_m: float
    template_m: float
    if_sunny_margin: float

    @property
    def over_tight(self) -> bool:
        """Whether less is left than the studio wants."""
        return self.margin < self.wanted_margin - 1e-9

    @property
    def bursts(self) -> bool:
        """Whether it is beyond bursting, or beyond what foil bears."""
        return self.burst_share >= 1.0

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values for plan.json."""
        return json_values(self)


@dataclass(frozen=True, slots=True, eq=False)
class Warmth:
    """Arrays (N,), one a kind: gas temperature [°C], diameter then [m], margin, burst share,
    diameter to make [m]."""

    gas_c: Floats
    then_m: Floats
    margin: Floats
    burst_share: Floats
    inflate_to_m: Floats


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb", 0 black to 1 white (IEC 61966-2-1, BT.709 weights)."""
    return float(light_of_hex(colour) @ np.array([0.2126, 0.7152, 0.0722]))


def absorptance(shade: Shade, family: Family) -> float:
    """Share of sunlight this shade and finish keeps, an estimate (±0.15)."""
    finish = "foil" if family is Family.FOIL else shade.finish
    return float(sun.solar_absorptance(luminance(shade.colour), finish))


def warmth(
    skin: inflation.Skin,
    diameter_m: Floats,
    absorbed: Floats,
    emittance: Floats,
    around: Surroundings,
    *,
    in_sun: bool,
    margin: float | Floats | None = None,
) -> Warmth:
    """Latex taken to the warmest it meets.

    Args:
        skin: uninflated balloons (N,).
        diameter_m: (N,) made in the workshop [m].
        absorbed, emittance: (N,) of each shade and finish [-].
        around: temperatures, altitudes, wanted margin.
        in_sun: whether the sun falls on them.
        margin: wanted instead of that of `around` [-].

    Raises:
        PhysicsError: a diameter no such balloon can have.
    """
    here = float(air.standard_pressure(around.workshop_altitude_m))
    there = float(air.standard_pressure(around.altitude_m))
    tied = inflation.inflate(skin, diameter_m, around.workshop_c, here)
    if in_sun:
        hot = sun.gas_temperature(
            diameter_m, around.peak_c, absorbed, emittance=emittance, ambient_pa=there
        )
        hot = np.minimum(hot, air.HOTTEST_C)
    else:
        hot = np.full(np.shape(diameter_m), around.peak_c)
    then = inflation.carry(skin, tied, hot, there)
    wanted = around.margin if margin is None else margin
    most = inflation.diameter_for_margin(skin, wanted, around.workshop_c, here, hot, there)
    return Warmth(
        gas_c=np.asarray(hot),
        then_m=np.asarray(then.diameter_m),
        margin=np.asarray(then.margin),
        burst_share=np.asarray(then.burst_share),
        inflate_to_m=np.asarray(np.minimum(diameter_m, most)),
    )


def size_checks(
    kinds: Mapping[Kind, Mapping[str, int]], catalog: Catalog, around: Surroundings
) -> tuple[SizeCheck, ...]:
    """All kinds of a job, latex in one sweep, foil in another.

    Args:
        kinds: kind → piece name → how many of it in that piece, counts of pieces included.
        catalog: masses and flat widths.
        around: what they meet.
    """
    latex = [kind for kind in kinds if kind.stock.family in ROUND_FAMILIES]
    foil = [kind for kind in kinds if kind.stock.family is Family.FOIL]
    rows = [*_latex(latex, catalog, around), *_foil(foil, around)]
    return tuple(
        SizeCheck(
            size=kind.stock.size,
            shade=kind.shade.name,
            setting=around.setting,
            in_sun=around.in_sun,
            family=kind.stock.family.value,
            count=sum(kinds[kind].values()),
            pieces=tuple(kinds[kind]),
            wanted_margin=_wanted(kind.stock, around),
            **row,
        )
        for kind, row in zip([*latex, *foil], rows, strict=True)
    )


def _wanted(stock: Stock, around: Surroundings) -> float:
    """What stays free of the nominal size: floating latex is filled up to it [-]."""
    floating = stock.helium and stock.family in ROUND_FAMILIES
    return around.float_margin if floating else around.margin


def skins(stocks: Sequence[Stock], catalog: Catalog) -> inflation.Skin:
    """Uninflated latex balloons as the catalogue describes them."""
    return skins_of([catalog.balloon(stock.size) for stock in stocks])


def skins_of(rows: Sequence[Balloon]) -> inflation.Skin:
    """Uninflated latex balloons of catalogue rows."""
    return inflation.skin(
        np.array([row.nominal_in * INCH_M for row in rows]),
        np.array([row.mass_g / 1000 for row in rows]),
        np.array([row.flat_width_in * INCH_M for row in rows]),
    )


def _latex(
    kinds: Sequence[Kind], catalog: Catalog, around: Surroundings
) -> Sequence[Mapping[str, float]]:
    balloons = [catalog.balloon(kind.stock.size) for kind in kinds]
    return _swept(
        tuple(
            (row.nominal_in, row.mass_g, row.flat_width_in, kind.stock.inflated_m, kind.shade)
            for kind, row in zip(kinds, balloons, strict=True)
        ),
        tuple((kind.stock.family, _wanted(kind.stock, around)) for kind in kinds),
        around,
    )


_Measures = tuple[float, float, float, float, Shade]
"""Nominal size [in], mass [g], flat width [in], inflated diameter [m], shade."""


@lru_cache(maxsize=256)
def _swept(
    kinds: tuple[_Measures, ...], wants: tuple[tuple[Family, float], ...], around: Surroundings
) -> tuple[Mapping[str, float], ...]:
    """All kinds in one sweep; remembered, because most changes to a job leave its kinds alone."""
    if not kinds:
        return ()
    size, mass, flat, made = (np.array([row[at] for row in kinds]) for at in range(4))
    skin = inflation.skin(size * INCH_M, mass / 1000, flat * INCH_M)
    absorbed = np.array(
        [absorptance(row[4], family) for row, (family, _) in zip(kinds, wants, strict=True)]
    )
    emits = np.array([sun.FINISHES[row[4].finish].emittance for row in kinds])
    margin = np.array([wanted for _, wanted in wants])
    values = (skin, made, absorbed, emits, around)
    there = warmth(*values, in_sun=around.in_sun, margin=margin)
    sunny = there if around.in_sun else warmth(*values, in_sun=True, margin=margin)
    return tuple(
        {
            "inflated_m": float(made[at]),
            "gas_c": float(there.gas_c[at]),
            "then_m": float(there.then_m[at]),
            "margin": float(there.margin[at]),
            "burst_share": float(there.burst_share[at]),
            "inflate_to_m": to_make(float(made[at]), float(there.inflate_to_m[at])),
            "template_m": float(
                inflation.template_hole(
                    to_make(float(made[at]), float(there.inflate_to_m[at])), around.workshop_c
                )
            ),
            "if_sunny_margin": float(sunny.margin[at]),
        }
        for at in range(len(kinds))
    )


def to_make(made_m: float, most_m: float) -> float:
    """The size made if it is small enough, else the next hole of a template below the most [m]."""
    if most_m >= made_m - 1e-9:
        return made_m
    return float(np.floor(most_m / INCH_M / STEP_IN + 1e-9) * STEP_IN * INCH_M)


FOIL_SLACK: Final = 0.06
"""Volume by which foil filled until its wrinkles are nearly gone may still grow. Common practice,
no source: it is the warming from 20 to 37 °C, which shops warn of."""


def _foil(kinds: Sequence[Kind], around: Surroundings) -> list[dict[str, Any]]:
    rows = []
    here = float(air.standard_pressure(around.workshop_altitude_m))
    there = float(air.standard_pressure(around.altitude_m))
    for kind in kinds:
        across = kind.stock.inflated_m
        keeps = absorptance(kind.shade, Family.FOIL)
        hot = [around.peak_c, min(_in_sun(across, keeps, there, around), air.HOTTEST_C)]
        grown = [
            (gas + ZERO_CELSIUS_K) / (around.workshop_c + ZERO_CELSIUS_K) * here / there
            for gas in hot
        ]
        now = 1 if around.in_sun else 0
        rows.append(
            {
                "inflated_m": across,
                "gas_c": float(hot[now]),
                "then_m": float(across * grown[now] ** (1 / 3)),
                # what is left of its slack, in shares of the diameter, as for latex
                "margin": around.margin + ((1 + FOIL_SLACK) / grown[now]) ** (1 / 3) - 1,
                "burst_share": float(grown[now] / (1 + 2 * FOIL_SLACK)),
                "inflate_to_m": across,
                "template_m": across,
                "if_sunny_margin": around.margin + ((1 + FOIL_SLACK) / grown[1]) ** (1 / 3) - 1,
            }
        )
    return rows


def _in_sun(across: float, keeps: float, ambient: float, around: Surroundings) -> float:
    return float(
        sun.gas_temperature(
            across,
            around.peak_c,
            keeps,
            emittance=sun.FINISHES["foil"].emittance,
            ambient_pa=ambient,
        )
    )
