"""Where rings, strip marks and their words go on paper, at true scale.

All lengths are millimetres on paper, x to the right, y downwards from the upper left corner of
the drawing area of a sheet that lies on its long side.

    a ring sheet: one centre                a pair of strips, laid end to end
      ┌──────────────────────────┐            ┌───┬──────┬────┐┌────┬──────┬───┐
      │ (    (    (  +  )    )   )│            │   15     11   ││   11     15   │
      └──────────────────────────┘            └───┴──────┴────┘└────┴──────┴───┘
        a ring wider than the sheet is                        ▲ the two ends touch
        high shows its left and right
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

CLEAR_MM: Final = 5.0
"""Between the lines of neighbouring rings of one sheet, where that can be had."""
MOST_RINGS: Final = 7
"""Rings a sheet holds before another one is begun."""
MOST_SHEETS: Final = 6
"""Of a card, the first with the list of sizes included."""
MOST_RING_SHEETS: Final = 3
MOST_STRIP_SHEETS: Final = 2
TAG_HIGH_MM: Final = 4.6
"""Height of a ring's words, set along its line."""
STRIP_END_MM: Final = 8.0
"""Paper kept free beyond the last mark of a strip."""
MARK_APART_MM: Final = 16.0
"""Marks nearer to each other than this have their words in different rows."""
MARK_ROWS: Final = 4
MOST_BESIDE: Final = 6
"""Strings that find room below a pair of strips."""


@dataclass(frozen=True, slots=True)
class Area:
    """Drawing area of a sheet."""

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class RingLine:
    """A ring by its index in the card, and where its words stand on it.

    Attributes:
        turn_deg: direction of the words from the centre, anticlockwise, 90 straight up.
        whole: whether the whole ring is on the sheet; else its left and right are.
    """

    ring: int
    diameter: float
    turn_deg: float
    whole: bool


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark of a strip: half a diameter from the end that touches the other strip.

    Attributes:
        row: of its words, from 0.
    """

    ring: int
    half: float
    row: int


@dataclass(frozen=True, slots=True)
class Layout:
    """What goes on which sheet; indices into the card's rings.

    Attributes:
        ring_sheets: rings with one centre, a tuple a sheet.
        strip_sheets: marks of a pair of strips, a tuple a sheet.
        strings: measured with a string, being too large for the strips.
    """

    ring_sheets: tuple[tuple[RingLine, ...], ...]
    strip_sheets: tuple[tuple[Mark, ...], ...]
    strings: tuple[int, ...]


def lay_out(diameters: Sequence[float], area: Area) -> Layout:
    """Deal diameters [mm], smallest first, to rings, strips and strings.

    A ring goes as wide as the sheet, a strip as long as the sheet is wide; strips hold every size
    up to that, since a balloon stands between two boxes more exactly than it fits a drawn line.
    """
    ringed = [at for at, d in enumerate(diameters) if d <= area.width]
    longest = area.width - STRIP_END_MM
    stripped = [at for at, d in enumerate(diameters) if d / 2 <= longest]
    strips = tuple(_strip_sheet(chosen, diameters) for chosen in _strip_groups(stripped))
    strings = tuple(at for at in range(len(diameters)) if at not in set(stripped))
    others = 1 + len(strips) + (not strings_beside(strips, strings))
    groups = _ring_groups(ringed, diameters, min(MOST_RING_SHEETS, MOST_SHEETS - others))
    rings = tuple(_ring_sheet(chosen, diameters, area) for chosen in groups)
    return Layout(rings, strips, strings)


def strings_beside(strips: Sequence[Sequence[Mark]], strings: Sequence[int]) -> bool:
    """Whether the strings need no sheet of their own: there are none, or few below the strips."""
    return not strings or (len(strips) > 0 and len(strings) <= MOST_BESIDE)


def _ring_groups(chosen: Sequence[int], diameters: Sequence[float], most: int) -> list[list[int]]:
    """As few sheets as hold the rings clear of each other; neighbours go to different ones."""
    for sheets in range(1, most + 1):
        groups = [list(chosen[first::sheets]) for first in range(sheets)]
        if all(_clear(group, diameters) for group in groups):
            break
    return [group for group in groups if group]


def _clear(group: Sequence[int], diameters: Sequence[float]) -> bool:
    gaps = [(diameters[b] - diameters[a]) / 2 for a, b in pairwise(group)]
    return len(group) <= MOST_RINGS and all(gap >= CLEAR_MM for gap in gaps)


def _ring_sheet(
    chosen: Sequence[int], diameters: Sequence[float], area: Area
) -> tuple[RingLine, ...]:
    placed: list[RingLine] = []
    for at in chosen:
        d = diameters[at]
        whole = d <= area.height
        turn = _free_turn(d, placed, area)
        placed.append(RingLine(at, d, turn, whole))
    return tuple(placed)


def _free_turn(diameter: float, placed: Sequence[RingLine], area: Area) -> float:
    """A direction where the words stand on the sheet and clear of the words of other rings."""
    radius = diameter / 2
    if diameter <= area.height - 2 * TAG_HIGH_MM:
        wishes = [90.0, 60.0, 120.0, 30.0, 150.0, 270.0, 240.0, 300.0]
    else:
        # Upright on the left and right, where the line is on the sheet.
        steep = math.degrees(math.asin(min(1.0, (area.height / 2 - 22.0) / radius)))
        wishes = [share * steep + side for share in (0.0, 0.8, -0.8) for side in (0.0, 180.0)]
        limit = area.width / 2 - TAG_HIGH_MM
        wishes = [turn for turn in wishes if radius * abs(math.cos(math.radians(turn))) <= limit]
        wishes = wishes or [0.9 * steep]
    for turn in wishes:
        if all(_apart(radius, turn, other) for other in placed):
            return turn
    return wishes[len(placed) % len(wishes)]


def _apart(radius: float, turn_deg: float, other: RingLine) -> bool:
    if abs(radius - other.diameter / 2) >= TAG_HIGH_MM:
        return True
    between = abs((turn_deg - other.turn_deg + 180.0) % 360.0 - 180.0)
    return radius * math.radians(between) >= 36.0


def _strip_groups(chosen: Sequence[int]) -> list[list[int]]:
    if not chosen:
        return []
    sheets = 1 if len(chosen) <= 3 * MARK_ROWS else MOST_STRIP_SHEETS
    return [list(chosen[first::sheets]) for first in range(sheets)]


def _strip_sheet(chosen: Sequence[int], diameters: Sequence[float]) -> tuple[Mark, ...]:
    last = [-math.inf] * MARK_ROWS
    marks = []
    for at in chosen:
        half = diameters[at] / 2
        free = (row for row in range(MARK_ROWS) if half - last[row] >= MARK_APART_MM)
        row = next(free, min(range(MARK_ROWS), key=lambda row: last[row]))
        last[row] = half
        marks.append(Mark(at, half, row))
    return tuple(marks)
