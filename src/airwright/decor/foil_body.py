"""Foil balloons in the shape of letters and figures: outline, gas and film.

Two flat sheets of film welded round a stroke of width w blow up to a round bar whose
circumference is 2 w, so a stroke of length l holds l w² / pi. Over the whole outline, with d the
distance from the rim, that is

    V = 4 / pi * integral of d dA        (a strip: exact; a disc: 4/3 R³, where a round foil
                                          holds 1.2185 R³, so 9 % too much)
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from airwright.decor.assembly import Stock
from airwright.decor.parts.bold_glyphs import bold_glyph

if TYPE_CHECKING:
    from shapely import MultiPolygon

FOIL_STROKE: Final = 0.27
"""Width of a foil letter's strokes over its height, flat. From memory: 9 in on a 34 in one."""

GRID: Final = 90
"""Grid points over the height of a letter: its volume within 1 %."""


def foil_sign(outline: str | None) -> str | None:
    """The letter or figure that an outline is, None for stars and the like."""
    if outline is None:
        return None
    sign = outline.split()[-1] if outline.split()[:1] in (["letter"], ["figure"]) else outline
    return sign if len(sign) == 1 else None


def foil_shape(sign: str) -> MultiPolygon:
    """Outline of a letter or figure laid flat, a capital one high. Raises FontRefused."""
    return bold_glyph(sign, "sans", FOIL_STROKE).shape


@lru_cache(maxsize=256)
def foil_measures(sign: str) -> tuple[float, float]:
    """Flat area, and volume when full, a capital being one high [-]. Raises FontRefused."""
    import shapely

    shape = foil_shape(sign)
    x0, y0, x1, y1 = shape.bounds
    step = (y1 - y0) / GRID
    xs = np.arange(x0 + step / 2, x1, step)
    ys = np.arange(y0 + step / 2, y1, step)
    points = shapely.points(*np.meshgrid(xs, ys))
    shapely.prepare(shape)
    inward = shapely.distance(shape.boundary, points)[shapely.contains(shape, points)]
    return float(shape.area), float(4 / np.pi * inward.sum() * step**2)


def letter_volume(stock: Stock) -> float | None:
    """Gas in a foil letter or figure [m³], None for any other balloon."""
    sign = foil_sign(stock.outline)
    return None if sign is None else foil_measures(sign)[1] * stock.nominal_m**3


def letter_film(stock: Stock) -> float | None:
    """Film of a foil letter or figure, both sides [m²], None for any other balloon."""
    sign = foil_sign(stock.outline)
    return None if sign is None else 2 * foil_measures(sign)[0] * stock.nominal_m**2
