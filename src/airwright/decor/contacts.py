"""Which balloons of a finished piece touch each other."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly, Floats
from airwright.decor.packing.neighbours import near_pairs

TOUCHING_M = 0.001
"""A gap that no eye sees and no packing is sure of [m]."""


def touching_pairs(centre: Floats, radius: Floats) -> NDArray[np.int64]:
    """Pairs (K, 2), i < j, of balloons that touch, for centres (N, 3) and radii (N,) [m]."""
    return np.column_stack(near_pairs(centre, radius, TOUCHING_M))


def contacts(assembly: Assembly) -> int:
    """How many pairs of balloons of one piece touch. Modelling balloons in a line count as balls
    of their diameter."""
    return len(touching_pairs(assembly.centre, assembly.radius))
