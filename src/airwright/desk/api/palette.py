"""The colours of an inspiration picture, and the shades in stock that come nearest to each."""

from __future__ import annotations

import io
import warnings
from collections.abc import Mapping
from functools import lru_cache

from PIL import Image, ImageOps, UnidentifiedImageError

from airwright.catalog import Catalog
from airwright.desk.editing.edits import EditError
from airwright.desk.editing.job_state import Answer
from airwright.language import message

LARGEST_PICTURE = 12_000_000
"""Bytes; what telephones take is smaller."""

SIDE_PX = 160
MOST_COLOURS = 8
LEAST_SHARE = 0.02
ALIKE = 8.0
"""CIEDE2000 below which two colours of a picture count as one."""


class Tone(Answer):
    """A colour of a picture ("#rrggbb"), its share (0 to 1), and the nearest shade in stock.

    `shade_colour` and `finish` are the shade's; `apart` is how far off it is, CIEDE2000.
    """

    colour: str
    share: float
    shade: str
    shade_colour: str
    finish: str
    apart: float


def palette(data: bytes, catalog: Catalog) -> tuple[Tone, ...]:
    """The main colours of a picture, most of it first. Raises EditError."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=("PNG", "JPEG", "WEBP", "GIF")) as opened:
                small = ImageOps.exif_transpose(opened).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, Warning, SyntaxError) as problem:
        raise EditError(
            message("This is no picture we can read."), message("Send a PNG or JPEG.")
        ) from problem
    small.thumbnail((SIDE_PX, SIDE_PX))
    reduced = small.quantize(2 * MOST_COLOURS, method=Image.Quantize.MEDIANCUT)
    pixels, raw = small.width * small.height, reduced.getpalette() or []
    found: list[tuple[str, float]] = []
    for number, index in sorted(reduced.getcolors() or [], reverse=True):
        at = 3 * int(index) if isinstance(index, int) else 0
        colour = "#{:02x}{:02x}{:02x}".format(*raw[at : at + 3])
        twin = next((k for k, (c, _) in enumerate(found) if apart(c, colour) < ALIKE), None)
        if twin is None:
            found.append((colour, number / pixels))
        else:
            found[twin] = (found[twin][0], found[twin][1] + number / pixels)
    found = sorted(found, key=lambda entry: -entry[1])[:MOST_COLOURS]
    stock = {row.name: (row.colour, row.finish) for row in catalog.shades.values()}
    return tuple(_tone(c, share, stock) for c, share in found if share >= LEAST_SHARE)


def _tone(colour: str, share: float, stock: Mapping[str, tuple[str, str]]) -> Tone:
    name = min(stock, key=lambda name: apart(colour, stock[name][0]))
    shade_colour, finish = stock[name]
    return Tone(
        colour=colour,
        share=round(share, 3),
        shade=name,
        shade_colour=shade_colour,
        finish=finish,
        apart=round(apart(colour, shade_colour), 1),
    )


@lru_cache(maxsize=10_000)
def apart(one: str, other: str) -> float:
    """How unlike two colours are: CIEDE2000 (Sharma, Wu and Dalal 2005)."""
    from coloraide import Color

    return float(Color(one).delta_e(Color(other), method="2000"))
