"""A strip of board bent along a closed outline and standing on edge: the rim of a letter."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh.mesh import Mesh, normals_of

Floats = NDArray[np.float64]


def strip(path: Floats, thick: float, deep: float) -> Mesh:
    """Closed band along a path in the x-z plane, its depth along y.

    Args:
        path: (n, 3) points, the last one the first [m].
        thick: thickness of the board, laid to both sides of the path [m].
        deep: front to back, the path in the middle [m].
    """
    points = path[:-1] if np.allclose(path[0], path[-1]) else path
    if len(points) < 3 or thick <= 0 or deep <= 0:
        raise ValueError("a strip needs three points, a thickness and a depth")
    along = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    aside = np.stack([-along[:, 2], np.zeros(len(points)), along[:, 0]], axis=1)
    aside *= thick / 2 / np.maximum(np.linalg.norm(aside, axis=1, keepdims=True), 1e-12)
    back = np.array([0.0, deep / 2, 0.0])
    # Round the section: outer front, outer back, inner back, inner front; corners stay sharp.
    sides = [points + aside - back, points + aside + back, points - aside + back]
    sides += [points - aside - back]
    vertices, faces = [], []
    for k in range(4):
        start = 2 * k * len(points)
        vertices += [sides[k], sides[(k + 1) % 4]]
        faces.append(_band(len(points)) + start)
    at, rows = np.concatenate(vertices), np.concatenate(faces).astype(np.int32)
    return Mesh(at, rows, normals_of(at, rows))


def _band(count: int) -> NDArray[np.int64]:
    """Two triangles between each pair of points of two rings, one after the other."""
    here = np.arange(count)
    after = (here + 1) % count
    first = np.stack([here, after, here + count], axis=1)
    return np.concatenate([first, np.stack([after, after + count, here + count], axis=1)])
