"""Photographs of rooms whose camera is known, because they are drawn here."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

WIDE, TALL = 1600, 1200
FOCAL_PX = 1200.0
"""27 mm on 36 mm film, a phone's main lens."""
EYE = np.array([0.6, -5.2, 1.6])
PAN, DOWN = 0.12, 0.16
SIDES = (3.0, 2.0)
"""Width and depth [m] of the mat on the floor."""


def project(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Pixels (N, 2) of points (N, 3) [m]: x to the right, y into the depth, z up."""
    forward = np.array([-np.sin(PAN) * np.cos(DOWN), np.cos(PAN) * np.cos(DOWN), -np.sin(DOWN)])
    right = np.array([np.cos(PAN), np.sin(PAN), 0.0])
    axes = np.array([right, np.cross(forward, right), forward])
    local = (points - EYE) @ axes.T
    return np.array([WIDE, TALL]) / 2 + FOCAL_PX * local[:, :2] / local[:, 2:]


def corners() -> list[list[float]]:
    """The mat's corners [px]: near left, near right, far right, far left."""
    wide, deep = SIDES
    floor = np.array([[-1, -1, 0], [1, -1, 0], [1, 1, 0], [-1, 1, 0]]) * [wide / 2, deep / 2, 0]
    return [[round(float(x), 1), round(float(y), 1)] for x, y in project(floor)]


def table() -> list[list[float]]:
    """Outline [px] of a board that stands before the mat."""
    board = np.array([[0.7, -1.6, 0], [1.6, -1.6, 0], [1.6, -1.6, 0.75], [0.7, -1.6, 0.75]])
    return [[round(float(x), 1), round(float(y), 1)] for x, y in project(board)]


def photo() -> bytes:
    """A hall with a wall behind, a mat on the floor and a board in front (JPEG)."""
    image = Image.new("RGB", (WIDE, TALL), "#b9b2a6")
    draw = ImageDraw.Draw(image)

    def face(points: list[list[float]], colour: str) -> None:
        draw.polygon([tuple(p) for p in project(np.array(points, dtype=float))], fill=colour)

    face([[-8, 2.6, 0], [8, 2.6, 0], [8, 2.6, 5], [-8, 2.6, 5]], "#dcd6cb")
    for at in range(-8, 9):
        ends = project(np.array([[at, -3.2, 0], [at, 2.6, 0]], dtype=float))
        draw.line([tuple(p) for p in ends], fill="#a29a8c", width=2)
    draw.polygon([tuple(p) for p in corners()], fill="#7f8f86", outline="#3f4a44")
    draw.polygon([tuple(p) for p in table()], fill="#6b4a33")
    notes = Image.Exif()
    notes.get_ifd(0x8769)[41989] = 27
    out = io.BytesIO()
    image.save(out, "JPEG", quality=92, exif=notes)
    return out.getvalue()
