"""What is printed on a balloon: dots all over, or a few words on its face."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from airwright.decor.assembly import Floats, Shade
from airwright.pictures.drawing.paint import FADE, UNIT, mix
from airwright.pictures.drawing.svg import escape, number, polyline, smooth
from airwright.pictures.drawing.text import FONTS, fit, wrap
from airwright.pictures.printed import ink_for, is_dots, words_on_balloon

if TYPE_CHECKING:
    from shapely import Polygon

DOTS = 46
DOT = 0.15
"""Radius of a dot in balloon radii."""
PRINT = 0.85
"""Where words sit, of the way from the centre to the edge: they wrap round the front."""
TURNED_AWAY = -0.25
"""Words whose middle looks away by more than this are not drawn (cosine to the viewer)."""
GOLDEN_TURN = np.pi * (3.0 - np.sqrt(5.0))


def paint_mark(mark: str, turn: Floats, shade: Shade, *, fade: bool) -> str:
    """SVG of a print in the balloon's own frame.

    Args:
        mark: "dots", or the words.
        turn: (3, 3) from the balloon's axes (print on its own -y side) to right, up, away.
        shade: what it is printed on.
        fade: whether the balloon is in the background.
    """
    ink = ink_for(shade)
    colour = mix(ink, "#fbfaf8", FADE) if fade else ink
    if is_dots(mark):
        return _dots(turn, colour)
    shapes = words_on_balloon(mark)
    return _letters(shapes, turn, colour) if shapes else _words(mark, turn, colour)


def _dots(turn: Floats, colour: str) -> str:
    k = np.arange(DOTS)
    z = 1.0 - 2.0 * (k + 0.5) / DOTS
    flat = np.sqrt(1.0 - z * z)
    places = np.stack([flat * np.cos(GOLDEN_TURN * k), flat * np.sin(GOLDEN_TURN * k), z], axis=1)
    seen = places @ turn.T
    angle = np.arange(14) * (2 * np.pi / 14)
    out = []
    for place in seen[seen[:, 2] < 0.12]:
        across = np.cross(place, [0.0, 0.0, 1.0])
        size = float(np.linalg.norm(across))
        u = across / size if size > 1e-6 else np.array([1.0, 0.0, 0.0])
        v = np.cross(place, u)
        ring = place * np.cos(DOT) + np.sin(DOT) * (
            np.cos(angle)[:, None] * u + np.sin(angle)[:, None] * v
        )
        out.append(smooth(ring[:, :2] * [UNIT, -UNIT], digits=1))
    return f'<path fill="{colour}" fill-opacity=".82" d="{"".join(out)}"/>' if out else ""


def _letters(shapes: tuple[Polygon, ...], turn: Floats, colour: str) -> str:
    """Letters as they lie on a ball, each point of them straight behind where it is read."""
    if (turn @ np.array([0.0, -1.0, 0.0]))[2] > TURNED_AWAY:
        return ""
    rings = [ring for shape in shapes for ring in (shape.exterior, *shape.interiors)]
    drawn = "".join(
        polyline(_on_ball(np.asarray(ring.coords), turn)[:, :2] * [UNIT, -UNIT], close=True)
        for ring in rings
    )
    return f'<path fill="{colour}" fill-opacity=".92" fill-rule="evenodd" d="{drawn}"/>'


def _on_ball(flat: Floats, turn: Floats) -> Floats:
    """Points (n, 2), right and up on the front of a ball of radius 1, as seen (n, 3)."""
    deep = np.sqrt(np.maximum(1.0 - (flat**2).sum(axis=1), 0.0))
    seen: Floats = np.column_stack([flat[:, 0], -deep, flat[:, 1]]) @ turn.T
    return seen


def _words(mark: str, turn: Floats, colour: str) -> str:
    face = turn @ np.array([0.0, -1.0, 0.0])
    if face[2] > TURNED_AWAY:
        return ""
    right, up = turn @ np.array([1.0, 0.0, 0.0]), turn @ np.array([0.0, 0.0, 1.0])
    lines = wrap(mark, 11)[:4]
    size = min(fit(line, 125.0, 42.0) for line in lines)
    matrix = " ".join(number(v, 3) for v in (right[0], -right[1], -up[0], up[1]))
    x, y = face[0] * UNIT * PRINT, -face[1] * UNIT * PRINT
    out = []
    for k, line in enumerate(lines):
        drop = (k - (len(lines) - 1) / 2) * 1.1 * size + 0.35 * size
        out.append(f'<text y="{number(drop)}">{escape(line)}</text>')
    return (
        f'<g transform="matrix({matrix} {number(x)} {number(y)})" fill="{colour}" '
        f'fill-opacity=".9" font-family="{FONTS}" font-weight="700" '
        f'font-size="{number(size)}" text-anchor="middle">{"".join(out)}</g>'
    )
