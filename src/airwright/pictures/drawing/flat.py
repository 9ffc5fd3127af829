"""Plane geometry for drawings: hulls, and lines with fewer points."""

from __future__ import annotations

import numpy as np

from airwright.decor.assembly import Floats

Point = tuple[float, float]


def hull(points: Floats) -> Floats:
    """Convex hull of (n, 2) points, in order round it (monotone chain)."""
    rows = sorted({(round(float(x), 3), round(float(y), 3)) for x, y in points})
    if len(rows) < 3:
        return np.asarray(rows, dtype=np.float64).reshape(-1, 2)
    return np.asarray(_chain(rows) + _chain(rows[::-1]))


def _chain(rows: list[Point]) -> list[Point]:
    out: list[Point] = []
    for point in rows:
        while len(out) > 1 and _turn(out[-2], out[-1], point) <= 0.0:
            out.pop()
        out.append(point)
    return out[:-1]


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def simplify(points: Floats, tolerance: float) -> Floats:
    """Drop points (n, 2) that lie within `tolerance` of the line that remains."""
    if len(points) < 3:
        return points
    keep = np.zeros(len(points), dtype=bool)
    keep[[0, -1]] = True
    stack = [(0, len(points) - 1)]
    while stack:
        a, b = stack.pop()
        if b - a < 2:
            continue
        away = _off_line(points[a + 1 : b], points[a], points[b])
        worst = int(np.argmax(away))
        if away[worst] > tolerance:
            k = a + 1 + worst
            keep[k] = True
            stack += [(a, k), (k, b)]
    return points[keep]


def _off_line(points: Floats, start: Floats, end: Floats) -> Floats:
    along, off = end - start, points - start
    size = float(np.hypot(*along))
    if size < 1e-9:
        return np.asarray(np.hypot(off[:, 0], off[:, 1]))
    return np.asarray(np.abs(off[:, 0] * along[1] - off[:, 1] * along[0]) / size)
