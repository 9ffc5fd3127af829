"""The words printed on a board or stuck on a balloon, as shapes, for every kind of picture."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from airwright.catalog import own_font
from airwright.decor.assembly import Floats, HardwarePlaced, Shade
from airwright.pictures.lettering import FontRefused, letters_of, read_font

if TYPE_CHECKING:
    from shapely import Polygon

BOARDS = ("board", "sign")
"""Uses of hardware whose path is the outline of a flat face."""

FONT = "serif"
ROOM = {"sign": (0.74, 0.62), "board": (0.5, 0.25)}
"""Share of width and height that words may fill: all of a sign, the middle of a backdrop."""
BALLOON_ROOM = (1.34, 0.86)
"""Width and height that words on a balloon may fill [radii]: their corners stay within 0.8, where
they still look at whoever stands before it."""
LEADING = 1.7
"""From line to line, in cap heights."""
MOST_LINES = 4
DARK_INK, LIGHT_INK = "#2b2a2e", "#f6f3ec"


@cache
def _font() -> Any:
    return read_font(own_font(FONT))


def printed_ink(colour: str) -> str:
    """Dark ink on a light board, light ink on a dark one; colours as "#rrggbb"."""
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return DARK_INK if 0.3 * red + 0.59 * green + 0.11 * blue > 130 else LIGHT_INK


def ink_for(shade: Shade) -> str:
    """Ink that reads on a balloon of a shade; on a mirror dark ink, which no gloss drowns."""
    return DARK_INK if shade.finish == "metallic" else printed_ink(shade.colour)


def words_on(part: HardwarePlaced) -> tuple[Polygon, ...]:
    """The letters on a board's face, right and up from its middle [m]; none without a text."""
    if part.use not in BOARDS or not part.text.strip():
        return ()
    ring = np.asarray(part.path, dtype=float)
    wide, tall = float(np.ptp(ring[:, 0])), float(np.ptp(ring[:, 2]))
    room_wide, room_tall = ROOM[part.use]
    return _laid_out(part.text, round(room_wide * wide, 4), round(room_tall * tall, 4))


def words_on_balloon(mark: str | None) -> tuple[Polygon, ...]:
    """The letters on a balloon's front, right and up from its middle [radii]; none for dots."""
    if mark is None or is_dots(mark) or not mark.strip():
        return ()
    return _laid_out(mark, *BALLOON_ROOM)


def is_dots(mark: str) -> bool:
    """Whether a print is dots all over, and no words."""
    return mark.strip().lower() == "dots"


def middle_of(part: HardwarePlaced) -> Floats:
    """The middle (3,) of a board's face [m]."""
    ring = np.asarray(part.path, dtype=float)
    middle: Floats = (ring.min(axis=0) + ring.max(axis=0)) / 2
    return middle


@lru_cache(maxsize=64)
def _laid_out(text: str, wide: float, tall: float) -> tuple[Polygon, ...]:
    """The layout in one to four lines, within a room [m], whose letters come out largest."""
    words = "".join(sign for sign in text if ord(sign) in _font().getBestCmap()).split()
    layouts = [_lines(words, many) for many in range(1, min(MOST_LINES, len(words)) + 1)]
    drawn = [[_line(line) for line in layout] for layout in layouts]
    fitting = [rows for rows in drawn if rows and all(rows)]
    if not fitting:
        return ()
    best = max(fitting, key=lambda rows: _cap(rows, wide, tall))
    cap = _cap(best, wide, tall)
    return tuple(
        _moved(shape, cap, -cap * _reach(row) / 2, cap * _base(number, len(best)))
        for number, row in enumerate(best)
        for shape in row
    )


def _lines(words: list[str], many: int) -> list[str]:
    """Words in so many lines, as equally long as can be."""
    room = sum(map(len, words)) / many
    lines: list[str] = [""]
    for word in words:
        if lines[-1] and len(lines[-1]) + len(word) / 2 > room and len(lines) < many:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _line(line: str) -> list[Polygon]:
    """Letters with capitals one high, beginning at 0."""
    try:
        return [part for letter in letters_of(line, _font(), 1.0) for part in letter.shape.geoms]
    except FontRefused:
        return []


def _reach(row: list[Polygon]) -> float:
    return float(max(shape.bounds[2] for shape in row))


def _cap(rows: list[list[Polygon]], wide: float, tall: float) -> float:
    """Cap height at which the lines fill the room [m]."""
    high = 1.0 + LEADING * (len(rows) - 1)
    return min(wide / max(map(_reach, rows)), tall / high)


def _base(number: int, many: int) -> float:
    """Where a line's baseline lies, in cap heights above the middle of the board."""
    return LEADING * ((many - 1) / 2 - number) - 0.5


def _moved(shape: Polygon, scale: float, x: float, y: float) -> Polygon:
    from shapely.affinity import affine_transform

    return affine_transform(shape, [scale, 0.0, 0.0, scale, x, y])


def triangles_of(shape: Polygon) -> Floats:
    """Corners (t, 3, 2) of triangles that fill a shape."""
    from shapely import constrained_delaunay_triangles

    made = constrained_delaunay_triangles(shape)
    return np.array([np.asarray(part.exterior.coords)[:3] for part in made.geoms])
