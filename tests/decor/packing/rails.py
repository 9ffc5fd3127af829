"""Rails for the tests: curves whose arc length is known."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Hoop:
    """A half circle of `radius` [m] standing on the floor, feet at x = -radius and +radius."""

    radius: float

    @property
    def length_m(self) -> float:
        return math.pi * self.radius

    def position(self, s: NDArray[np.float64]) -> NDArray[np.float64]:
        a = s / self.radius
        return self.radius * np.column_stack([-np.cos(a), 0.0 * a, np.sin(a)])

    def tangent(self, s: NDArray[np.float64]) -> NDArray[np.float64]:
        a = s / self.radius
        return np.column_stack([np.sin(a), 0.0 * a, np.cos(a)])


class Wave:
    """A swag that also wanders in depth, given by interpolated points as armatures are."""

    def __init__(self, span: float, sag: float) -> None:
        x = np.linspace(-span / 2, span / 2, 2001)
        z = 2.0 + sag * (2.0 * x / span) ** 2
        self._point = np.column_stack([x, 0.3 * np.sin(x), z])
        step = np.linalg.norm(np.diff(self._point, axis=0), axis=1)
        self._s = np.concatenate([[0.0], np.cumsum(step)])

    @property
    def length_m(self) -> float:
        return float(self._s[-1])

    def position(self, s: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.column_stack([np.interp(s, self._s, self._point[:, k]) for k in range(3)])

    def tangent(self, s: NDArray[np.float64]) -> NDArray[np.float64]:
        h = 1e-3
        s = np.clip(s, h, self.length_m - h)
        way = self.position(s + h) - self.position(s - h)
        return way / np.linalg.norm(way, axis=1)[:, None]
