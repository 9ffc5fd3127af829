"""The floor plan: pieces seen from above where they stand, at a scale that a ruler reads.

Here a user unit is a millimetre of the paper; the world's y (away from the guests) runs up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from airwright.catalog import Family
from airwright.decor.assembly import Assembly, Floats
from airwright.decor.standing import gap
from airwright.pictures.drawing.draw import check
from airwright.pictures.drawing.flat import hull
from airwright.pictures.drawing.ring import swatch
from airwright.pictures.drawing.sheet import SOFT, Sheet, Style
from airwright.pictures.drawing.svg import number
from airwright.pictures.drawing.tags import put_tags
from airwright.pictures.drawing.text import BLACK, width_of
from airwright.pictures.drawing.values import MM, Box, Drawing, DrawingError
from airwright.units import FOOT_M, System

SCALES: Final = (10, 20, 25, 50, 75, 100, 150, 200, 250, 300, 500, 750, 1000, 2000, 5000)
"""World over paper: the usual steps of drawings, so that a scale ruler fits."""

LINES_APART_MM: Final = 8.0
"""Lines of the floor's grid are at least so far apart on paper."""
ROUND_M: Final = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0)
ROUND_FT: Final = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)

LINE: Final = "#e3ddd3"
AXIS: Final = "#8a837a"
MARGIN_M: Final = 0.6
"""Free floor round everything that stands."""
EDGE_MM: Final = 9.0
"""Room for the figures along the edges."""
COARSE: Final = 500
"""Beyond this scale columns are dots; a piece far from all others is rather left off the plan."""
DOOR_WORD_M: Final = 0.12
"""How far behind the door its name stands [m]."""
FEW: Final = 0.25
"""At most this share of the pieces is left off."""


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """One copy of a piece on the floor.

    Attributes:
        tag: the number it goes by on the plan; "" for the door.
        assembly: the piece, over its own origin.
        x, y: where its origin stands: right of the middle, away from the front edge [m].
        turn: anticlockwise from above [rad].
    """

    tag: str
    assembly: Assembly
    x: float
    y: float
    turn: float = 0.0

    @property
    def ground(self) -> Floats:
        """Left, front, right, back of the floor it covers [m]."""
        low, high = self.assembly.bounds
        c, s = math.cos(self.turn), math.sin(self.turn)
        corners = [(x, y) for x in (low[0], high[0]) for y in (low[1], high[1])]
        xs = [self.x + c * x - s * y for x, y in corners]
        ys = [self.y + s * x + c * y for x, y in corners]
        return np.asarray([min(xs), min(ys), max(xs), max(ys)], dtype=np.float64)


def apart_m(assembly: Assembly) -> float:
    """From the middle of one copy to that of the next where copies stand side by side [m]."""
    low, high = assembly.bounds
    wide = float(high[0] - low[0])
    return wide + gap(wide, wide)


def about(
    tag: str, assembly: Assembly, count: int, x: float, y: float, facing_deg: float
) -> tuple[Placed, ...]:
    """Copies of a piece side by side about its spot, along its own front.

    Args:
        tag: its number.
        assembly: the piece.
        count: copies.
        x, y: the spot: right of the middle and away from the front edge of the floor [m].
        facing_deg: anticlockwise from above.
    """
    step = apart_m(assembly)
    turn = math.radians(facing_deg)
    along = [(copy - (count - 1) / 2) * step for copy in range(count)]
    return tuple(
        Placed(tag, assembly, x + a * math.cos(turn), y + a * math.sin(turn), turn) for a in along
    )


def draw_floor_plan(
    placed: Sequence[Placed], width_mm: float, height_mm: float, *, system: System = System.FEET
) -> Drawing:
    """Draw the floor with everything that has its place on it.

    The cross is the middle of the floor's front edge, from where all is measured; guests stand
    below. The scale is the largest usual one at which all of it fits the paper.

    Args:
        placed: copies on the floor.
        width_mm, height_mm: paper there is.
        system: metres or feet for the grid and its figures.

    Raises:
        DrawingError: nothing is placed, or it lies too far apart for the paper.
    """
    if not placed:
        raise DrawingError("No piece has a place on the floor.", "Give at least one a spot.")
    for one in placed:
        check(one.assembly)
    box = _floor(placed)
    scale = _scale(box, width_mm - 2 * EDGE_MM, height_mm - 2 * EDGE_MM)
    paper = _Paper(box, scale)
    sheet = Sheet(Style())
    _grid(sheet, paper, system)
    _front(sheet, paper)
    for one in sorted(placed, key=lambda one: -one.y):
        _piece(sheet, paper, one)
    _cross(sheet, paper)
    canvas = Box(0.0, 0.0, paper.width + 2 * EDGE_MM, paper.height + 2 * EDGE_MM)
    # Numbers keep off the figures along the foot.
    free = (0.0, 0.0, canvas.width, canvas.height - EDGE_MM)
    numbered = [one for one in placed if one.tag]
    put_tags(sheet, numbered, [paper.on(one) for one in numbered], free)
    title = f"Floor plan, 1:{scale}"
    return Drawing(title, canvas, canvas, tuple(sheet.elements), (), 1.0)


def near_ones(
    placed: Sequence[Placed], width_mm: float, height_mm: float
) -> tuple[tuple[Placed, ...], tuple[str, ...]]:
    """What can be drawn at a scale that shows something, and the numbers of what is too far off.

    One piece hundreds of metres away would shrink all others to dots; it is left to the table.

    Args:
        placed: copies on the floor.
        width_mm, height_mm: paper there is.
    """
    kept, off = list(placed), list[str]()
    most = int(FEW * len({one.tag for one in placed}))
    room = (width_mm - 2 * EDGE_MM, height_mm - 2 * EDGE_MM)
    while kept and _needed(_floor(kept), *room) > COARSE:
        if len(off) == most:
            return tuple(placed), ()
        x, y = np.median([(one.x, one.y) for one in kept], axis=0)
        off.append(max(kept, key=lambda one: math.hypot(one.x - x, one.y - y)).tag)
        kept = [one for one in kept if one.tag not in off]
    return tuple(kept), tuple(off)


def scale_of(drawing: Drawing) -> int:
    """World over paper of a floor plan."""
    return int(drawing.title.rpartition(":")[2])


@dataclass(frozen=True, slots=True)
class _Paper:
    """From the floor [m] to the paper [mm]."""

    box: Floats
    scale: int

    @property
    def mm(self) -> float:
        """Paper [mm] a metre of floor."""
        return MM / self.scale

    @property
    def width(self) -> float:
        return float(self.box[2] - self.box[0]) * self.mm

    @property
    def height(self) -> float:
        return float(self.box[3] - self.box[1]) * self.mm

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a point of the floor lies on paper."""
        return (
            EDGE_MM + (x - float(self.box[0])) * self.mm,
            EDGE_MM + (float(self.box[3]) - y) * self.mm,
        )

    def on(self, one: Placed) -> tuple[float, float, float, float]:
        """Left, top, right, foot of the paper a copy covers [mm]."""
        left, front, right, back = (float(v) for v in one.ground)
        return (*self.at(left, back), *self.at(right, front))


def _floor(placed: Sequence[Placed]) -> Floats:
    """Left, front, right, back [m]; the cross is always on it, and numbers have room behind."""
    grounds = np.asarray([one.ground for one in placed])
    return np.asarray(
        [
            min(float(grounds[:, 0].min()), 0.0) - MARGIN_M,
            min(float(grounds[:, 1].min()), 0.0) - MARGIN_M,
            max(float(grounds[:, 2].max()), 0.0) + MARGIN_M,
            max(float(grounds[:, 3].max()), 0.0) + MARGIN_M,
        ]
    )


def _scale(box: Floats, wide_mm: float, high_mm: float) -> int:
    needed = _needed(box, wide_mm, high_mm)
    for scale in SCALES:
        if scale >= needed:
            return scale
    wide, deep = float(box[2] - box[0]), float(box[3] - box[1])
    raise DrawingError(
        f"A floor of {wide:.0f} by {deep:.0f} m does not fit the paper at any usual scale.",
        "Bring the spots nearer together.",
    )


def _needed(box: Floats, wide_mm: float, high_mm: float) -> float:
    """World over paper at which a floor just fits."""
    wide, deep = float(box[2] - box[0]), float(box[3] - box[1])
    return max(wide * MM / max(wide_mm, 1e-9), deep * MM / max(high_mm, 1e-9))


def _grid(sheet: Sheet, paper: _Paper, system: System) -> None:
    """Round lines both ways, with their distance from the cross."""
    unit, steps, sign = (FOOT_M, ROUND_FT, "ft") if system is System.FEET else (1.0, ROUND_M, "m")
    step = next((s for s in steps if s * unit * paper.mm >= LINES_APART_MM), steps[-1])
    left, front, right, back = (float(v) for v in paper.box)
    top, foot = paper.at(0.0, back)[1], paper.at(0.0, front)[1]
    for k in _lines(left, right, step * unit):
        x = paper.at(k * step * unit, 0.0)[0]
        sheet.add("grid", _line(x, top, x, foot))
        sheet.say(f"{abs(k) * step:g}", x, foot + 4.2, 2.5, SOFT)
    for k in _lines(front, back, step * unit):
        y = paper.at(0.0, k * step * unit)[1]
        sheet.add("grid", _line(EDGE_MM, y, EDGE_MM + paper.width, y))
        sheet.say(f"{k * step:g}", EDGE_MM - 1.4, y + 0.9, 2.5, SOFT, anchor="end")
    sheet.say(sign, EDGE_MM + paper.width + 1.4, foot + 4.2, 2.5, SOFT, anchor="start")


def _lines(low: float, high: float, step: float) -> range:
    return range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)


def _line(x1: float, y1: float, x2: float, y2: float, ink: str = LINE, wide: float = 0.25) -> str:
    ends = zip(("x1", "y1", "x2", "y2"), (x1, y1, x2, y2), strict=True)
    return (
        f"<line {' '.join(f'{name}={chr(34)}{number(v, 2)}{chr(34)}' for name, v in ends)} "
        f'stroke="{ink}" stroke-width="{number(wide, 2)}"/>'
    )


def _front(sheet: Sheet, paper: _Paper) -> None:
    """The front edge of the floor, and the guests' side, below the figures: no piece covers it."""
    y = paper.at(0.0, 0.0)[1]
    sheet.add("edge", _line(EDGE_MM, y, EDGE_MM + paper.width, y, AXIS, 0.5))
    text = "guests on this side"
    if width_of(text) * 2.8 < paper.width + 2 * EDGE_MM:
        foot = EDGE_MM + paper.height
        sheet.say(text, EDGE_MM + paper.width / 2, foot + 8.0, 2.8, SOFT)


def _piece(sheet: Sheet, paper: _Paper, one: Placed) -> None:
    """Balloons from above, the lower ones first, and a nose on the side of the front."""
    made = one.assembly.moved((one.x, one.y, 0.0), one.turn)
    _footprint(sheet, paper, made)
    if not one.tag:
        sheet.say("door", *paper.at(one.x, one.y + DOOR_WORD_M), 2.8, SOFT)
        return
    for row in np.argsort(made.centre[:, 2], kind="stable"):
        if made.stocks[int(made.stock[row])].family is Family.MODELLING:
            continue  # ties are lines, and too thin to find anything by
        x, y = paper.at(float(made.centre[row, 0]), float(made.centre[row, 1]))
        shade = made.shades[int(made.shade[row])]
        sheet.add("balloon", swatch(shade, x, y, float(made.radius[row]) * paper.mm), int(row))
    low, high = one.assembly.bounds
    x, y = (float(low[0]) + float(high[0])) / 2, float(low[1])
    c, s = math.cos(one.turn), math.sin(one.turn)
    tip = [(x - 0.11, y - 0.05), (x, y - 0.24), (x + 0.11, y - 0.05)]
    turned = [paper.at(one.x + c * a - s * b, one.y + s * a + c * b) for a, b in tip]
    points = " ".join(f"{number(a, 2)},{number(b, 2)}" for a, b in turned)
    sheet.add("nose", f'<polygon points="{points}" fill="{AXIS}"/>')


def _footprint(sheet: Sheet, paper: _Paper, made: Assembly) -> None:
    """Plates that stand on the floor, so that a lone pole shows too."""
    for part in made.hardware:
        if len(part.path) == 1 and part.diameter_m > 0:
            x, y = paper.at(part.path[0][0], part.path[0][1])
            radius = max(part.diameter_m / 2 * paper.mm, 0.5)
            sheet.add(
                "hardware",
                f'<circle cx="{number(x, 2)}" cy="{number(y, 2)}" r="{number(radius, 2)}" '
                f'fill="#cfc8bd" stroke="{AXIS}" stroke-width="0.2"/>',
            )
        elif len(part.path) > 1:
            flat = hull(np.asarray([paper.at(p[0], p[1]) for p in part.path]))
            for (x1, y1), (x2, y2) in zip(flat, np.roll(flat, -1, axis=0), strict=True):
                sheet.add("hardware", _line(x1, y1, x2, y2, AXIS, 0.4))


def _cross(sheet: Sheet, paper: _Paper) -> None:
    x, y = paper.at(0.0, 0.0)
    for dx, dy in ((2.6, 0.0), (0.0, 2.6)):
        sheet.add("cross", _line(x - dx, y - dy, x + dx, y + dy, BLACK, 0.7))
