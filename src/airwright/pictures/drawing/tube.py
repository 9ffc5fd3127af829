"""Long parts: ribbons, 260s, loops, lines, poles and rods, threaded between the balloons.

A part's centre line is cut where it passes from before a balloon to behind one. A stretch
that lies outside a balloon and on the viewer's side of its centre is in front of it, so
comparing depths with the centres is exact; what lies inside a balloon is not seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from airwright.decor.assembly import Fabric, Floats, Ints
from airwright.pictures.drawing.balloon import Cast
from airwright.pictures.drawing.flat import simplify
from airwright.pictures.drawing.paint import FADE, mix, tones
from airwright.pictures.drawing.svg import number, polyline
from airwright.pictures.drawing.values import MM, Bools

STEP_M = 0.018
"""Longest stretch that is sorted as one."""
MOST_POINTS = 1500
INSIDE = 0.9
"""A point this deep inside a balloon (share of its radius) is out of sight."""


@dataclass(frozen=True, eq=False)
class Stretch:
    """A run of a centre line with one place in the painting order.

    `points (n, 3)`: right, up, away [m]; `depth` is where it is painted [m]; `first` and
    `last` say whether it holds an end of the whole line.
    """

    points: Floats
    depth: float
    first: bool
    last: bool


def resample(
    path: Sequence[Sequence[float]], step: float = STEP_M, round_off: bool = True
) -> Floats:
    """Points (n, 3) along a path at most `step` apart; bends become curves if asked."""
    raw = np.asarray(path, dtype=np.float64).reshape(-1, 3)
    if len(raw) < 2:
        return raw
    keep = np.concatenate([[True], np.linalg.norm(np.diff(raw, axis=0), axis=1) > 1e-9])
    raw = np.asarray(raw[keep])
    if len(raw) < 2:
        return raw
    lengths = np.linalg.norm(np.diff(raw, axis=0), axis=1)
    step = max(step, float(lengths.sum()) / MOST_POINTS)
    counts = np.maximum(1, np.ceil(lengths / step).astype(int))
    padded = np.concatenate([2 * raw[:1] - raw[1:2], raw, 2 * raw[-1:] - raw[-2:-1]])
    out: list[Floats] = []
    for k, count in enumerate(counts):
        t = np.linspace(0.0, 1.0, count, endpoint=False)[:, None]
        p0, p1, p2, p3 = padded[k : k + 4]
        if round_off and len(raw) > 2:
            out.append(_catmull(p0, p1, p2, p3, t))
        else:
            out.append(p1 + (p2 - p1) * t)
    out.append(raw[-1:])
    return np.concatenate(out)


def _catmull(p0: Floats, p1: Floats, p2: Floats, p3: Floats, t: Floats) -> Floats:
    # Tangents no longer than the piece itself, so that uneven points make no loops.
    span = float(np.linalg.norm(p2 - p1))
    m1, m2 = (_short((p2 - p0) / 2, span), _short((p3 - p1) / 2, span))
    return np.asarray(
        (2 * t**3 - 3 * t**2 + 1) * p1
        + (t**3 - 2 * t**2 + t) * m1
        + (3 * t**2 - 2 * t**3) * p2
        + (t**3 - t**2) * m2
    )


def _short(v: Floats, most: float) -> Floats:
    size = float(np.linalg.norm(v))
    return v if size <= most else np.asarray(v * (most / size))


def stretches(
    line: Floats, half: float, found: Cast, wrapped: Bools | None = None
) -> list[Stretch]:
    """Cut a projected centre line (n, 3) of half width `half` into stretches that are seen.

    `wrapped (n - 1,)` says which pieces of it lie inside a sleeve.
    """
    if len(line) < 2:
        return []
    middle = (line[1:] + line[:-1]) / 2
    before, behind, inside = _limits(middle, half, found)
    if wrapped is not None:
        inside |= wrapped
    out: list[Stretch] = []
    start = 0
    count = len(middle)
    while start < count:
        if inside[start]:
            start += 1
            continue
        low, high = before[start], behind[start]
        stop = start + 1
        while stop < count and not inside[stop]:
            next_low, next_high = max(low, before[stop]), min(high, behind[stop])
            if next_low >= next_high:
                break
            low, high = next_low, next_high
            stop += 1
        depth = float(middle[start:stop, 2].mean())
        depth = float(min(max(depth, low + 1e-6), high - 1e-6))
        out.append(Stretch(line[start : stop + 1], depth, start == 0, stop == count))
        start = stop
    return out


def wrapped(line: Floats, fabrics: Sequence[Fabric]) -> Bools:
    """Which pieces (n - 1,) of a line (n, 3) in world axes lie inside a sleeve."""
    middle = (line[1:] + line[:-1]) / 2
    inside = np.zeros(len(middle), dtype=bool)
    for fabric in fabrics:
        x, y = fabric.at
        off = np.hypot(middle[:, 0] - x, middle[:, 1] - y)
        high = (middle[:, 2] > fabric.bottom_m) & (middle[:, 2] < fabric.top_m)
        inside |= (off < fabric.radius_m) & high
    return inside


def covered(line: Floats, found: Cast) -> list[Floats]:
    """Runs (n, 3) of a projected line that balloons hide."""
    if len(line) < 2:
        return []
    middle = (line[1:] + line[:-1]) / 2
    gone = np.zeros(len(middle), dtype=bool)
    for row in np.flatnonzero(found.drawn):
        d = middle - found.centre[row]
        over = np.hypot(d[:, 0], d[:, 1]) < 0.97 * found.radius[row]
        gone |= over & (d[:, 2] > -0.9 * found.radius[row])
    out: list[Floats] = []
    start: int | None = None
    for k in range(len(middle) + 1):
        if k < len(middle) and gone[k]:
            start = k if start is None else start
        elif start is not None:
            out.append(line[start : k + 1])
            start = None
    return out


def paint_hidden(line: Floats, colour: str, width_m: float) -> str:
    """A dashed line for what lies behind other parts."""
    width = min(max(0.5 * width_m * MM, 4.5), 8.0)
    dash = f"{number(2.2 * width)} {number(1.9 * width)}"
    path = f'fill="none" stroke-linecap="round" d="{polyline(line[:, :2] * [MM, -MM])}"'
    return (
        f'<path {path} stroke="#fff" stroke-opacity=".75" stroke-width="{number(width * 1.9)}"/>'
        f'<path {path} stroke="{tones(colour).deep}" stroke-width="{number(width)}" '
        f'stroke-dasharray="{dash}"/>'
    )


def _limits(middle: Floats, half: float, found: Cast) -> tuple[Floats, Floats, Bools]:
    """For each stretch: deepest balloon before it, nearest behind it, and whether it is inside."""
    count = len(middle)
    before = np.full(count, -np.inf)
    behind = np.full(count, np.inf)
    inside = np.zeros(count, dtype=bool)
    rows = np.flatnonzero(found.drawn)
    if len(rows) == 0:
        return before, behind, inside
    from scipy.spatial import cKDTree

    reach = found.radius[rows] * 1.3 + half
    tree = cKDTree(middle[:, :2])
    touched = tree.query_ball_point(found.centre[rows, :2], reach)
    for row, steps in zip(rows, touched, strict=True):
        if not steps:
            continue
        k: Ints = np.asarray(steps, dtype=np.int64)
        d = middle[k] - found.centre[row]
        depth = found.centre[row, 2]
        back = d[:, 2] > 0
        before[k[back]] = np.maximum(before[k[back]], depth)
        behind[k[~back]] = np.minimum(behind[k[~back]], depth)
        inside[k] |= (d * d).sum(axis=1) < (INSIDE * found.radius[row]) ** 2
    return before, behind, inside


def paint_tube(piece: Stretch, width_m: float, colour: str, *, fade: bool, shiny: bool) -> str:
    """SVG of one stretch as a shaded tube: edge, body and a streak of light."""
    t = tones(colour, FADE if fade else 0.0)
    width = max(width_m * MM, 1.5)
    flat = simplify(piece.points[:, :2] * [MM, -MM], 0.04 * width + 0.15)
    d = polyline(flat)
    cap = "round" if shiny and (piece.first or piece.last) else "butt"
    common = f'fill="none" stroke-linecap="{cap}" stroke-linejoin="round"'
    body = mix(t.base, t.dusk, 0.35)
    out = f'<path {common} stroke="{t.shadow}" stroke-width="{number(width)}" d="{d}"/>'
    if width > 2.5:
        out += f'<path {common} stroke="{body}" stroke-width="{number(width * 0.72)}" d="{d}"/>'
    if width > 4.0:
        lit = polyline(flat + np.array([-0.13, -0.16]) * width)
        streak = mix(t.light, t.glow, 0.5 if shiny else 0.1)
        out += (
            f'<path {common} stroke="{streak}" stroke-opacity=".8" '
            f'stroke-width="{number(width * 0.24)}" d="{lit}"/>'
        )
    return out
