"""The outline of a standing person, for scale: one drawing and photographs share.

Proportions of stature follow the segment lengths of Drillis and Contini (1966, from memory) and
breadths in the middle of those that ISO 7250 measures (from memory): a calm outline of nobody,
arms a little away from the body.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

PERSON_M: Final = 1.70
"""Height of the outline [m]: about the middle of adults."""

_HALF: Final = (
    (0.000, 1.700),
    (0.040, 1.692),
    (0.070, 1.660),
    (0.080, 1.610),
    (0.078, 1.560),
    (0.068, 1.515),
    (0.057, 1.482),
    (0.054, 1.455),
    (0.066, 1.432),
    (0.110, 1.416),
    (0.165, 1.398),
    (0.203, 1.366),
    (0.222, 1.315),
    (0.229, 1.230),
    (0.236, 1.130),
    (0.244, 1.050),
    (0.253, 0.960),
    (0.254, 0.850),
    (0.262, 0.790),
    (0.262, 0.725),
    (0.250, 0.670),
    (0.236, 0.655),
    (0.226, 0.690),
    (0.216, 0.735),
    (0.214, 0.800),
    (0.214, 0.860),
    (0.206, 0.960),
    (0.194, 1.060),
    (0.180, 1.170),
    (0.163, 1.265),
    (0.152, 1.190),
    (0.140, 1.080),
    (0.150, 0.985),
    (0.169, 0.890),
    (0.172, 0.800),
    (0.164, 0.680),
    (0.144, 0.550),
    (0.128, 0.470),
    (0.131, 0.370),
    (0.118, 0.240),
    (0.094, 0.110),
    (0.098, 0.060),
    (0.116, 0.022),
    (0.114, 0.003),
    (0.066, 0.000),
    (0.054, 0.030),
    (0.056, 0.110),
    (0.046, 0.240),
    (0.040, 0.360),
    (0.044, 0.470),
    (0.030, 0.610),
    (0.012, 0.740),
    (0.000, 0.790),
)
"""Right half, (half width, height) [m], from the crown down the outside to the crotch."""

ARMPIT: Final = 29
WIDE_M: Final = 2 * max(x for x, _ in _HALF)
"""Between the outsides of the hands [m]."""


def outline() -> tuple[Floats, tuple[int, ...]]:
    """The whole outline, points (n, 2) [m] from the crown clockwise, and which are corners."""
    right = np.asarray(_HALF)
    left = right[-2:0:-1] * [-1.0, 1.0]
    ring = np.concatenate([right, left])
    crotch = len(right) - 1
    return ring, (ARMPIT, crotch, 2 * crotch - ARMPIT)


def dense_outline(between: int = 5) -> Floats:
    """The outline as a polygon fine enough to look round, points (n, 2) [m]."""
    ring, corners = outline()
    count = len(ring)
    t = np.arange(between)[:, None] / between
    out = []
    for at in range(count):
        a, b = ring[at], ring[(at + 1) % count]
        before = a if at in corners else ring[at - 1]
        after = b if (at + 1) % count in corners else ring[(at + 2) % count]
        # Catmull-Rom through a and b; straight on where a corner ends the curve.
        out.append(
            0.5
            * (
                2 * a
                + (b - before) * t
                + (2 * before - 5 * a + 4 * b - after) * t**2
                + (3 * a - before - 3 * b + after) * t**3
            )
        )
    return np.concatenate(out)
