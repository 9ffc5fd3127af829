"""From where a small picture shows a piece best."""

from __future__ import annotations

import math
from typing import Final

from airwright.decor.assembly import Assembly
from airwright.pictures.drawing.values import Sight, View

OVERHEAD_M: Final = 1.9
"""Decor whose lowest balloon is higher is seen from below."""
DEEP_M: Final = 1.0
"""Seen level, decor so deep is a row of balloons over bars of ribbon."""
FROM_BELOW: Final = Sight(math.radians(12.0), math.radians(-23.0))


def best_look(assembly: Assembly) -> View | Sight:
    """From the front; from below for what covers a ceiling, as guests see it."""
    if len(assembly) == 0:
        return View.FRONT
    lowest = float((assembly.centre[:, 2] - assembly.radius).min())
    return FROM_BELOW if lowest > OVERHEAD_M and assembly.depth_m > DEEP_M else View.FRONT
