"""A person's outline for scale: a flat grey figure, 1.70 m tall, beside the decor."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import Mesh, normals_of
from airwright.pictures.person import WIDE_M, dense_outline
from airwright.pictures.photo.materials import matte_patch
from airwright.pictures.photo.parts import Part

Floats = NDArray[np.float64]

HALF_WIDTH_M = WIDE_M / 2
GREY = 0.42


def person(at: tuple[float, float], turn_rad: float) -> Part:
    """The figure standing at (x, y), facing the camera."""
    c, s = np.cos(turn_rad), np.sin(turn_rad)
    matrix = np.eye(4)
    matrix[:3, :3] = [[c, -s, 0], [s, c, 0], [0, 0, 1]]
    matrix[:2, 3] = at
    grey = np.full(3, GREY)
    return Part("person", _figure(), matte_patch(grey), grey, matrix[None])


@lru_cache(maxsize=1)
def _figure() -> Mesh:
    flat = dense_outline()
    return _filled(np.column_stack([flat[:, 0], np.zeros(len(flat)), flat[:, 1]]))


def _filled(points: Floats) -> Mesh:
    from scipy.spatial import Delaunay

    from airwright.pictures.mesh.foil import _inside

    flat = points[:, [0, 2]]
    faces = Delaunay(flat).simplices
    faces = faces[_inside(flat[faces].mean(axis=1), (flat,))].astype(np.int32)
    return Mesh(points, faces, normals_of(points, faces))
