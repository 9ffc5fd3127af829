"""Letters and figures as frames are cut: strokes widened evenly, corners rounded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final, Literal

from airwright.catalog import own_font
from airwright.decor.glyphs import FontRefused, letters_of, read_font
from airwright.language import message

if TYPE_CHECKING:
    from shapely import MultiPolygon

FontName = Literal["sans", "serif"]

STEM: Final = "I"
"""The letter whose stroke tells how bold a font is."""

FINE: Final = 1e-3
"""How far rounded corners may lie off, in heights."""


@dataclass(frozen=True, slots=True, eq=False)
class Glyph:
    """One letter, a capital being one high, its left edge at x = 0 and the baseline at y = 0."""

    sign: str
    shape: MultiPolygon

    @property
    def width(self) -> float:
        """Left to right, in heights of a capital [-]."""
        return float(self.shape.bounds[2])


@lru_cache(maxsize=2)
def _opened(font: FontName) -> Any:
    return read_font(own_font(font))


@lru_cache(maxsize=2)
def _stem(font: FontName) -> float:
    """Width of a stroke over the height of a capital [-]."""
    import shapely

    (letter,) = letters_of(STEM, _opened(font), 1.0)
    return 2 * float(shapely.maximum_inscribed_circle(letter.shape).length)


@lru_cache(maxsize=256)
def bold_glyph(sign: str, font: FontName, stroke: float) -> Glyph:
    """A sign with strokes of a width.

    Args:
        sign: one character, no blank.
        font: one of ours.
        stroke: width of its strokes over the height of a capital [-].

    Raises:
        FontRefused: the font does not hold it, or its strokes run together.
    """
    from shapely import MultiPolygon
    from shapely.affinity import affine_transform

    (letter,) = letters_of(sign, _opened(font), 1.0)
    # With every stroke widened by 2 w a capital is 1 + 2 w high: (stem + 2 w) / (1 + 2 w) = stroke.
    wider = (stroke - _stem(font)) / 2 / (1 - stroke)
    shape = letter.shape.buffer(wider).simplify(FINE)
    if shape.is_empty:
        raise FontRefused(
            message('The strokes of "{sign}" are thinner than that.', sign=sign),
            message("Make the strokes wider."),
        )
    scale = 1 / (1 + 2 * wider)
    left = shape.bounds[0]
    placed = affine_transform(shape, [scale, 0, 0, scale, -left * scale, wider * scale])
    parts = placed.geoms if placed.geom_type == "MultiPolygon" else [placed]
    return Glyph(sign, MultiPolygon(list(parts)))


def refused_signs(text: str, font: FontName) -> Iterator[str]:
    """Signs of a text that a font does not hold, each once."""
    known = _opened(font).getBestCmap()
    for sign in dict.fromkeys(text):
        if not sign.isspace() and ord(sign) not in known:
            yield sign
