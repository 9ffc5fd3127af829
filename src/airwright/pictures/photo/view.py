"""A camera at a venue: where it stood, and where it shows what."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.photo.errors import PhotoError

Floats = NDArray[np.float64]
Pixel = tuple[float, float]

FOCAL_RANGE = (0.45, 4.0)
"""Focal lengths tried, over the photo's longer side: a wide phone lens to a tele."""
USUAL_FOCAL = 0.75
"""A phone's main lens (27 mm on 36 mm film), where the marks do not tell."""


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A camera fitted to marks.

    Attributes:
        rotation: (3, 3) floor axes to camera axes (x right, y down, z forward).
        at: (3,) the lens, in floor axes [m].
        focal_px: focal length [px].
        size: (width, height) of the photo [px].
        misfit_px: root mean square distance between marks and their places in the fit [px].
        focal_known: whether the focal length came from the camera rather than the fit.
        covariance: (7, 7) doubt of turn [rad, own axes], place [m] and log focal length.
    """

    rotation: Floats
    at: Floats
    focal_px: float
    size: tuple[int, int]
    misfit_px: float
    focal_known: bool
    covariance: Floats = field(default_factory=lambda: np.zeros((7, 7)))

    def project(self, points: Floats) -> Floats:
        """(N, 2) pixels of points (N, 3) [m]."""
        local = (np.asarray(points, float).reshape(-1, 3) - self.at) @ self.rotation.T
        middle = np.array(self.size) / 2
        depth = np.maximum(local[:, 2:], 1e-6)
        return np.asarray(middle + self.focal_px * local[:, :2] / depth)

    def on_floor(self, pixel: Pixel) -> Floats:
        """(2,) where the line of sight of a pixel meets the floor [m].

        Raises PhotoError above the horizon.
        """
        middle = np.array(self.size) / 2
        way = np.append((np.asarray(pixel) - middle) / self.focal_px, 1.0) @ self.rotation
        if way[2] > -1e-3:
            raise PhotoError(
                "room.above-horizon",
                f"The mark at {pixel[0]:.0f}, {pixel[1]:.0f} lies above the floor's horizon.",
                "Mark a point on the floor.",
            )
        return np.asarray((self.at - self.at[2] / way[2] * way)[:2])
