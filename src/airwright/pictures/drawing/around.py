"""What stands around a piece: margin, background, lines of size, a person, a door."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np

from airwright.pictures.drawing.camera import Camera
from airwright.pictures.drawing.svg import escape, number, polyline, smooth
from airwright.pictures.drawing.text import FONTS, width_of
from airwright.pictures.drawing.values import MM, Box, Drawing, DrawingError, Element, Options
from airwright.pictures.person import PERSON_M, WIDE_M, outline
from airwright.units import LENGTH, System, show

INK = "#6b655e"
"""Lines and words of size."""
FIGURE = "#d8d3cc"
"""Person and door."""

PERSON_WIDE_M = WIDE_M
DOOR_M = (0.90, 2.03)
BESIDE_M = 0.28
"""Free floor between a piece and what stands beside it for scale."""


def surround(drawing: Drawing, options: Options, eye: Camera) -> Drawing:
    """Add what the options ask for, and grow the canvas to hold it."""
    drawing = _beside(drawing, options, eye)
    if options.dimensions:
        drawing = _sizes(drawing, options, eye)
    margin = options.margin_m * MM
    drawing = replace(drawing, canvas=drawing.canvas.grown(margin, margin, margin, margin))
    return drawing if options.background is None else on_paper(drawing, options.background)


def on_paper(drawing: Drawing, colour: str) -> Drawing:
    """The drawing on a sheet of one colour "#rrggbb"."""
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
        raise DrawingError(f'"{colour}" is not a colour.', 'Write a background as "#rrggbb".')
    box = drawing.canvas
    sheet = Element(
        "background",
        f'<rect x="{number(box.left)}" y="{number(box.top)}" width="{number(box.width)}" '
        f'height="{number(box.height)}" fill="{colour}"/>',
    )
    return replace(drawing, elements=(sheet, *drawing.elements))


def _with(drawing: Drawing, box: Box, *elements: Element, behind: bool = False) -> Drawing:
    parts = (*elements, *drawing.elements) if behind else (*drawing.elements, *elements)
    return replace(drawing, canvas=drawing.canvas.union(box), elements=parts)


# ---- person and door -------------------------------------------------------------------------


def _beside(drawing: Drawing, options: Options, eye: Camera) -> Drawing:
    """A person and a door on the floor to the right of the piece."""
    if eye.overhead:
        return drawing
    edge = drawing.body.right + BESIDE_M * MM
    if options.person:
        middle = edge + PERSON_WIDE_M * MM / 2
        box = Box(edge, -PERSON_M * MM, edge + PERSON_WIDE_M * MM, 0.0)
        drawing = _with(drawing, box, _person(middle), behind=True)
        edge = box.right + BESIDE_M * MM
    if options.door:
        wide, high = (v * MM for v in DOOR_M)
        box = Box(edge, -high - 70.0, edge + wide + 140.0, 0.0)
        drawing = _with(drawing, box, _door(edge + 70.0, wide, high), behind=True)
    return drawing


def _person(middle: float) -> Element:
    """Outline of a standing person 1.70 m tall, our own drawing."""
    ring, corners = outline()
    points = np.rint(ring * [MM, -MM] + [middle, 0.0])
    return Element("person", f'<path fill="{FIGURE}" d="{smooth(points, corners)}"/>')


def person_beside(drawing: Drawing, margin_m: float) -> tuple[Drawing, Box]:
    """The person who would stand beside a piece drawn from the front without one.

    Args:
        drawing: the piece.
        margin_m: its margin [m].

    Returns:
        The person alone, and the canvas that holds both.
    """
    left = drawing.body.right + BESIDE_M * MM
    box = Box(left, -PERSON_M * MM, left + PERSON_WIDE_M * MM, 0.0)
    person = _person(left + PERSON_WIDE_M * MM / 2)
    margin = margin_m * MM
    alone = Drawing("A person of 1.70 m", box, box, (person,), (), drawing.scale)
    return alone, drawing.canvas.union(box.grown(margin, margin, margin, margin))


def _door(left: float, wide: float, high: float) -> Element:
    """A door leaf in its frame."""
    frame = [(left - 55, 0), (left - 55, -high - 55), (left + wide + 55, -high - 55)]
    frame += [(left + wide + 55, 0), (left + wide, 0), (left + wide, -high), (left, -high)]
    frame += [(left, 0)]
    panels = "".join(
        f'<rect x="{number(left + 0.16 * wide)}" y="{number(-high * top)}" '
        f'width="{number(0.68 * wide)}" height="{number(high * tall)}" rx="6"/>'
        for top, tall in ((0.93, 0.38), (0.49, 0.41))
    )
    return Element(
        "door",
        f'<g stroke="{FIGURE}" stroke-width="8" fill="none">'
        f'<path fill="#eeeae4" d="{polyline(np.asarray(frame, float), close=True)}"/>'
        f'<rect x="{number(left)}" y="{number(-high)}" width="{number(wide)}" '
        f'height="{number(high)}" fill="#f6f3ee"/>{panels}'
        f'<path stroke="#a8a29a" stroke-width="16" stroke-linecap="round" '
        f'd="M{number(left + 0.07 * wide)} {number(-1050.0)}h95"/></g>',
    )


# ---- lines of size ---------------------------------------------------------------------------


def _sizes(drawing: Drawing, options: Options, eye: Camera) -> Drawing:
    """Lines with the height and width (front), depth (side, top), or a caption (other views)."""
    body = drawing.body
    if body.width <= 0.0 and body.height <= 0.0:
        return drawing
    largest = max(drawing.canvas.width, drawing.canvas.height)
    size = min(max(min(0.026 * largest, 0.055 * drawing.canvas.height), 26.0), 260.0)
    if not (eye.level or eye.overhead):
        return drawing
    bottom = body.bottom if eye.overhead else max(0.0, body.bottom)
    tall = bottom - body.top
    gap = 1.1 * size
    x = min(drawing.canvas.left, body.left) - gap
    y = max(drawing.canvas.bottom, bottom) + gap
    upright = dimension((x, bottom), (x, body.top), _words(tall, options.system), size)
    level = dimension((body.left, y), (body.right, y), _words(body.width, options.system), size)
    words = width_of(_words(body.width, options.system)) * size / 2
    middle = (body.left + body.right) / 2
    box = Box(x - 1.5 * size, body.top, x + 0.4 * size, bottom)
    box = box.union(
        Box(min(body.left, middle - words), y, max(body.right, middle + words), y + 1.6 * size)
    )
    return _with(drawing, box, upright, level)


def _words(length: float, system: System) -> str:
    return show(length / MM, LENGTH, system)


def dimension(
    start: tuple[float, float], end: tuple[float, float], words: str, size: float
) -> Element:
    """A line of size between two points, upright or level, with its words beside it."""
    (x1, y1), (x2, y2) = start, end
    upright = abs(x1 - x2) < 1e-6
    tick = 0.35 * size
    if upright:
        ends = f"M{number(x1 - tick)} {number(y1)}h{number(2 * tick)}"
        ends += f"M{number(x2 - tick)} {number(y2)}h{number(2 * tick)}"
        middle = (y1 + y2) / 2
        # long words beside a short line would run past its ends, but never into the piece
        place = f'transform="translate({number(x1 - 0.55 * size)} {number(middle)})rotate(-90)"'
    else:
        ends = f"M{number(x1)} {number(y1 - tick)}v{number(2 * tick)}"
        ends += f"M{number(x2)} {number(y2 - tick)}v{number(2 * tick)}"
        place = f'x="{number((x1 + x2) / 2)}" y="{number(y1 + 1.25 * size)}"'
    line = f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}"
    return Element(
        "dimension",
        f'<path fill="none" stroke="{INK}" stroke-width="{number(size * 0.06, 2)}" '
        f'd="{line}{ends}"/>'
        f'<text {place} font-family="{FONTS}" font-size="{number(size)}" fill="{INK}" '
        f'text-anchor="middle">{escape(words)}</text>',
    )
