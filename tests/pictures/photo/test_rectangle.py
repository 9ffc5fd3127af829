"""The side of a rectangle that nobody measured, from a photo made by a pinhole camera here."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from airwright.pictures.photo.errors import PhotoError
from airwright.pictures.photo.rectangle import depth_of_rectangle

SIZE = (1600, 1200)


def photo_of(
    width: float, depth: float, focal_px: float, yaw_deg: float, down_deg: float = 20.0
) -> list[tuple[float, float]]:
    """Corners [px] of a rectangle on the floor before a camera 1.6 m up, turned and tilted."""
    yaw, down = np.radians([yaw_deg, down_deg])
    turn = np.array([[np.cos(yaw), np.sin(yaw), 0], [-np.sin(yaw), np.cos(yaw), 0], [0, 0, 1]])
    right = np.array([1.0, 0, 0])
    forward = np.array([0, np.cos(down), -np.sin(down)])
    axes: NDArray[np.float64] = np.array([right, np.cross(forward, right), forward])
    at = np.array([0.0, -5.0, 1.6])
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * [width / 2, depth / 2]
    floor = np.column_stack([corners, np.zeros(4)]) @ turn.T
    local = (floor - at) @ axes.T
    pixels = np.array(SIZE) / 2 + focal_px * local[:, :2] / local[:, 2:]
    return [(float(x), float(y)) for x, y in pixels]


@pytest.mark.parametrize("yaw", [0.0, 12.0, 35.0])
@pytest.mark.parametrize(("width", "depth"), [(3.0, 2.0), (1.2, 2.4), (2.0, 2.0)])
def test_a_known_lens_gives_the_depth(width: float, depth: float, yaw: float) -> None:
    corners = photo_of(width, depth, 1180.0, yaw)
    assert depth_of_rectangle(corners, width, SIZE, 1180.0) == pytest.approx(depth, rel=1e-9)


@pytest.mark.parametrize("focal", [900.0, 1180.0, 2400.0])
def test_seen_at_a_corner_the_marks_give_the_lens_too(focal: float) -> None:
    corners = photo_of(3.0, 2.0, focal, 30.0)
    assert depth_of_rectangle(corners, 3.0, SIZE) == pytest.approx(2.0, rel=1e-6)


def test_square_on_the_usual_lens_is_taken() -> None:
    corners = photo_of(3.0, 2.0, 0.75 * 1600, 0.0)
    assert depth_of_rectangle(corners, 3.0, SIZE) == pytest.approx(2.0, rel=1e-6)


def test_points_on_one_line_make_no_rectangle() -> None:
    with pytest.raises(PhotoError, match="one line"):
        depth_of_rectangle([(0, 0), (1, 1), (2, 2), (3, 3)], 2.0, SIZE)
