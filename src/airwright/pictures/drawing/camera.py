"""From the world to the picture plane: parallel projection, so that lengths stay true."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from airwright.decor.assembly import Floats
from airwright.pictures.drawing.values import DrawingError, Sight, View

CORNER_AZIMUTH_RAD = math.radians(34.0)
CORNER_ELEVATION_RAD = math.radians(14.0)

SIGHTS = {
    View.FRONT: Sight(0.0, 0.0),
    View.SIDE: Sight(math.pi / 2, 0.0),
    View.TOP: Sight(0.0, math.pi / 2),
    View.CORNER: Sight(CORNER_AZIMUTH_RAD, CORNER_ELEVATION_RAD),
}


@dataclass(frozen=True, eq=False)
class Camera:
    """A parallel projection.

    `rows (3, 3)`: unit vectors to the picture's right, up the picture, and away from the
    viewer, in world axes.
    """

    sight: Sight
    rows: Floats

    def project(self, points: Floats) -> Floats:
        """World points (..., 3) [m] to (right, up, away) [m]."""
        return np.asarray(points, dtype=np.float64) @ self.rows.T

    @property
    def level(self) -> bool:
        """Whether the viewer looks horizontally (the floor is a line)."""
        return abs(math.sin(self.sight.elevation_rad)) < 1e-9

    @property
    def overhead(self) -> bool:
        """Whether the viewer looks straight down."""
        return math.cos(self.sight.elevation_rad) < 1e-9


def camera(view: View | Sight | str) -> Camera:
    """The projection of a named view or a direction of looking."""
    if isinstance(view, Sight):
        sight = view
    else:
        try:
            sight = SIGHTS[View(view)]
        except ValueError:
            names = ", ".join(item.value for item in View)
            raise DrawingError(f'There is no view "{view}".', f"Choose one of {names}.") from None
    ca, sa = _turn(sight.azimuth_rad)
    ce, se = _turn(sight.elevation_rad)
    right = np.array([ca, sa, 0.0])
    away = np.array([-sa * ce, ca * ce, -se])
    return Camera(sight, np.stack([right, np.cross(right, away), away]))


def _turn(angle: float) -> tuple[float, float]:
    """Cosine and sine, exact at the quarter turns so that mirrored pieces draw mirrored."""
    c, s = math.cos(angle), math.sin(angle)
    return (0.0 if abs(c) < 1e-12 else c), (0.0 if abs(s) < 1e-12 else s)
