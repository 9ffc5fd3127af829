"""The outline of a standing person, for scale: drawings, photographs and 3D share one table.

Proportions of stature follow the segment lengths of Drillis and Contini (1966, from memory) and
breadths in the middle of those that ISO 7250 measures (from memory): a calm outline of nobody,
arms a little away from the body.
"""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

PERSON_M: Final = 1.70
"""Height of the outline [m]: about the middle of adults."""

_TABLE: Final = json.loads(files(__package__).joinpath("person.json").read_text("utf-8"))
_HALF: Final = tuple((float(x), float(z)) for x, z in _TABLE["half"])
"""Right half, (half width, height) [m], from the crown down the outside to the crotch. The
desk's 3D view reads the same table."""

ARMPIT: Final = int(_TABLE["armpit"])
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
