"""Limits and lengths that the job uses, shown by what comes of them: effects known from outside."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

import numpy as np

from airwright.catalog import Family
from airwright.decor.assembly import Assembly, Shade, Stock, Strand
from airwright.job.studio import Studio
from airwright.physics.ageing import good_hours
from airwright.pictures.photo.photograph import hangs
from airwright.plan.ageing import ageing, life_at
from airwright.plan.cautions import protecting
from airwright.plan.hours import inflating, way_of, work_lines
from airwright.plan.silhouette import standing
from airwright.plan.stability import Stability, stability
from airwright.plan.surroundings import EVERYDAY, surroundings
from airwright.plan.warmth import Kind, size_checks
from airwright.units import INCH_M
from tests.plan.samples import column, job, plan
from tests.validation.spoiling import Effect

HEAD = column().split("[[pieces]]")[0]
MIX = 'mix = [{ balloon = "11in @ 10in", share = 1 }]\nshades = { coral = 1, gold = 1 }\n'
GOLD = HEAD.replace("[shades]", '[shades]\ngold = "#c9a24b"')


def one(kind: str, *keys: str) -> str:
    """A job of one piece; each key is a line of TOML."""
    return GOLD + "\n".join(['[[pieces]]\nname = "P"', f'kind = "{kind}"', *keys]) + "\n"


STRAIGHT = one("garland", 'path = "straight"', 'width = "6 ft"', 'height = "8 ft"', MIX)
ON_WALL = one(
    "half-arch",
    'points = [{ x = "-3ft", z = "1ft" }, { x = "-3ft", z = "6ft" }, { x = "0ft", z = "7ft" }]',
    'on = "wall"',
    MIX,
)
DRESSED = one(
    "backdrop",
    'panels = [{ form = "arch", width = "42 in", height = "80 in", shade = "sand" }]',
    MIX,
)
RING = one("hoop", 'across = "4 ft"', 'form = "half"', 'on = "hooks"', MIX)
STRANDS = one(
    "ceiling", 'form = "strands"', 'width = "6 ft"', 'length = "4 ft"', 'height = "10 ft"',
    'balloon = "11in @ 10in"', 'drop = "3 ft"', "rows = 2", "columns = 2", "shades = { coral = 1 }",
)  # fmt: skip
THREE = one(
    "bouquet", 'height = "8 ft"',
    'balloons = [{ balloon = "11in @ 10in", count = 3, shades = ["coral"] }]',
)  # fmt: skip
NUMBER = one(
    "foils", 'on = "weights"', 'text = "40"', 'size = "34in"', 'shades = ["gold"]',
    'height = "6 ft"',
)  # fmt: skip


def turning_point(told: Callable[[float], bool], low: float, high: float) -> float:
    """Where something is first told, between a value where it is not and one where it is.

    Args:
        told: monotone, false at `low` and true at `high`.
        low, high: where to look.
    """
    assert not told(low)
    assert told(high)
    while abs(high - low) > 1e-4 * abs(high + low):
        middle = (low + high) / 2
        low, high = (low, middle) if told(middle) else (middle, high)
    return (low + high) / 2


# ---- sizes ------------------------------------------------------------------------------------


def largest(operation: str) -> Effect:
    """Largest usual size of round balloon whose inflating falls under an operation [in]."""

    def effect(studio: Studio) -> float:
        usual = (5.0, 6.0, 9.0, 11.0, 12.0, 14.0, 16.0, 17.0, 18.0, 24.0, 30.0, 36.0)
        return max(s for s in usual if inflating(Family.ROUND, s * INCH_M) == operation)

    return effect


# ---- what stands ------------------------------------------------------------------------------


@lru_cache(maxsize=1)
def built() -> Assembly:
    """A column of six feet."""
    return plan(column()).pieces[0].assembly


def pushed_from_m(studio: Studio) -> float:
    """Lowest piece that a guest is reckoned to push over [m]."""
    piece = standing(built(), studio.catalog())
    around = surroundings(job(), studio)

    def is_pushed(top: float) -> bool:
        low = replace(piece, disc=piece.disc * np.array([1.0, 1.0, top / piece.top_m]),
                      disc_radius_m=piece.disc_radius_m * top / piece.top_m)  # fmt: skip
        found = stability(low, around)
        assert isinstance(found, Stability)
        return found.push_n > 0

    return turning_point(is_pushed, 0.02, 2.0)


def overhead_from_m(studio: Studio) -> float:
    """Lowest point of what hangs, from where it is told that it may come down on somebody [m]."""
    piece = plan(STRAIGHT, studio).pieces[0]
    lowest = float(piece.assembly.bounds[0][2])

    def is_told(above: float) -> bool:
        there = replace(piece, assembly=piece.assembly.moved((0.0, 0.0, above - lowest)))
        return "overhead" in {finding.code for finding in protecting([there])}

    return turning_point(is_told, 0.05, 5.0)


def seen_from_below_m(studio: Studio) -> float:
    """Lowest balloon from where decor is photographed from below [m]."""
    piece = built()
    lowest = float((piece.centre[:, 2] - piece.radius).min())
    return turning_point(lambda above: hangs(piece.moved((0.0, 0.0, above - lowest))), 0.05, 5.0)


# ---- time and warmth --------------------------------------------------------------------------

OUTSIDE = column().replace('"indoor" ', '"open air"')


def below_peak_k(studio: Studio) -> float:
    """How far below the day's warmest latex in the shade is reckoned to be [K]."""
    around = replace(surroundings(job(OUTSIDE), studio), in_sun=False, peak_c=30.0)
    good = ageing(around).good_usual_h
    return turning_point(
        lambda below: float(good_hours("shade", 30.0 - below).usual_h) > good, -5.0, 25.0
    )


def brought_along(hours: float) -> Effect:
    """Spares told to bring for latex that lies so long in the sun at 28 °C [-]."""

    def effect(studio: Studio) -> float:
        return life_at("sun", hours, 28.0, 0.0, 20.0).extra_spares

    return effect


def foil_tight_from_c(studio: Studio) -> float:
    """Warmth at which foil filled at 20 °C until its wrinkles are nearly gone is told too tight."""
    stock = Stock("18in round foil", Family.FOIL, 18 * INCH_M, 18 * INCH_M)

    def is_tight(peak: float) -> bool:
        around = replace(EVERYDAY, peak_c=peak)
        (check,) = size_checks({Kind(stock, Shade("white", "#ffffff")): {"": 1}},
                               studio.catalog(), around)  # fmt: skip
        return check.over_tight

    return turning_point(is_tight, 20.5, 59.0)


def nearby_min(studio: Studio) -> float:
    """Drive up to which balloons are taken to be tied at the venue's altitude [min]."""
    there = job(OUTSIDE.replace('altitude = "10 m"', 'altitude = "1500 m"'))

    def is_far(drive: float) -> bool:
        venue = there.venue.model_copy(update={"drive": drive})
        around = surroundings(there.model_copy(update={"venue": venue}), studio)
        return around.workshop_altitude_m < 1500.0

    km = turning_point(is_far, 10.0, 1_000_000.0) / 1000
    done = [("drive", min(km, 10.0), None), ("drive on", max(km - 10.0, 0.0), None)]
    return 60 * sum(row.hours for row in work_lines(done, studio.catalog(), way_of(job(), studio)))


# ---- line and ribbon --------------------------------------------------------------------------


def cut(text: str, name: str, over: Callable[[Strand], float]) -> Effect:
    """What is cut of a line or ribbon, against its own length."""

    def effect(studio: Studio) -> float:
        strands = plan(text, studio).pieces[0].assembly.strands
        found = [over(strand) for strand in strands if strand.name == name]
        return sum(found) / len(found)

    return effect


def line_over_length(text: str) -> Effect:
    """Line to cut for a garland, over the way it runs [-]."""
    return cut(text, "garland line", lambda strand: strand.cut_m / strand.length_m)


def left_over(text: str, name: str) -> Effect:
    """Line or ribbon cut beyond its own length, for the knots [m]."""
    return cut(text, name, lambda strand: strand.knots_m)


def mean_below_peak_k(swing_k: float, start: float, end: float) -> float:
    """How far a day's mean lies below its warmest, a cosine with its peak at 15:00 [K].

    Args:
        swing_k: between the coldest and the warmest of the day [K].
        start, end: hours of the day [h].
    """
    rate = 2 * math.pi / 24
    under = (math.sin(rate * (end - 15)) - math.sin(rate * (start - 15))) / rate
    return swing_k / 2 * (1 - under / (end - start))
