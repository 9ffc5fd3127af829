"""Parts the technique drawings are composed of. A panel is 100 wide and 80 high, y downwards."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from airwright.decor.assembly import Floats
from airwright.pictures.drawing.compose import words
from airwright.pictures.drawing.svg import number
from airwright.pictures.drawing.values import Box, Drawing, Element

WIDE, HIGH = 100.0, 80.0
INK = "#22303a"
LIGHT = "#f1ece4"
MIDDLE = "#cfc6ba"
DARK = "#8f867b"
RED = "#b4472f"
EDGE = 0.9
"""Width of outlines."""

Points = Sequence[tuple[float, float]]
_KAPPA = 0.5523
"""Arm of a quarter circle's Bezier, in radii."""


@dataclass(frozen=True, slots=True)
class Panel:
    """One picture of a movement, and the sentence that belongs to it."""

    caption: str
    paint: Callable[[], list[str]]

    def drawing(self) -> Drawing:
        """The picture; its words are text elements of their own."""
        box = Box(0.0, 0.0, WIDE, HIGH)
        elements = tuple(
            Element("label" if part.startswith("<text") else "shape", part) for part in self.paint()
        )
        return Drawing(self.caption, box, box, elements, (), 0.5)


@dataclass(frozen=True, slots=True)
class Technique:
    """A movement of the hands in a few panels.

    `check` says how one sees that it is right.
    """

    name: str
    title: str
    panels: tuple[Panel, ...]
    check: str


def balloon(
    x: float, y: float, r: float, neck_deg: float, fill: str = LIGHT, *, knot: bool = True
) -> str:
    """A balloon whose neck points at `neck_deg` (0 to the right, 90 up)."""
    way = math.radians(neck_deg)
    along, side = (
        np.array([math.cos(way), -math.sin(way)]),
        np.array([math.sin(way), math.cos(way)]),
    )

    def at(a: float, s: float) -> str:
        p = np.array([x, y]) + r * (a * along + s * side)
        return f"{number(p[0], 2)} {number(p[1], 2)}"

    k = _KAPPA
    body = (
        f"M{at(1.30, 0.07)}C{at(1.10, 0.12)} {at(0.86, 0.62)} {at(0.42, 0.92)}"
        f"C{at(0.25, 1.0)} {at(0.1, 1.0)} {at(0, 1)}"
        f"C{at(-k, 1)} {at(-1, k)} {at(-1, 0)}C{at(-1, -k)} {at(-k, -1)} {at(0, -1)}"
        f"C{at(0.1, -1.0)} {at(0.25, -1.0)} {at(0.42, -0.92)}"
        f"C{at(0.86, -0.62)} {at(1.10, -0.12)} {at(1.30, -0.07)}z"
    )
    shine = f"M{at(-0.62, -0.38)}C{at(-0.55, -0.58)} {at(-0.4, -0.7)} {at(-0.2, -0.74)}"
    parts = [
        f'<path d="{body}" fill="{fill}" stroke="{INK}" stroke-width="{EDGE}" '
        'stroke-linejoin="round"/>',
        f'<path d="{shine}" fill="none" stroke="#fff" stroke-width="1.6" stroke-linecap="round"/>',
    ]
    if knot:
        cx, cy = at(1.36, 0).split(" ")
        parts.append(f'<circle cx="{cx}" cy="{cy}" r="1.5" fill="{INK}"/>')
    return "".join(parts)


def ball(x: float, y: float, r: float, fill: str = LIGHT) -> str:
    """A balloon that looks at the viewer, its neck behind it."""
    a, b = number(x - 0.62 * r, 2), number(y - 0.38 * r, 2)
    bend = f"c{number(0.07 * r, 2)} {number(-0.2 * r, 2)} {number(0.22 * r, 2)} "
    bend += f"{number(-0.32 * r, 2)} {number(0.42 * r, 2)} {number(-0.36 * r, 2)}"
    return (
        f'<circle cx="{number(x, 2)}" cy="{number(y, 2)}" r="{number(r, 2)}" fill="{fill}" '
        f'stroke="{INK}" stroke-width="{EDGE}"/>'
        f'<path d="M{a} {b}{bend}" fill="none" stroke="#fff" stroke-width="1.6" '
        'stroke-linecap="round"/>'
    )


def line(
    points: Points,
    width: float = EDGE,
    colour: str = INK,
    dash: str = "",
    cap: Literal["round", "butt"] = "round",
) -> str:
    """A smooth line through points."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{curve(points)}" fill="none" stroke="{colour}" '
        f'stroke-width="{number(width, 2)}" stroke-linecap="{cap}" '
        f'stroke-linejoin="round"{dashed}/>'
    )


def rope(
    points: Points,
    fill: str = LIGHT,
    width: float = 2.6,
    cap: Literal["round", "butt"] = "round",
) -> str:
    """A neck, ribbon or flat 260: light with dark edges, so that crossings show which is on top.

    Cut off square ("butt"), a short piece over a crossing joins what lies under it.
    """
    return line(points, width + 1.6, cap=cap) + line(points, width, fill, cap=cap)


def hung(x: float, y: float, r: float, to: tuple[float, float], fill: str = LIGHT) -> str:
    """A balloon whose neck is drawn to a knot at `to`."""
    way = math.degrees(math.atan2(y - to[1], to[0] - x))
    root = (x + 1.2 * r * math.cos(math.radians(way)), y - 1.2 * r * math.sin(math.radians(way)))
    return line([root, to], 1.8) + balloon(x, y, r, way, fill, knot=False)


def curve(points: Points) -> str:
    """Path data through points, Catmull-Rom tangents."""
    p = np.asarray(points, dtype=float)
    if len(p) == 2:
        return f"M{_xy(p[0])}L{_xy(p[1])}"
    padded = np.concatenate([2 * p[:1] - p[1:2], p, 2 * p[-1:] - p[-2:-1]])
    out = f"M{_xy(p[0])}"
    for k in range(1, len(p)):
        a, b, c, d = padded[k - 1 : k + 3]
        out += f"C{_xy(b + (c - a) / 6)} {_xy(c - (d - b) / 6)} {_xy(c)}"
    return out


def _xy(p: Floats) -> str:
    return f"{number(float(p[0]), 2)} {number(float(p[1]), 2)}"


def arrow(points: Points, width: float = 2.2) -> str:
    """A bent arrow along points, its head at the last one."""
    p = np.asarray(points, dtype=float)
    way = p[-1] - p[-2]
    way /= np.linalg.norm(way)
    side = np.array([-way[1], way[0]])
    tip, root = p[-1] + 1.5 * way, p[-1] - 4.2 * way
    head = [tip, root + 3.4 * side, root - 3.4 * side]
    body = [tuple(q) for q in [*p[:-1], p[-1] - 3.4 * way]]
    path = "L".join(_xy(q) for q in head)
    return line(body, width, RED) + f'<path d="M{path}z" fill="{RED}"/>'


def arc(
    x: float, y: float, r: float, start_deg: float, stop_deg: float, squash: float = 1.0
) -> list[tuple[float, float]]:
    """Points on an arc; 0 to the right, 90 up."""
    turn = np.deg2rad(np.linspace(start_deg, stop_deg, 13))
    return [(x + r * math.cos(t), y - squash * r * math.sin(t)) for t in turn]


def pole(x: float = 50.0, top: float = 4.0, bottom: float = 76.0, width: float = 4.0) -> str:
    """A pole seen from the side."""
    return (
        f'<rect x="{number(x - width / 2, 2)}" y="{number(top, 2)}" width="{number(width, 2)}" '
        f'height="{number(bottom - top, 2)}" fill="#fff" stroke="{INK}" stroke-width="{EDGE}"/>'
    )


def pole_end(x: float = 50.0, y: float = 40.0, r: float = 3.2) -> str:
    """A pole seen from above: a ring with a cross in it."""
    d = r * 0.7
    left, right, up, down = (number(v, 2) for v in (x - d, x + d, y - d, y + d))
    return (
        f'<circle cx="{number(x, 2)}" cy="{number(y, 2)}" r="{r}" fill="#fff" stroke="{INK}" '
        f'stroke-width="1.2"/><path d="M{left} {up}L{right} {down}M{left} {down}L{right} {up}" '
        f'stroke="{INK}" stroke-width=".8"/>'
    )


def knot(x: float, y: float, r: float = 2.0) -> str:
    """A knot."""
    return f'<circle cx="{number(x, 2)}" cy="{number(y, 2)}" r="{r}" fill="{INK}"/>'


def shape(path: str, fill: str = "none", width: float = EDGE, dash: str = "") -> str:
    """Any outline."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{path}" fill="{fill}" stroke="{INK}" stroke-width="{width}" '
        f'stroke-linejoin="round"{dashed}/>'
    )


def note(text: str, x: float, y: float, size: float = 6.0, *, anchor: str = "middle") -> str:
    """A word in the picture."""
    return words(text, x, y, size, INK, anchor=anchor, bold=True)


def front(x: float = 50.0, y: float = 76.0) -> list[str]:
    """The mark of the front, at the foot of a view from above."""
    return [
        f'<path d="M{number(x, 2)} {number(y - 6.5, 2)}l3 4.5h-6z" fill="{INK}"/>',
        note("front", x + 5.0, y - 1.6, 5.6, anchor="start"),
    ]
