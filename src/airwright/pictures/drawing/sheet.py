"""A chart's sheet of paper: its sizes, its words, and a balloon as a named spot.

Here a user unit is a millimetre of the paper.
"""

from __future__ import annotations

from dataclasses import dataclass

from airwright.decor.assembly import Shade
from airwright.pictures.drawing.compose import words
from airwright.pictures.drawing.ring import swatch
from airwright.pictures.drawing.text import DARK, fit, ink_on
from airwright.pictures.drawing.values import DrawingError, Element

SOFT = "#8a837a"
READABLE_MM = 2.2
"""A name that would be smaller than this in its cell is shortened [mm]."""
SMALLEST_MM = 1.3
"""Smaller letters are left out [mm]; the words beside the spot say it."""


@dataclass(frozen=True, slots=True)
class Style:
    """Sizes on paper [mm].

    `rows`: layers in one block before the next one begins beside it; `width`: of the sheet;
    `sizes`: whether the sizes are told below.
    """

    cell: float = 9.5
    rows: int = 24
    width: float = 180.0
    ring: float = 26.0
    line: float = 4.6
    sizes: bool = True

    def __post_init__(self) -> None:
        if not (2.0 <= self.cell <= 60.0 and self.rows >= 1 and self.width >= 30.0):
            raise DrawingError(
                "The chart's cells cannot be drawn at this size.",
                "Take cells of 2 to 60 mm, at least one row a block, and 30 mm of width.",
            )


class Sheet:
    """A sheet that is filled from the top down."""

    def __init__(self, style: Style) -> None:
        self.style = style
        self.elements: list[Element] = []
        self.shortened: set[str] = set()
        self.right = 0.0
        self.bottom = 0.0

    def add(self, kind: str, markup: str, row: int | None = None) -> None:
        self.elements.append(Element(kind, markup, row))

    def say(
        self, text: str, x: float, y: float, size: float, colour: str = DARK, **more: object
    ) -> None:
        anchor = str(more.get("anchor", "middle"))
        kind = str(more.get("kind", "label"))
        self.add(kind, words(text, x, y, size, colour, anchor=anchor, bold=bool(more.get("bold"))))

    def reach(self, right: float, bottom: float) -> None:
        self.right, self.bottom = max(self.right, right), max(self.bottom, bottom)


def spot(
    sheet: Sheet, shade: Shade, label: str, x: float, y: float, radius: float, row: int | None
) -> None:
    """A balloon of a chart: a flat spot with its shade's name, short where it must be."""
    sheet.add("cell", swatch(shade, x, y, radius), row)
    room, largest = 1.72 * radius, min(3.1, 1.1 * radius)
    text = shade.name if fit(shade.name, room, largest) >= READABLE_MM else label
    if text != shade.name:
        sheet.shortened.add(shade.name)
    size = fit(text, room, largest)
    if size < SMALLEST_MM:
        return
    sheet.say(text, x, y + 0.36 * size, size, ink_on(shade.colour), kind="cell-label")
