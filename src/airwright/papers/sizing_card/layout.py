"""Where each ring goes on paper: small ones together, large ones tiled over several sheets.

All lengths are millimetres on paper, x to the right, y downwards from the upper left corner of
the drawing area.

    tile B of three, seen from above:      flap: lies under the next tile
      ┌────────────────────────┬────┐
      │ cut along the left and │flap│
      │ upper edge             │    │
      ├────────────────────────┘    │
      │ flap                        │
      └─────────────────────────────┘
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

GAP_MM: Final = 7.0
"""Between rings on a shared sheet."""
FLAP_MM: Final = 9.0
"""Overlap of neighbouring tiles, for glue or tape."""
CLEAR_MM: Final = 3.0
"""Paper kept free between a ring's line and any label."""
LABEL_MM: Final = (84.0, 34.0)
"""Width and height of the label on a tile."""


@dataclass(frozen=True, slots=True)
class Area:
    """Drawing area of a sheet, and how much of the first one the heading takes."""

    width: float
    height: float
    heading: float = 0.0


@dataclass(frozen=True, slots=True)
class Placed:
    """A ring by its index in the card, and its centre."""

    ring: int
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Tile:
    """A part of a ring too large for one sheet.

    Attributes:
        column, row: of this tile, from 0.
        columns, rows: of all tiles together.
        printed: (column, row) of the tiles the ring's line runs through; only these are sheets.
        label: upper left corner of the label, None where it would touch the line.
    """

    column: int
    row: int
    columns: int
    rows: int
    printed: tuple[tuple[int, int], ...]
    label: tuple[float, float] | None

    @property
    def name(self) -> str:
        """Row letter and column number: "A1"."""
        return name_of(self.column, self.row)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page: whole rings, or one tile of a single ring."""

    rings: tuple[Placed, ...]
    tile: Tile | None = None


def name_of(column: int, row: int) -> str:
    """Row letter and column number: "A1"; rows beyond Z count on: "AA1"."""
    letters, rest = "", row
    while True:
        letters = chr(ord("A") + rest % 26) + letters
        rest = rest // 26 - 1
        if rest < 0:
            return f"{letters}{column + 1}"


def lay_out(diameters: Sequence[float], area: Area) -> tuple[Sheet, ...]:
    """Sheets for rings of these diameters [mm].

    Rings that fit the area go together, as many as fit a sheet; each larger one gets tiles.
    """
    small = [at for at, d in enumerate(diameters) if d <= min(area.width, area.height)]
    large = [at for at in range(len(diameters)) if at not in set(small)]
    sheets = list(_shelves(diameters, small, area))
    if not sheets and area.heading:
        sheets.append(Sheet(()))
    for at in large:
        sheets += _tiles(at, diameters[at], area)
    return tuple(sheets)


def _shelves(diameters: Sequence[float], chosen: Sequence[int], area: Area) -> Iterator[Sheet]:
    """Rows of rings, smallest first; a row is as high as its largest ring."""
    placed: list[Placed] = []
    row: list[int] = []
    top, first = area.heading, True

    def width_with(extra: int) -> float:
        members = [*row, extra]
        return sum(diameters[at] for at in members) + GAP_MM * (len(members) - 1)

    def close_row() -> None:
        nonlocal top
        height = max(diameters[at] for at in row)
        left = 0.0
        for at in row:
            d = diameters[at]
            placed.append(Placed(at, left + d / 2, top + height - d / 2))
            left += d + GAP_MM
        top += height + GAP_MM
        row.clear()

    for at in chosen:
        if row and width_with(at) > area.width:
            close_row()
        tallest = max([diameters[n] for n in row], default=0.0)
        if top + max(tallest, diameters[at]) > area.height and (placed or row or first):
            if row:
                close_row()
            yield Sheet(tuple(placed))
            placed, top = [], 0.0
        row.append(at)
        first = False
    if row:
        close_row()
    if placed:
        yield Sheet(tuple(placed))


def _tiles(at: int, diameter: float, area: Area) -> list[Sheet]:
    step_x, step_y = area.width - FLAP_MM, area.height - FLAP_MM
    columns = max(1, math.ceil((diameter - FLAP_MM) / step_x))
    rows = max(1, math.ceil((diameter - FLAP_MM) / step_y))
    # The ring sits in the middle of all tiles together.
    whole_x = columns * step_x + FLAP_MM
    whole_y = rows * step_y + FLAP_MM
    printed = tuple(
        (column, row)
        for row in range(rows)
        for column in range(columns)
        if _crossed(whole_x / 2 - column * step_x, whole_y / 2 - row * step_y, diameter / 2, area)
    )
    sheets = []
    for column, row in printed:
        x, y = whole_x / 2 - column * step_x, whole_y / 2 - row * step_y
        label = _label_spot(x, y, diameter / 2, area)
        tile = Tile(column, row, columns, rows, printed, label)
        sheets.append(Sheet((Placed(at, x, y),), tile))
    return sheets


def _crossed(x: float, y: float, radius: float, area: Area) -> bool:
    """Whether a circle's line runs through the area."""
    near = math.hypot(max(-x, 0.0, x - area.width), max(-y, 0.0, y - area.height))
    far = math.hypot(max(abs(x), abs(x - area.width)), max(abs(y), abs(y - area.height)))
    return near <= radius <= far


def _label_spot(x: float, y: float, radius: float, area: Area) -> tuple[float, float] | None:
    """Where a label stands clear of the line, as near to the middle of the tile as can be."""
    wide, high = LABEL_MM
    inner = Area(area.width - 2 * FLAP_MM - wide, area.height - 2 * FLAP_MM - high)
    spots = [
        (FLAP_MM + inner.width * i / 12, FLAP_MM + inner.height * j / 12)
        for i in range(13)
        for j in range(13)
    ]
    middle = (FLAP_MM + inner.width / 2, FLAP_MM + inner.height / 2)
    spots.sort(key=lambda spot: math.dist(spot, middle))
    box = Area(wide + 2 * CLEAR_MM, high + 2 * CLEAR_MM)
    for left, top in spots:
        if not _crossed(x - left + CLEAR_MM, y - top + CLEAR_MM, radius, box):
            return left, top
    return None
