"""Where a unit mesh goes: one affine matrix per balloon."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

FRONT = np.array([0.0, -1.0, 0.0])
"""Towards the viewer; a balloon's print (its own -y side) is turned this way."""


def roll_frame(axis: Floats) -> Floats:
    """(N, 3, 3) rotations taking +z to each axis and -y as far as can be to the viewer.

    `axis (N, 3)` unit vectors. A balloon that points straight at or away from the viewer
    has its own -y side turned down instead.
    """
    axis = np.asarray(axis, dtype=float).reshape(-1, 3)
    axis = axis / np.maximum(np.linalg.norm(axis, axis=1, keepdims=True), 1e-12)
    back = -FRONT - axis * (axis @ -FRONT)[:, None]
    up = np.array([0.0, 0.0, 1.0]) - axis * axis[:, 2:3]
    steep = np.linalg.norm(back, axis=1, keepdims=True) < 0.05
    y = np.where(steep, up, back)
    y = y / np.maximum(np.linalg.norm(y, axis=1, keepdims=True), 1e-12)
    x = np.cross(y, axis)
    return np.stack([x, y, axis], axis=-1)


def placement(centre: Floats, radius: Floats, axis: Floats) -> Floats:
    """(N, 4, 4) matrices that put unit balloons at `centre (N, 3)` with `radius (N,)`."""
    rotation = roll_frame(axis)
    matrices = np.zeros((len(rotation), 4, 4))
    matrices[:, :3, :3] = rotation * np.asarray(radius, float).reshape(-1, 1, 1)
    matrices[:, :3, 3] = np.asarray(centre, float).reshape(-1, 3)
    matrices[:, 3, 3] = 1.0
    return matrices
