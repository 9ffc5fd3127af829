"""The other side of a rectangle on the floor, where only one was measured."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airwright.pictures.photo.errors import PhotoError
from airwright.pictures.photo.view import FOCAL_RANGE, USUAL_FOCAL, Floats, Pixel


def depth_of_rectangle(
    corners: Sequence[Pixel],
    width_m: float,
    size: tuple[int, int],
    focal_px: float | None = None,
) -> float:
    """Depth [m] of a rectangle seen in a photo whose near side is known.

    Four marks of a plane make a homography; the images of the rectangle's two directions are at
    right angles in space, which gives the focal length where the camera did not note it, and
    their lengths give the ratio of the sides. Seen square on, the marks tell no focal length:
    then a phone's usual one is taken.

    Zhang and He, "Whiteboard scanning and image enhancement", Digital Signal Processing 17
    (2007), equations 11, 20 and 21 (from memory; the test makes the photo itself).

    Args:
        corners: near left, near right, far right, far left [px].
        width_m: the near side [m].
        size: (width, height) of the photo [px].
        focal_px: the camera's, if it is known [px].

    Raises:
        PhotoError: the marks lie on one line.
    """
    marks = np.asarray(corners, dtype=float).reshape(4, 2) - np.array(size) / 2
    across, along = _directions(marks / max(size))
    focal = _focal(across, along) if focal_px is None else focal_px / max(size)
    lens = np.array([1 / focal, 1 / focal, 1.0])
    ratio = float(np.linalg.norm(lens * along) / np.linalg.norm(lens * across))
    return width_m * ratio


def _directions(marks: Floats) -> tuple[Floats, Floats]:
    """Images (3,) of the rectangle's near side and of its depth, to one common factor."""
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=float)
    rows = []
    for (x, y), (u, v) in zip(square, marks, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    _, strength, found = np.linalg.svd(np.array(rows))
    if strength[-1] < 1e-9 * strength[0]:
        raise PhotoError(
            "room.rectangle",
            "The four points lie on one line.",
            "Mark the corners of a rectangle on the floor.",
        )
    plane = found[-1].reshape(3, 3)
    return plane[:, 0], plane[:, 1]


def _focal(across: Floats, along: Floats) -> float:
    """Focal length over the photo's longer side, from two directions at right angles."""
    bottom = float(across[2] * along[2])
    square = -float(across[0] * along[0] + across[1] * along[1]) / bottom if bottom else 0.0
    low, high = FOCAL_RANGE
    return float(np.sqrt(square)) if low**2 <= square <= high**2 else USUAL_FOCAL
