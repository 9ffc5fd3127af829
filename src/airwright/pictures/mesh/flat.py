"""Flat things: boards by the outline of their face, and leaves by their midrib."""

from __future__ import annotations

import numpy as np

from airwright.pictures.mesh.mesh import Floats, Mesh, joined, normals_of

LEAF_STATIONS = 9
LEAF_FOLD = 0.25
"""How far a leaf is folded along its midrib, of its half width."""


def board(outline: Floats, thickness: float) -> Mesh:
    """A board of even thickness that fills a convex outline.

    Args:
        outline: (n, 3) corners of its front face in order, closed or not [m].
        thickness: behind that face, along y [m].
    """
    ring = np.asarray(outline, dtype=float)
    if np.allclose(ring[0], ring[-1]):
        ring = ring[:-1]
    x, z = ring[:, 0], ring[:, 2]
    if float(x @ np.roll(z, -1) - z @ np.roll(x, -1)) < 0.0:
        ring = ring[::-1]  # anticlockwise seen from the front
    back = ring + np.array([0.0, thickness, 0.0])
    front_face, back_face = _fan(ring), _fan(back[::-1])
    rim = [
        _sheet(np.array([a, b, d, c]))
        for a, b, c, d in zip(
            ring, back, np.roll(ring, -1, axis=0), np.roll(back, -1, axis=0), strict=True
        )
    ]
    return joined([front_face, back_face, *rim])


def _fan(ring: Floats) -> Mesh:
    """A convex face from its middle."""
    points = np.concatenate([ring.mean(axis=0)[None], ring])
    many = len(ring)
    at = np.arange(many)
    faces = np.column_stack([np.zeros(many), 1 + at, 1 + (at + 1) % many]).astype(np.int32)
    return Mesh(points, faces, normals_of(points, faces))


def _sheet(corners: Floats) -> Mesh:
    """One flat quadrangle (4, 3)."""
    faces = np.array([[0, 1, 2], [0, 2, 3]], dtype=np.int32)
    return Mesh(corners, faces, normals_of(corners, faces))


def lettering(corners: Floats, at: Floats) -> Mesh:
    """Flat letters in front of a board.

    Args:
        corners: (t, 3, 2) triangles that fill them, right and up from `at` [m].
        at: (3,) their origin [m].
    """
    points = np.zeros((3 * len(corners), 3))
    points[:, 0], points[:, 2] = corners[..., 0].ravel(), corners[..., 1].ravel()
    faces = np.arange(len(points), dtype=np.int32).reshape(-1, 3)
    a, b, c = (corners[:, k] for k in range(3))
    turn = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    faces[turn < 0.0] = faces[turn < 0.0][:, ::-1]
    normals = np.tile([0.0, -1.0, 0.0], (len(points), 1))
    return Mesh(points + at, faces, normals)


def leaf(midrib: Floats, width: float) -> Mesh:
    """A pointed leaf, folded a little along its midrib and seen from both sides.

    Args:
        midrib: (3, 3) foot, middle and tip [m]; it is bowed towards the side that is its face.
        width: where it is widest [m].
    """
    foot, middle, tip = np.asarray(midrib, dtype=float)
    t = np.linspace(0.0, 1.0, LEAF_STATIONS)[:, None]
    spine = (1 - t) ** 2 * foot + 2 * t * (1 - t) * (2 * middle - (foot + tip) / 2) + t**2 * tip
    way = np.gradient(spine, axis=0)
    way /= np.linalg.norm(way, axis=1)[:, None] + 1e-12
    face = middle - (foot + tip) / 2
    norm = float(np.linalg.norm(face))
    face = face / norm if norm > 1e-9 else np.array([0.0, -1.0, 0.0])
    side = np.cross(way, face)
    side /= np.linalg.norm(side, axis=1)[:, None] + 1e-12
    half = width / 2 * np.sin(np.pi * t**0.8) ** 0.75
    edge = half * side + LEAF_FOLD * half * face
    other = -half * side + LEAF_FOLD * half * face
    points = np.concatenate([spine, spine + edge, spine + other])
    faces = []
    for row in range(LEAF_STATIONS - 1):
        for first, second in ((0, LEAF_STATIONS), (2 * LEAF_STATIONS, 0)):
            a, b = first + row, second + row
            faces += [[a, b, a + 1], [b, b + 1, a + 1]]
    upper = np.array(faces, dtype=np.int32)
    one = Mesh(points, upper, normals_of(points, upper))
    under = upper[:, ::-1].copy()
    return joined([one, Mesh(points.copy(), under, normals_of(points, under))])
