"""A person's outline for scale: a flat grey figure, 1.70 m tall, beside the decor."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import Mesh, normals_of
from airwright.pictures.photo.materials import matte_patch
from airwright.pictures.photo.parts import Part

Floats = NDArray[np.float64]

PERSON_M = 1.70
"""Height of the outline: about the middle of adults. From memory."""
HALF_WIDTH_M = 0.27
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
    import cv2

    scale = 400.0  # pixels a metre
    canvas = np.zeros((720, 400), np.uint8)

    def spot(x: float, z: float) -> tuple[int, int]:
        return round(200 + x * scale), round(700 - z * scale)

    def limb(points: list[tuple[float, float]], thick: float) -> None:
        for (x0, z0), (x1, z1) in pairwise(points):
            cv2.line(canvas, spot(x0, z0), spot(x1, z1), 255, round(thick * scale))

    cv2.ellipse(
        canvas, spot(0, 1.585), (round(0.078 * scale), round(0.115 * scale)), 0, 0, 360, 255, -1
    )
    limb([(0, 1.5), (0, 1.40)], 0.105)
    trunk = [
        (-0.19, 1.40),
        (0.19, 1.40),
        (0.15, 1.10),
        (0.165, 0.86),
        (-0.165, 0.86),
        (-0.15, 1.10),
    ]
    cv2.fillPoly(canvas, [np.array([spot(*p) for p in trunk])], 255)
    for side in (-1, 1):
        limb([(side * 0.19, 1.36), (side * 0.225, 1.08), (side * 0.235, 0.82)], 0.085)
        limb([(side * 0.085, 0.88), (side * 0.09, 0.46), (side * 0.095, 0.06)], 0.135)
        limb([(side * 0.10, 0.035), (side * 0.125, 0.03)], 0.07)
    soft = cv2.GaussianBlur(canvas, (0, 0), 7)
    found, _ = cv2.findContours(
        (soft > 127).astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE
    )
    ring = max(found, key=len)[:, 0].astype(float)[::4]
    points = np.column_stack(
        [(ring[:, 0] - 200) / scale, np.zeros(len(ring)), (700 - ring[:, 1]) / scale]
    )
    points[:, 2] *= PERSON_M / points[:, 2].max()
    return _filled(points)


def _filled(points: Floats) -> Mesh:
    from scipy.spatial import Delaunay

    from airwright.pictures.mesh.foil import _inside

    flat = points[:, [0, 2]]
    faces = Delaunay(flat).simplices
    faces = faces[_inside(flat[faces].mean(axis=1), (flat,))].astype(np.int32)
    return Mesh(points, faces, normals_of(points, faces))
