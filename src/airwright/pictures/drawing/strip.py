"""The turn-around: a piece from eight sides, side by side."""

from __future__ import annotations

import math
from dataclasses import replace

from airwright.decor.assembly import Assembly
from airwright.pictures.drawing.around import INK
from airwright.pictures.drawing.compose import Put, together, words
from airwright.pictures.drawing.draw import draw
from airwright.pictures.drawing.values import (
    PAPER_SCALE,
    Box,
    Drawing,
    DrawingError,
    Element,
    Options,
    Sight,
)

ELEVATION_RAD = math.radians(8.0)
SIDES = {0: "front", 90: "right side", 180: "back", 270: "left side"}


def draw_turnaround(
    assembly: Assembly, *, views: int = 8, elevation_rad: float = ELEVATION_RAD
) -> Drawing:
    """Draw a piece from so many sides, each an equal turn to the viewer's right further.

    Raises:
        DrawingError: fewer than 2 or more than 36 views.
    """
    if not 2 <= views <= 36:
        raise DrawingError(f"A turn-around of {views} views is none.", "Take 2 to 36; 8 is usual.")
    options = Options(margin_m=0.0)
    turns = [2 * math.pi * k / views for k in range(views)]
    drawn = [draw(assembly, Sight(turn, elevation_rad), options=options) for turn in turns]
    half = max(max(-d.canvas.left, d.canvas.right) for d in drawn)
    top, bottom = min(d.canvas.top for d in drawn), max(d.canvas.bottom for d in drawn)
    size = max(0.034 * (bottom - top), 14.0)
    pitch = 2 * half + max(0.08 * (bottom - top), 20.0)
    puts = [Put(d, (k + 0.5) * pitch, -top) for k, d in enumerate(drawn)]
    canvas = Box(0.0, -0.5 * size, views * pitch, bottom - top + 2.6 * size)
    sheet = together(assembly.name, puts, canvas, PAPER_SCALE)
    labels = tuple(
        Element(
            "label",
            words(_side(k, views), (k + 0.5) * pitch, bottom - top + 1.7 * size, size, INK),
        )
        for k in range(views)
    )
    return replace(sheet, elements=(*sheet.elements, *labels))


def _side(k: int, views: int) -> str:
    degrees = 360.0 * k / views
    return SIDES.get(round(degrees), f"{degrees:.0f}°") if degrees % 1 == 0 else f"{degrees:.1f}°"
