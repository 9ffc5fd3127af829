"""One balloon in another: the colour that is seen, from two films of rubber.

        light  ->  outer | inner | (gas) | inner | outer | room
                   near wall               far wall

A shade in stock is known by one colour, that of a balloon blown to its usual size. From it, and
from how well its finish hides what is behind it, its pigment is estimated: how much a metre of
film absorbs and scatters in red, green and blue. Films grow thin as they stretch, so a shade
pales, and shows more of what is inside, the larger it is blown.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from airwright.catalog import Balloon, Catalog
from airwright.decor.assembly import Floats, Shade
from airwright.job.studio import Trial
from airwright.physics.films import Film, before, film, over
from airwright.physics.rubber import RUBBER_KG_M3
from airwright.physics.srgb import hex_of_light, light_of_hex
from airwright.units import INCH_M

HIDING: Final[Mapping[str, float]] = {
    "matte": 1.2,
    "pearl": 0.8,
    "metallic": 2.5,
    "clear": 0.03,
}
"""Scattering times thickness of one wall at the usual size, by finish [-]. Estimated, with a
range of a third to three times; a trial of the studio's own replaces it."""

DOUBT: Final = 3.0
"""The hiding may be this many times less or more than estimated."""

ROOM: Final = 0.15
"""Share of light that comes back through the far wall from the room behind [-]."""

WHITE: Final = 0.72
"""Share of light that a balloon shown as #ffffff gives back: pictures are exposed for whites, and
no balloon is a perfect one [-]. Estimated, 0.6 to 0.85."""

DARKEST, BRIGHTEST = 0.003, 0.70
"""Share of light that a balloon gives back at the least and at the most [-]."""


@dataclass(frozen=True, slots=True, eq=False)
class Pigment:
    """A shade's rubber.

    Attributes:
        absorbs, scatters: (3,) in red, green and blue [1/m].
    """

    absorbs: Floats
    scatters: Floats


def wall_m(row: Balloon, inflated_m: float) -> float:
    """Thickness of the film of a balloon blown to a diameter [m], its mass over its skin."""
    return row.mass_g / 1000.0 / (RUBBER_KG_M3 * math.pi * inflated_m**2)


def pigment_of(shade: Shade, row: Balloon, hiding: float | None = None) -> Pigment:
    """The rubber that shows a shade's colour at the usual size.

    Args:
        shade: colour and finish.
        row: the balloon that the colour was seen on.
        hiding: scattering times thickness of one wall [-], where the studio has tried it.
    """
    strength = HIDING[shade.finish] if hiding is None else hiding
    return _pigment(shade.colour.lower(), strength, wall_m(row, row.usual_in * INCH_M))


@lru_cache(maxsize=4096)
def _pigment(colour: str, hiding: float, wall: float) -> Pigment:
    goal = np.clip(WHITE * light_of_hex(colour), DARKEST, BRIGHTEST)
    brightest = float(goal.max())
    # Light colours are light because they scatter: without absorption two walls give back at
    # least this much.
    needed = 1.05 * brightest / (2.0 * (1.0 - brightest))
    scatters = np.full(3, max(hiding, needed if hiding >= 0.1 else hiding))
    low, high = np.zeros(3), np.full(3, 1e4)
    for _ in range(60):
        middle = (low + high) / 2.0
        wall_film = film(middle, scatters, 1.0)
        seen = before(over(wall_film, wall_film), ROOM)
        low, high = np.where(seen > goal, middle, low), np.where(seen > goal, high, middle)
    return Pigment((low + high) / 2.0 / wall, scatters / wall)


def wall_film(pigment: Pigment, thickness_m: float) -> Film:
    """One wall of rubber."""
    return film(pigment.absorbs * thickness_m, pigment.scatters * thickness_m, 1.0)


def seen(outside: Film, inside: Film | None = None) -> Floats:
    """Light (3,) that comes back from a balloon, or from one in another [-].

    Args:
        outside: a wall of the outer balloon.
        inside: a wall of the inner one, None where there is none.
    """
    near = outside if inside is None else over(outside, inside)
    far = outside if inside is None else over(inside, outside)
    return before(over(near, far), ROOM)


def colour_seen(
    outside: Shade,
    inside: Shade | None,
    row: Balloon,
    inflated_m: float,
    hiding: Mapping[str, float] | None = None,
) -> str:
    """The colour of a balloon, alone or with another one in it, as "#rrggbb".

    Args:
        outside, inside: shades in stock.
        row: the size, the same for both.
        inflated_m: diameter [m].
        hiding: shade name → scattering times thickness of one wall, from trials.
    """
    known = hiding or {}
    thick = wall_m(row, inflated_m)
    walls = [
        wall_film(pigment_of(shade, row, known.get(shade.name)), thick)
        for shade in (outside, inside)
        if shade is not None
    ]
    return hex_of_light(seen(walls[0], walls[1] if len(walls) > 1 else None) / WHITE)


def hiding_from_trial(
    outside: Shade, inside: Shade, row: Balloon, inflated_m: float, colour: str
) -> float:
    """How well a shade hides, from the colour a trial showed [-].

    The one parameter that makes the prediction come nearest to the colour seen, in linear light.

    Args:
        outside, inside: the shades tried.
        row, inflated_m: size and diameter [m].
        colour: what was seen beside a grey card, "#rrggbb".
    """
    from scipy.optimize import minimize_scalar

    goal = WHITE * light_of_hex(colour)
    thick = wall_m(row, inflated_m)
    inner = wall_film(pigment_of(inside, row), thick)

    def far_off(logarithm: float) -> float:
        outer = wall_film(pigment_of(outside, row, math.exp(logarithm)), thick)
        return float(((np.cbrt(seen(outer, inner)) - np.cbrt(goal)) ** 2).sum())

    grid = np.linspace(math.log(0.01), math.log(20.0), 41)
    best = int(np.argmin([far_off(float(at)) for at in grid]))
    around = (float(grid[max(best - 1, 0)]), float(grid[min(best + 1, 40)]))
    found = minimize_scalar(far_off, bounds=around, method="bounded")
    return float(math.exp(found.x))


def hiding_of(trials: Sequence[Trial], catalog: Catalog) -> dict[str, float]:
    """Outer shade → how well it hides, the mean of its trials; unknown goods are left out."""
    logs: dict[str, list[float]] = {}
    for trial in trials:
        rows = [catalog.shades.get(name) for name in (trial.outside, trial.inside)]
        if rows[0] is None or rows[1] is None or trial.balloon.size not in catalog.balloons:
            continue
        outer, inner = (Shade(row.name, row.colour.lower(), row.finish) for row in rows if row)
        row = catalog.balloon(trial.balloon.size)
        across = trial.balloon.diameter_m or row.usual_in * INCH_M
        found = hiding_from_trial(outer, inner, row, across, trial.colour)
        logs.setdefault(trial.outside, []).append(math.log(found))
    return {name: math.exp(sum(rows) / len(rows)) for name, rows in logs.items()}
