"""What stands around a piece: margin, background, lines of size, a person, a door."""

from __future__ import annotations

from dataclasses import replace

from airwright.pictures.drawing.camera import Camera
from airwright.pictures.drawing.svg import number
from airwright.pictures.drawing.values import MM, Drawing, Element, Options


def surround(drawing: Drawing, options: Options, eye: Camera) -> Drawing:
    """Add what the options ask for, and grow the canvas to hold it."""
    margin = options.margin_m * MM
    canvas = drawing.canvas.grown(margin, margin, margin, margin)
    elements = list(drawing.elements)
    if options.background is not None:
        elements.insert(
            0,
            Element(
                "background",
                f'<rect x="{number(canvas.left)}" y="{number(canvas.top)}" '
                f'width="{number(canvas.width)}" height="{number(canvas.height)}" '
                f'fill="{options.background}"/>',
            ),
        )
    return replace(drawing, canvas=canvas, elements=tuple(elements))
