"""Where the photographer stands: level camera at eye height, everything in the frame.

The camera looks straight into the depth (+y) and is never tilted; the film is shifted
instead, as with a view camera, so that poles and door frames stay upright.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

EYE_HEIGHT_M = 1.60
"""Eye of a standing adult. Common practice among photographers, from memory."""
LENS = 1.55
"""Focal length over the longer side of the film: a 55 mm lens on 36 mm film."""
MARGIN = 0.075
"""Empty share of the frame at each edge, at least."""
FLOOR_MARGIN = 0.10
"""Empty share below, so that the decor stands on a floor and not on the picture's edge."""
NEAREST_M = 1.0
STEEPEST = 2.6
"""The camera stands at least so many times as far away as it is above the middle of the decor:
more steeply seen, a shifted film would draw balls out to eggs."""


@dataclass(frozen=True, slots=True)
class Camera:
    """A level camera.

    Attributes:
        at: (x, y, z) of the lens [m].
        turn_rad: 0 looks along +y; positive looks further to the left (anticlockwise).
        focal: focal length over the film's width [-].
        shift: (right, up) of the film's middle against the lens axis, in film widths [-].
        size: (width, height) [px].
    """

    at: tuple[float, float, float]
    turn_rad: float
    focal: float
    shift: tuple[float, float]
    size: tuple[int, int]

    def project(self, points: Floats) -> Floats:
        """(N, 2) pixels of points (N, 3) [m]; y runs down. Points behind come out as inf."""
        c, s = np.cos(-self.turn_rad), np.sin(-self.turn_rad)
        offset = np.asarray(points, float).reshape(-1, 3) - np.array(self.at)
        right = c * offset[:, 0] - s * offset[:, 1]
        depth = s * offset[:, 0] + c * offset[:, 1]
        safe = np.where(depth > 1e-6, depth, np.nan)
        width, height = self.size
        x = width / 2 + width * (self.focal * right / safe - self.shift[0])
        y = height / 2 - width * (self.focal * offset[:, 2] / safe - self.shift[1])
        return np.asarray(np.nan_to_num(np.stack([x, y], axis=1), nan=np.inf))


def fitted(
    points: Floats,
    size: tuple[int, int],
    *,
    eye_m: float = EYE_HEIGHT_M,
    turn_rad: float = 0.0,
) -> Camera:
    """The nearest camera at eye height that shows all `points (N, 3)` [m] within the margins.

    `turn_rad` walks round the piece (positive: seen from its right).
    """
    width, height = size
    long_side = max(width, height)
    focal = LENS * long_side / width
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    # turn the world instead of the camera
    c, s = np.cos(-turn_rad), np.sin(-turn_rad)
    turned = points - middle
    turned = np.stack(
        [c * turned[:, 0] - s * turned[:, 1], s * turned[:, 0] + c * turned[:, 1], points[:, 2]], 1
    )
    distance = _distance(turned, focal, size, eye_m)
    least = STEEPEST * abs(eye_m - float(middle[2]))
    if distance < least:  # a small thing near the floor: step back and take a longer lens
        distance = least
        focal = _focal(turned, distance, size, eye_m)
    across = turned[:, 0] / (turned[:, 1] + distance)
    up = (turned[:, 2] - eye_m) / (turned[:, 1] + distance)
    across_mid = focal * (across.min() + across.max()) / 2
    low, high = focal * up.min(), focal * up.max()
    frame = height / width
    # what is left over goes two fifths below, three fifths above, unless the floor needs more
    spare = frame - (high - low)
    below = min(max(0.42 * spare, FLOOR_MARGIN * frame), spare - MARGIN * frame)
    up_mid = low - below + frame / 2
    c, s = np.cos(turn_rad), np.sin(turn_rad)
    at = (float(middle[0] + s * distance), float(middle[1] - c * distance), float(eye_m))
    return Camera(at, float(turn_rad), float(focal), (float(across_mid), float(up_mid)), size)


def _focal(points: Floats, distance: float, size: tuple[int, int], eye_m: float) -> float:
    """Longest lens with which both spans fit from a distance."""
    depth = points[:, 1] + distance
    frame = size[1] / size[0]
    across = float(np.ptp(points[:, 0] / depth)) / (1.0 - 2 * MARGIN)
    up = float(np.ptp((points[:, 2] - eye_m) / depth)) / (frame * (1.0 - MARGIN - FLOOR_MARGIN))
    return 1.0 / max(across, up, 1e-3)


def _distance(points: Floats, focal: float, size: tuple[int, int], eye_m: float) -> float:
    """Smallest distance from the middle at which both spans fit (bisection)."""
    frame = size[1] / size[0]
    room_across = 1.0 - 2 * MARGIN
    room_up = frame * (1.0 - MARGIN - FLOOR_MARGIN)
    nearest = float(-points[:, 1].min()) + NEAREST_M

    def fits(distance: float) -> bool:
        depth = points[:, 1] + distance
        across = focal * points[:, 0] / depth
        up = focal * (points[:, 2] - eye_m) / depth
        return bool(np.ptp(across) <= room_across and np.ptp(up) <= room_up)

    low, high = nearest, nearest
    while not fits(high) and high < 1e5:
        high *= 1.5
    for _ in range(50):
        mid = (low + high) / 2
        low, high = (low, mid) if fits(mid) else (mid, high)
    return high
