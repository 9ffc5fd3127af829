"""Files for the cutter at true scale: SVG, DXF (R12) and a PDF page, in millimetres.

Every ring is one closed path on the layer CUT; frames to weed along lie on WEED, crosses to lay
it straight by on MARK. DXF of that age carries no unit a reader can trust: it is millimetres, and
the make sheet says so.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from airwright.pictures.lettering.layout import Lettering, Piece

if TYPE_CHECKING:
    from shapely import MultiPolygon

MARGIN_MM: Final = 8.0
"""From a piece to the frame it is weeded along [mm]."""
GAP_MM: Final = 6.0
CROSS_MM: Final = 4.0
SHEET_MM: Final = 600.0
"""Pieces stand side by side up to this width, then below one another [mm]."""

Ring = list[tuple[float, float]]


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """Pieces on the film, y upward.

    Attributes:
        cuts: closed rings.
        frames: rectangles to weed along.
        crosses: middles of pieces.
        width_mm, height_mm: of the sheet.
    """

    cuts: tuple[Ring, ...]
    frames: tuple[Ring, ...]
    crosses: tuple[tuple[float, float], ...]
    width_mm: float
    height_mm: float


def sheet_of(pieces: Sequence[Piece], *, mirrored: bool = False) -> Sheet:
    """Stand the pieces side by side; mirrored for films that are cut from behind."""
    cuts: list[Ring] = []
    frames: list[Ring] = []
    crosses: list[tuple[float, float]] = []
    x, y, row, widest = 0.0, 0.0, 0.0, 0.0
    for piece in pieces:
        shape = _mirrored(piece.shape) if mirrored else piece.shape
        left, low, right, high = shape.bounds
        wide, tall = right - left + 2 * MARGIN_MM, high - low + 2 * MARGIN_MM
        if x > 0 and x + wide > SHEET_MM:
            x, y, row = 0.0, y - row - GAP_MM, 0.0
        move = (x + MARGIN_MM - left, y - MARGIN_MM - high)
        cuts += [[(px + move[0], py + move[1]) for px, py in ring] for ring in _rings(shape)]
        frames.append([(x, y), (x + wide, y), (x + wide, y - tall), (x, y - tall)])
        crosses.append(move)
        x, row = x + wide + GAP_MM, max(row, tall)
        widest = max(widest, x - GAP_MM)
    height = row - y
    up = height
    return Sheet(
        tuple([(px, py + up) for px, py in ring] for ring in cuts),
        tuple([(px, py + up) for px, py in ring] for ring in frames),
        tuple((px, py + up) for px, py in crosses),
        widest,
        height,
    )


def _mirrored(shape: MultiPolygon) -> MultiPolygon:
    from shapely.affinity import scale

    turned: MultiPolygon = scale(shape, xfact=-1.0, origin=(0, 0))
    return turned


def _rings(shape: MultiPolygon) -> Iterator[Ring]:
    for polygon in shape.geoms:
        for ring in (polygon.exterior, *polygon.interiors):
            yield [(float(px), float(py)) for px, py in np.asarray(ring.coords)[:-1]]


def placing_file(lettering: Lettering) -> bytes:
    """Where the pieces go, seen from the front: the ball's outline, its middle, each letter.

    Printed at true scale and held before the balloon, it shows where each middle is pressed on.
    """
    r = lettering.radius_mm
    size = 2 * r + 4
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size:.3f}mm" height="{size:.3f}mm" '
        f'viewBox="{-r - 2:.3f} {-r - 2:.3f} {size:.3f} {size:.3f}">',
        f'<circle r="{r:.3f}" fill="none" stroke="#999" stroke-width="0.6"/>',
        f'<path d="M{-r:.3f} 0 H{r:.3f} M0 {-r:.3f} V{r:.3f}" stroke="#ccc" stroke-width="0.4"/>',
    ]
    for letter in lettering.seen:
        rings = [
            " L".join(f"{px:.3f} {-py:.3f}" for px, py in ring) for ring in _rings(letter.shape)
        ]
        d = " ".join(f"M{ring} Z" for ring in rings)
        lines.append(f'<path d="{d}" fill="#333" fill-rule="evenodd"/>')
    for piece in lettering.pieces:
        x, y = piece.at
        lines.append(f'<circle cx="{x:.3f}" cy="{-y:.3f}" r="1.2" fill="#06c"/>')
    lines.append("</svg>")
    return "\n".join(lines).encode()


def svg_file(sheet: Sheet) -> bytes:
    """The sheet as SVG, one user unit a millimetre."""
    wide, tall = sheet.width_mm, sheet.height_mm

    def path(ring: Ring, css: str) -> str:
        points = " L".join(f"{px:.3f} {tall - py:.3f}" for px, py in ring)
        return f'<path class="{css}" d="M{points} Z"/>'

    def cross(px: float, py: float) -> str:
        half, down = CROSS_MM / 2, tall - py
        return (
            f'<path class="mark" d="M{px - half:.3f} {down:.3f} H{px + half:.3f} '
            f'M{px:.3f} {down - half:.3f} V{down + half:.3f}"/>'
        )

    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.3f}mm" height="{tall:.3f}mm" '
        f'viewBox="0 0 {wide:.3f} {tall:.3f}">',
        "<style>path{fill:none;stroke-width:.1}.cut{stroke:#c00}.weed{stroke:#999}"
        ".mark{stroke:#06c}</style>",
        *(path(ring, "cut") for ring in sheet.cuts),
        *(path(ring, "weed") for ring in sheet.frames),
        *(cross(*at) for at in sheet.crosses),
        "</svg>",
    ]
    return "\n".join(lines).encode()


def dxf_file(sheet: Sheet) -> bytes:
    """The sheet as DXF R12, checked by the library's own auditor.

    Raises:
        RuntimeError: the auditor finds a fault; a fault of ours, never of the text.
    """
    from ezdxf.filemanagement import new

    # It would tell everybody on the terminal that R12 carries no unit; the make sheet says so.
    logging.getLogger("ezdxf").setLevel(logging.ERROR)
    drawing = new("R12", setup=True, units=0)
    for name, colour in (("CUT", 1), ("WEED", 8), ("MARK", 5)):
        drawing.layers.add(name, color=colour)
    space = drawing.modelspace()
    for layer, rings in (("CUT", sheet.cuts), ("WEED", sheet.frames)):
        for ring in rings:
            space.add_polyline2d(ring, close=True, dxfattribs={"layer": layer})
    half = CROSS_MM / 2
    for px, py in sheet.crosses:
        space.add_line((px - half, py), (px + half, py), dxfattribs={"layer": "MARK"})
        space.add_line((px, py - half), (px, py + half), dxfattribs={"layer": "MARK"})
    audit = drawing.audit()
    if audit.errors or audit.fixes:
        raise RuntimeError(f"{len(audit.errors)} faults in the cut file")
    text = io.StringIO()
    drawing.write(text)
    return text.getvalue().encode("utf-8")


def pdf_page(sheet: Sheet) -> bytes:
    """The sheet as one page of PDF at true scale."""
    import pikepdf

    unit = 72 / 25.4
    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=(sheet.width_mm * unit, sheet.height_mm * unit))
    lines = [f"{unit:.6f} 0 0 {unit:.6f} 0 0 cm", "0.1 w"]
    for colour, rings in (("0.8 0 0 RG", sheet.cuts), ("0.6 0.6 0.6 RG", sheet.frames)):
        lines.append(colour)
        for ring in rings:
            (x0, y0), *rest = ring
            lines.append(f"{x0:.4f} {y0:.4f} m")
            lines += [f"{px:.4f} {py:.4f} l" for px, py in rest]
            lines.append("s")
    half = CROSS_MM / 2
    lines.append("0 0.4 0.8 RG")
    for px, py in sheet.crosses:
        lines.append(f"{px - half:.4f} {py:.4f} m {px + half:.4f} {py:.4f} l S")
        lines.append(f"{px:.4f} {py - half:.4f} m {px:.4f} {py + half:.4f} l S")
    page.Contents = pdf.make_stream("\n".join(lines).encode())
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True)
    return out.getvalue()
