"""Several drawings on one sheet."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from airwright.pictures.drawing.svg import escape, number
from airwright.pictures.drawing.text import FONTS
from airwright.pictures.drawing.values import PREFIX_MARK, Box, Drawing, Element

_OWN_ID = re.compile(PREFIX_MARK + r"(?=[cf]\d)")
"""Ids that belong to one balloon of one drawing; all others are shared by what they look like."""


@dataclass(frozen=True, slots=True)
class Put:
    """A drawing and how far it is shifted [user units], and how much enlarged."""

    drawing: Drawing
    right: float
    down: float
    size: float = 1.0


def together(title: str, parts: Sequence[Put], canvas: Box, scale: float) -> Drawing:
    """One drawing out of several; each of theirs becomes one group, its balloons counted on."""
    defs: dict[str, str] = {}
    elements: list[Element] = []
    for index, put in enumerate(parts):
        defs.update(put.drawing.defs)
        size = f"scale({number(put.size, 4)})" if put.size != 1.0 else ""
        place = f"translate({number(put.right)} {number(put.down)}){size}"
        elements.append(Element("group", f'<g transform="{place}">'))
        elements += [
            Element(e.kind, _OWN_ID.sub(f"{PREFIX_MARK}v{index}", e.markup), e.row)
            for e in put.drawing.elements
        ]
        elements.append(Element("group", "</g>"))
    return Drawing(title, canvas, canvas, tuple(elements), tuple(sorted(defs.items())), scale)


def words(
    text: str,
    x: float,
    y: float,
    size: float,
    colour: str,
    *,
    anchor: str = "middle",
    bold: bool = False,
) -> str:
    """A line of text with its baseline at y."""
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{number(x, 2)}" y="{number(y, 2)}" font-family="{FONTS}" '
        f'font-size="{number(size, 2)}" fill="{colour}" text-anchor="{anchor}"{weight}>'
        f"{escape(text)}</text>"
    )
