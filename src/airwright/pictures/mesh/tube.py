"""Tubes along a path (ribbons, rods, modelling balloons) and rounded plates."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from airwright.physics.bodies import TUBE_KNOT_RADIUS
from airwright.pictures.mesh.detail import FINE, Detail
from airwright.pictures.mesh.mesh import Mesh, normals_of

Floats = NDArray[np.float64]
Path = Sequence[Sequence[float]] | Floats


def tube(path: Path, diameter: float, sides: int = FINE.sides, *, round_ends: bool = False) -> Mesh:
    """Closed round tube along a path (n, 3), in the path's units.

    Repeated points are dropped; a path of fewer than two places is refused. The frame is
    carried from point to point without twist. `round_ends` gives half balls instead of lids.
    """
    if diameter <= 0:
        raise ValueError("a tube needs a diameter above zero")
    points = _distinct(np.asarray(path, dtype=float).reshape(-1, 3))
    if len(points) < 2:
        raise ValueError("a tube needs a path of at least two different points")
    return _swept(points, np.full(len(points), diameter / 2), sides, round_ends)


def _distinct(points: Floats) -> Floats:
    keep = np.concatenate([[True], np.linalg.norm(np.diff(points, axis=0), axis=1) > 1e-9])
    return np.asarray(points[keep])


def _swept(points: Floats, radii: Floats, sides: int, round_ends: bool) -> Mesh:
    tangents = _tangents(points)
    if round_ends:
        points, radii, tangents = _with_caps(points, radii, tangents)
    first, second = _frames(tangents)
    angle = np.arange(sides) * (2 * np.pi / sides)
    ring = (
        np.cos(angle)[None, :, None] * first[:, None]
        + np.sin(angle)[None, :, None] * second[:, None]
    )
    body = (points[:, None] + radii[:, None, None] * ring).reshape(-1, 3)
    vertices = np.concatenate([body, points[:1], points[-1:]])
    faces = tube_faces(len(points), sides)
    return Mesh(vertices, faces, normals_of(vertices, faces))


def tube_faces(rows: int, sides: int) -> NDArray[np.int32]:
    """Triangles of rings of `sides` points, then one point that closes each end."""
    k = np.arange(sides)
    nxt = (k + 1) % sides
    base = (np.arange(rows - 1) * sides)[:, None]
    one = np.stack([base + k, base + nxt, base + sides + nxt], axis=-1).reshape(-1, 3)
    two = np.stack([base + k, base + sides + nxt, base + sides + k], axis=-1).reshape(-1, 3)
    start, end, last = rows * sides, rows * sides + 1, (rows - 1) * sides
    low = np.stack([np.full(sides, start), nxt, k], axis=1)
    high = np.stack([np.full(sides, end), last + k, last + nxt], axis=1)
    return np.concatenate([one, two, low, high]).astype(np.int32)


def _tangents(points: Floats) -> Floats:
    step = np.diff(points, axis=0)
    step /= np.linalg.norm(step, axis=1, keepdims=True)
    middle = step[:-1] + step[1:]
    size = np.linalg.norm(middle, axis=1, keepdims=True)
    middle = np.where(size > 1e-9, middle / np.maximum(size, 1e-9), step[1:])
    return np.concatenate([step[:1], middle, step[-1:]])


def _with_caps(points: Floats, radii: Floats, tangents: Floats) -> tuple[Floats, Floats, Floats]:
    t = np.linspace(0.08, np.pi / 2, 6, endpoint=False)
    front = points[0] - radii[0] * np.cos(t)[:, None] * tangents[0]
    back = points[-1] + radii[-1] * np.cos(t[::-1])[:, None] * tangents[-1]
    return (
        np.concatenate([front, points, back]),
        np.concatenate([radii[0] * np.sin(t), radii, radii[-1] * np.sin(t[::-1])]),
        np.concatenate([np.tile(tangents[0], (6, 1)), tangents, np.tile(tangents[-1], (6, 1))]),
    )


def _frames(tangents: Floats) -> tuple[Floats, Floats]:
    """Two unit vectors across the path at each point, turned as little as possible."""
    start = np.eye(3)[np.argmin(np.abs(tangents[0]))]
    first = np.empty_like(tangents)
    previous = start
    for row, tangent in enumerate(tangents):
        across = previous - tangent * (previous @ tangent)
        size = np.linalg.norm(across)
        if size < 1e-9:  # a right-angled turn into the old direction
            across = np.eye(3)[np.argmin(np.abs(tangent))]
            across = across - tangent * (across @ tangent)
            size = np.linalg.norm(across)
        previous = first[row] = across / size
    return first, np.cross(tangents, first)


def modelling(path: Path, diameter: float, detail: Detail = FINE) -> Mesh:
    """Inflated modelling balloon along a path, neck first: round tip, knot at the neck."""
    points = _distinct(np.asarray(path, dtype=float).reshape(-1, 3))
    if len(points) < 2:
        raise ValueError("a balloon needs a path of at least two different points")
    r = diameter / 2
    tangents = _tangents(points)
    t = np.linspace(0.0, np.pi / 2, 7)
    k = TUBE_KNOT_RADIUS
    neck = np.array([-1.35, -1.22, -1.14, -1.06, -1.0])
    neck_rho = np.array([0.9 * k, 1.5 * k, 0.7 * k, 1.5 * k, 0.8 * k])
    low = np.arcsin(k) + t[1:-1] * (1 - np.arcsin(k) / (np.pi / 2))
    front_at = np.concatenate([neck, -np.cos(low)])
    front_rho = np.concatenate([neck_rho, np.sin(low)])
    front = points[0] + r * (front_at[:, None] + 0.0) * tangents[0]
    back = points[-1] + r * np.cos(t[::-1])[1:, None] * tangents[-1]
    rows = np.concatenate([front, points, back])
    radii = r * np.concatenate([front_rho, np.ones(len(points)), np.sin(t[::-1])[1:]])
    radii[-1] = 0.02 * r
    return _swept(rows, radii, detail.sides, False)


def plate(width: float, depth: float, height: float, corner: float = 0.02) -> Mesh:
    """Closed plate on z = 0 with rounded corners and a small bevel at its upper rim."""
    if min(width, depth, height) <= 0:
        raise ValueError("a plate needs width, depth and height above zero")
    corner = min(corner, width / 2.01, depth / 2.01)
    bevel = min(0.3 * height, 0.006, corner / 2)
    levels = [(0.0, 0.0), (0.0, height - bevel), (bevel, height)]
    rings = [_rounded(width - 2 * i, depth - 2 * i, corner - i, z) for i, z in levels]
    sides = len(rings[0])
    vertices = np.concatenate([*rings, [[0, 0, 0.0]], [[0, 0, height]]])
    faces = tube_faces(len(levels), sides)
    return Mesh(vertices, faces, normals_of(vertices, faces))


def _rounded(width: float, depth: float, corner: float, z: float) -> Floats:
    """Ring of a rectangle with round corners, anticlockwise from above."""
    quarter = np.linspace(0, np.pi / 2, 9)
    rows = []
    for turn, (sx, sy) in enumerate([(1, 1), (-1, 1), (-1, -1), (1, -1)]):
        angle = quarter + turn * np.pi / 2
        x = sx * (width / 2 - corner) + corner * np.cos(angle)
        y = sy * (depth / 2 - corner) + corner * np.sin(angle)
        rows.append(np.stack([x, y, np.full_like(x, z)], axis=1))
    return np.concatenate(rows)
