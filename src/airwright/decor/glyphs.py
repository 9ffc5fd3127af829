"""Text and a font as letters: closed shapes in millimetres, baseline at y = 0, y upward."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from airwright.language import Text, message

if TYPE_CHECKING:
    from shapely import MultiPolygon

FLATNESS: Final = 0.002
"""Farthest that a straight piece may lie off its curve, in cap heights."""

LONGEST: Final = 60
CAP: Final = "H"
"""The letter whose height is the height of the lettering."""


class FontRefused(Exception):
    """A font that cannot be read, or lacks a letter: what is wrong and how to cure it."""

    def __init__(self, what: Text, mend: Text) -> None:
        super().__init__(str(what))
        self.what, self.mend = what, mend


@dataclass(frozen=True, slots=True, eq=False)
class Letter:
    """One letter where it stands in its line.

    Attributes:
        sign: the character.
        shape: its outline, holes cut out [mm].
    """

    sign: str
    shape: MultiPolygon


def read_font(data: bytes) -> Any:
    """A font file (TrueType or OpenType), opened.

    Raises:
        FontRefused: it is none.
    """
    from fontTools.ttLib import TTFont, TTLibError

    try:
        font = TTFont(io.BytesIO(data), lazy=True)
        font.getGlyphSet()
        font.getBestCmap()
    except (TTLibError, OSError, KeyError, ValueError, AssertionError, EOFError) as problem:
        raise FontRefused(
            message("The font cannot be read."),
            message("Use a TrueType or OpenType file, ending in .ttf or .otf."),
        ) from problem
    except Exception as problem:
        raise FontRefused(
            message("The font is damaged."), message("Get the file anew from where it came.")
        ) from problem
    return font


def letters_of(text: str, font: Any, cap_mm: float) -> tuple[Letter, ...]:
    """A line of text as shapes.

    Args:
        text: one line; blanks only move on.
        font: from `read_font`.
        cap_mm: height of a capital [mm].

    Raises:
        FontRefused: a sign that the font does not hold, or nothing to show.
    """
    from shapely.affinity import affine_transform

    line = " ".join(text.split())
    if not line or len(line) > LONGEST:
        raise FontRefused(
            message("A line of lettering has 1 to {most} letters.", most=LONGEST),
            message("Write less, or in several lines."),
        )
    known = font.getBestCmap()
    missing = sorted({sign for sign in line if ord(sign) not in known})
    if missing:
        raise FontRefused(
            message('The font has no "{signs}".', signs="".join(missing)[:20]),
            message("Choose another font, or leave that out."),
        )
    glyphs = font.getGlyphSet()
    scale = cap_mm / _cap_height(font, glyphs, known)
    found, at = [], 0.0
    for sign in line:
        name = known[ord(sign)]
        shape = _shape(glyphs, name, FLATNESS * cap_mm / scale)
        if not shape.is_empty:
            placed = affine_transform(shape, [scale, 0, 0, scale, at * scale, 0])
            found.append(Letter(sign, _several(placed)))
        at += glyphs[name].width
    if not found:
        raise FontRefused(message("There is nothing to cut."), message("Write a name."))
    return tuple(found)


def _cap_height(font: Any, glyphs: Any, known: dict[int, str]) -> float:
    from fontTools.pens.boundsPen import BoundsPen

    if ord(CAP) in known:
        pen = BoundsPen(glyphs)
        glyphs[known[ord(CAP)]].draw(pen)
        if pen.bounds is not None:
            return float(pen.bounds[3])
    return 0.7 * float(font["head"].unitsPerEm)


def _shape(glyphs: Any, name: str, flat: float) -> MultiPolygon:
    """A glyph's contours as one shape, overlaps melted together, counters cut out."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen
    from shapely import LineString, MultiPolygon
    from shapely.ops import polygonize, unary_union

    pen = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(pen)
    rings = [ring for ring in _rings(pen.value, flat) if len(ring) > 2]
    lines = unary_union([LineString([*ring, ring[0]]) for ring in rings])
    inked = [
        face
        for face in polygonize(lines)
        if _winding(rings, face.representative_point().coords[0]) != 0
    ]
    return _several(unary_union(inked)) if inked else MultiPolygon()


def _winding(rings: Sequence[Sequence[tuple[float, float]]], at: tuple[float, ...]) -> int:
    """How often all rings together run round a point, anticlockwise less clockwise.

    The rule of both kinds of font: what is gone round in one direction more often than in the
    other is ink, whichever that is; contours may overlap and cross themselves.
    """
    x, y = at[0], at[1]
    turns = 0
    for ring in rings:
        for (x0, y0), (x1, y1) in pairwise([*ring, ring[0]]):
            if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
                turns += 1 if y1 > y0 else -1
    return turns


def _several(shape: Any) -> MultiPolygon:
    from shapely import MultiPolygon

    if shape.geom_type == "Polygon":
        return MultiPolygon([shape])
    parts = [part for part in getattr(shape, "geoms", ()) if part.geom_type == "Polygon"]
    return MultiPolygon(parts)


def _rings(commands: Any, flat: float) -> Iterator[list[tuple[float, float]]]:
    """Closed rings of straight pieces, from a pen's record."""
    from fontTools.pens.basePen import decomposeQuadraticSegment

    ring: list[tuple[float, float]] = []
    for name, points in commands:
        if name == "moveTo":
            ring = [points[0]]
        elif name == "lineTo":
            ring.append(points[0])
        elif name == "curveTo":
            ring += _flattened((ring[-1], *points), flat)
        elif name == "qCurveTo":
            if points[-1] is None:  # a ring of off-curve points alone
                first = points[0]
                last = points[-2]
                start = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
                ring = [start]
                points = (*points[:-1], start)
            for bend, end in decomposeQuadraticSegment(points):
                ring += _flattened((ring[-1], bend, end), flat)
        elif name in ("closePath", "endPath"):
            yield ring
            ring = []


def _flattened(points: tuple[tuple[float, float], ...], flat: float) -> list[tuple[float, float]]:
    """A Bézier curve as points after its start, none farther off than `flat`."""
    degree = len(points) - 1
    bend = max(
        abs(points[k][axis] - 2 * points[k + 1][axis] + points[k + 2][axis])
        for k in range(degree - 1)
        for axis in (0, 1)
    )
    # distance of a chord from its curve <= d(d-1)/8 * second difference / n²  (closed form)
    pieces = max(1, int((degree * (degree - 1) / 8 * bend * 1.5 / flat) ** 0.5) + 1)
    return [_point(points, k / pieces) for k in range(1, pieces + 1)]


def _point(points: tuple[tuple[float, float], ...], t: float) -> tuple[float, float]:
    row = list(points)
    while len(row) > 1:
        row = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b in pairwise(row)]
    return row[0]
