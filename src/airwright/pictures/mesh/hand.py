"""What hands and air do to a packed balloon before it is seen.

No two balloons of a bag come out of the sizer quite alike, none sits quite straight on its
neck, and the air that a flat patch pushes away bulges out elsewhere. The packing knows equal
balls; pictures show these.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh.contact import contact_planes

Floats = NDArray[np.float64]

SIZE_SPREAD = 0.02
"""How far a hand-sized diameter strays to either side. Common practice with a sizer."""
TILT_RAD = 0.07
"""How far a balloon leans on its neck at most. From memory, by eye."""
FULLEST = 1.07
"""A pressed balloon swells by no more than this: beyond it the rubber would have to stretch."""
_STEPS = np.array([0.6180339887498949, 0.7548776662466927, 0.5698402909980532])
"""Steps that spread numbers evenly without a pattern (powers of the plastic and golden ratio)."""


def by_hand(axis: Floats, radius: Floats) -> tuple[Floats, Floats]:
    """Axes (N, 3) and radii (N,) [m] as hands make them: the same for the same row, always."""
    row = np.arange(len(radius))[:, None] + 1.0
    chance = (row * _STEPS) % 1.0
    size = radius * (1.0 + SIZE_SPREAD * (2.0 * chance[:, 0] - 1.0))
    helper = np.where(np.abs(axis[:, 2:3]) < 0.9, [[0.0, 0.0, 1.0]], [[1.0, 0.0, 0.0]])
    first = np.cross(axis, helper)
    first /= np.maximum(np.linalg.norm(first, axis=1, keepdims=True), 1e-12)
    second = np.cross(axis, first)
    way, lean = 2 * np.pi * chance[:, 1:2], TILT_RAD * np.sqrt(chance[:, 2:3])
    tilted = axis * np.cos(lean) + np.sin(lean) * (np.cos(way) * first + np.sin(way) * second)
    return np.asarray(tilted), np.asarray(size)


def swollen(centre: Floats, radius: Floats, *, rounds: int = 3) -> Floats:
    """Radii (N,) [m] at which pressed balls keep their air.

    Flat patches take caps off a ball of radius r; the rest of it grows until the volume is
    that of the ball again. Balls have no axes here, so caps are counted and not where they lie.
    """
    grown = radius.copy()
    for _ in range(rounds):
        row, _, h = contact_planes(centre, grown)
        caps = np.bincount(row, (1.0 - h) ** 2 * (2.0 + h) / 4.0, minlength=len(radius))
        # what is left of the grown ball has to be the ball's own volume
        wanted = radius * (1.0 - np.minimum(caps, 0.5)) ** (-1 / 3)
        grown = np.minimum((grown + 2 * wanted) / 3, FULLEST * radius)
    return grown
