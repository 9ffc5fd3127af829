"""What stands with the balloons: base plates, weights, sleeves of fringe or cloth."""

from __future__ import annotations

import math

import numpy as np

from airwright.decor.assembly import Fabric, Floats, HardwarePlaced
from airwright.pictures.drawing.camera import Camera
from airwright.pictures.drawing.flat import hull
from airwright.pictures.drawing.paint import FADE, Tones, mix, stops, tones
from airwright.pictures.drawing.svg import number, polyline, ref
from airwright.pictures.drawing.values import MM
from airwright.pictures.hardware_colours import HARDWARE_COLOURS
from airwright.pictures.printed import middle_of, printed_ink, words_on
from airwright.pictures.tables import TABLE

STEEL = "#8d9196"

SQUARE = ("base", "stand")
"""Uses whose plates are square, as their mesh is."""

_SIDES = 48
CORNER = 0.12
"""Rounding of a square plate's corners in half sides."""
STRAND_M = 0.011
FOLD_M = 0.05


def colour_of(part: HardwarePlaced) -> str:
    """Colour a kind of hardware is drawn in."""
    return HARDWARE_COLOURS.get(part.use, STEEL)


def _ring(square: bool) -> Floats:
    """A unit ring (n, 3) on the floor: a circle, or a square with rounded corners."""
    turn = (np.arange(_SIDES) + 0.5) * (2.0 * math.pi / _SIDES)
    c, s = np.cos(turn), np.sin(turn)
    if square:
        c = np.sign(c) * (1 - CORNER) + CORNER * c
        s = np.sign(s) * (1 - CORNER) + CORNER * s
    return np.stack([c, s, np.zeros(_SIDES)], axis=1)


def drum(
    foot: tuple[float, float, float],
    radii: tuple[float, float],
    height: float,
    camera: Camera,
    paints: tuple[str, str, str],
    *,
    square: bool = False,
) -> str:
    """An upright drum, frustum or square plate: mantle, then the end that shows.

    `radii` at foot and head [m]; `paints`: of the mantle, of the upper end, and of the edge.
    """
    fill, lid, edge = paints
    ring = _ring(square)
    low = camera.project(ring * radii[0] + np.asarray(foot))
    high = camera.project(ring * radii[1] + np.asarray(foot) + [0.0, 0.0, height])
    flat = np.concatenate([low, high])[:, :2] * [MM, -MM]
    out = (
        f'<path fill="{fill}" stroke="{edge}" stroke-width="1" '
        f'd="{polyline(hull(flat), close=True)}"/>'
    )
    if not camera.level:
        top = polyline(high[:, :2] * [MM, -MM], close=True)
        out += f'<path fill="{lid}" d="{top}"/>'
    return out


def across(name: str, content: str) -> str:
    """A gradient from left to right over whatever it fills."""
    return (
        f'<linearGradient id="{ref(name)}" x1="0" y1="0" x2="1" y2="0">{content}</linearGradient>'
    )


def paint_plate(part: HardwarePlaced, camera: Camera, *, fade: bool, defs: dict[str, str]) -> str:
    """Base plate, stand or weight."""
    colour = colour_of(part)
    t = tones(colour, FADE if fade else 0.0)
    radius, height = max(part.diameter_m / 2, 0.01), max(part.height_m, 0.004)
    name = f"p{colour[1:]}{'f' if fade else ''}"
    content = _cloth_stops(t) if part.use == TABLE else _metal_stops(t)
    defs.setdefault(name, across(name, content))
    paints = (f"url(#{ref(name)})", mix(t.base, t.light, 0.5), t.shadow)
    taper = 0.72 if part.use == "weight" else 1.0
    radii = (radius, radius * taper)
    return drum(part.path[0], radii, height, camera, paints, square=part.use in SQUARE)


def _metal_stops(t: Tones) -> str:
    return stops(
        (0.0, t.dusk),
        (0.22, mix(t.light, t.glow, 0.35)),
        (0.5, t.base),
        (0.85, t.shadow),
        (1.0, t.dusk),
    )


def _cloth_stops(t: Tones) -> str:
    """A cloth in folds: dull, and no darker at its edges than its shade."""
    soft = mix(t.base, t.shadow, 0.35)
    folds = [(k / 14, soft if k % 2 else t.light) for k in range(1, 14)]
    return stops((0.0, t.shadow), *folds, (1.0, t.shadow))


def paint_board(part: HardwarePlaced, camera: Camera, *, fade: bool) -> str:
    """A flat board or sign and what is printed on it."""
    colour = part.shade.colour if part.shade is not None else colour_of(part)
    t = tones(colour, FADE if fade else 0.0)
    flat = camera.project(np.asarray(part.path, dtype=float))[:, :2] * [MM, -MM]
    out = (
        f'<path fill="{t.base}" stroke="{t.shadow}" stroke-width="2" '
        f'd="{polyline(flat, close=True)}"/>'
    )
    ink = tones(printed_ink(colour), FADE if fade else 0.0).base
    for shape in words_on(part):
        rings = [shape.exterior, *shape.interiors]
        letter = "".join(
            polyline(_on_face(part, np.asarray(ring.coords), camera), close=True) for ring in rings
        )
        out += f'<path fill="{ink}" fill-rule="evenodd" d="{letter}"/>'
    return out


def _on_face(part: HardwarePlaced, points: Floats, camera: Camera) -> Floats:
    """Points (n, 2) of a board's print, right and up from its middle [m], as they are drawn."""
    world = np.column_stack([points[:, 0], np.zeros(len(points)), points[:, 1]]) + middle_of(part)
    drawn: Floats = camera.project(world)[:, :2] * [MM, -MM]
    return drawn


def paint_fabric(fabric: Fabric, camera: Camera, *, fade: bool, defs: dict[str, str]) -> str:
    """A sleeve: for fringe, strand by strand; for cloth, soft folds."""
    t = tones(fabric.shade.colour, FADE if fade else 0.0)
    x, y = fabric.at
    r = fabric.radius_m
    name = f"s{fabric.shade.colour[1:]}{'f' if fade else ''}"
    content = stops(
        (0.0, t.shadow),
        (0.25, mix(t.base, t.light, 0.7)),
        (0.55, t.base),
        (0.85, t.dusk),
        (1.0, t.deep),
    )
    defs.setdefault(name, across(name, content))
    paints = (f"url(#{ref(name)})", t.dusk, t.dusk)
    body = drum((x, y, fabric.bottom_m), (r, r), fabric.top_m - fabric.bottom_m, camera, paints)
    if camera.overhead:
        return body
    veil = f"v{fabric.shade.colour[1:]}{'f' if fade else ''}"
    content = stops(
        (0.0, t.deep, 0.75),
        (0.14, t.deep, 0.22),
        (0.3, t.deep, 0.0),
        (0.72, t.deep, 0.0),
        (0.88, t.deep, 0.2),
        (1.0, t.deep, 0.65),
    )
    defs.setdefault(
        veil,
        f'<linearGradient id="{ref(veil)}" x1="0" y1="0" x2="0" y2="1">{content}</linearGradient>',
    )
    # The ends vanish between balloons, so it is dark there.
    paints = (f"url(#{ref(veil)})", "none", "none")
    dark = drum((x, y, fabric.bottom_m), (r, r), fabric.top_m - fabric.bottom_m, camera, paints)
    return body + _strands(fabric, camera, t.glow, t.deep) + dark


def _strands(fabric: Fabric, camera: Camera, light: str, dark: str) -> str:
    """Upright strands or folds on the visible half, the lower ends of fringe uneven."""
    x, y = fabric.at
    r = fabric.radius_m
    fringe = fabric.material == "fringe"
    count = max(10, min(180, round(2 * math.pi * r / (STRAND_M if fringe else FOLD_M))))
    rng = np.random.default_rng(7)
    turn = (np.arange(count) + rng.uniform(-0.3, 0.3, count)) * (2 * math.pi / count)
    spread = r * (1.06 if fringe else 1.02)
    foot = np.full(count, fabric.bottom_m)
    if fringe:
        foot = np.maximum(foot - rng.uniform(0.0, 0.02, count), min(fabric.bottom_m, 0.0))
    ring = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    low = np.column_stack([[x, y] + spread * ring, foot])
    high = np.column_stack([[x, y] + r * ring, np.full(count, fabric.top_m)])
    shown = camera.project(np.column_stack([ring, np.zeros(count)]))[:, 2] < -0.05
    a, b = camera.project(low), camera.project(high)
    lines = [polyline(np.stack([a[k, :2], b[k, :2]]) * [MM, -MM]) for k in np.flatnonzero(shown)]
    width = r * MM * 2 * math.pi / count
    return (
        f'<path fill="none" stroke="{dark}" stroke-opacity=".45" '
        f'stroke-width="{number(width * 0.34)}" d="{"".join(lines[::2])}"/>'
        f'<path fill="none" stroke="{light}" stroke-opacity=".55" '
        f'stroke-width="{number(width * 0.3)}" d="{"".join(lines[1::2])}"/>'
    )
