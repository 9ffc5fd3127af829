"""Words lifted out of a drawing, so that the typesetter sets them in the papers' own fonts.

An SVG's text falls back to one other font at most, which breaks names in mixed scripts; set as
text of the document they are checked for glyphs, and can be searched for.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from html import unescape
from typing import Any, Final

from airwright.language.saying import gettext
from airwright.pictures.drawing import Drawing, Element

_TEXT: Final = re.compile(
    r'<text x="(?P<x>[^"]+)" y="(?P<y>[^"]+)" font-family="[^"]*" font-size="(?P<size>[^"]+)" '
    r'fill="(?P<colour>[^"]+)" text-anchor="(?P<anchor>\w+)"(?P<bold> font-weight="700")?>'
    r"(?P<words>[^<]*)</text>"
)


@dataclass(frozen=True, slots=True)
class Label:
    """One line of words on a picture.

    Attributes:
        x, y: anchor and baseline, shares of the picture's width and height.
        size: of the letters, as a share of the picture's width.
        colour: "#rrggbb".
        anchor: "start", "middle" or "end".
    """

    words: str
    x: float
    y: float
    size: float
    colour: str
    anchor: str
    bold: bool


def lift_labels(drawing: Drawing) -> tuple[Drawing, tuple[Label, ...]]:
    """The drawing without its lines of words, and those words."""
    kept: list[Element] = []
    labels: list[Label] = []
    canvas = drawing.canvas
    for element in drawing.elements:
        found = _TEXT.fullmatch(element.markup)
        if found is None:
            kept.append(element)
            continue
        labels.append(
            Label(
                words=gettext(unescape(found["words"])),
                x=(float(found["x"]) - canvas.left) / canvas.width,
                y=(float(found["y"]) - canvas.top) / canvas.height,
                size=float(found["size"]) / canvas.width,
                colour=found["colour"],
                anchor=found["anchor"],
                bold=found["bold"] is not None,
            )
        )
    return replace(drawing, elements=tuple(kept)), tuple(labels)


def labels_data(labels: tuple[Label, ...]) -> list[dict[str, Any]]:
    """Labels as plain values; a template places them over the picture (`make_sheet.typ`)."""
    return [
        {
            "words": label.words,
            "x": label.x,
            "y": label.y,
            "size": label.size,
            "colour": label.colour,
            "anchor": label.anchor,
            "bold": label.bold,
        }
        for label in labels
    ]
