"""Ellipse, parabola and catenary, each by its exact arc length.

The half-ellipse's arc length is an incomplete elliptic integral of the second kind, the
parabola's and the catenary's are closed. Where the inverse is not closed it is found by
Newton's method, from a table that starts it near enough.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from airwright.decor.armatures.errors import ArmatureError, positive
from airwright.decor.packing.rail import Floats
from airwright.language import message

_TABLE = 513
_NEWTON_ROUNDS = 60
_CLOSE = 1e-13  # of the length: no arc length is asked for more closely


def inverse(
    length_at: Callable[[Floats], Floats],
    speed_at: Callable[[Floats], Floats],
    wanted: Floats,
    low: float,
    high: float,
) -> Floats:
    """The parameters (M,) at which a growing arc length takes the values `wanted` (M,) [m].

    Newton's method kept inside a bracket that shrinks, so that it cannot run away where the
    curve is nearly at rest.
    """
    knots = np.linspace(low, high, _TABLE)
    lengths = length_at(knots)
    span = float(lengths[-1] - lengths[0])
    after = np.clip(np.searchsorted(lengths, wanted), 1, _TABLE - 1)
    left, right = knots[after - 1], knots[after]
    at = np.interp(wanted, lengths, knots)
    for _ in range(_NEWTON_ROUNDS):
        miss = length_at(at) - wanted
        if float(np.abs(miss).max(initial=0.0)) <= _CLOSE * span:
            break
        left, right = np.where(miss < 0, at, left), np.where(miss > 0, at, right)
        step = at - miss / np.maximum(speed_at(at), 1e-300)
        at = np.where((step > left) & (step < right), step, (left + right) / 2)
    return at


def _flat(x: Floats, z: Floats) -> Floats:
    return np.column_stack([x, np.zeros_like(x), z])


def _unit(x: Floats, z: Floats) -> Floats:
    tangents: Floats = _flat(x, z) / np.hypot(x, z)[:, None]
    return tangents


@dataclass(frozen=True)
class HalfEllipse:
    """From (-w/2, 0) over (0, h) to (w/2, 0): x = -a cos φ, z = b sin φ [m]."""

    width_m: float
    height_m: float

    def __post_init__(self) -> None:
        positive("width", self.width_m)
        positive("height", self.height_m)

    def _length_at(self, angle: Floats) -> Floats:
        from scipy.special import ellipeinc

        a, b = self.width_m / 2, self.height_m
        found: Floats = b * ellipeinc(angle, 1.0 - (a / b) ** 2)
        return found

    def _speed_at(self, angle: Floats) -> Floats:
        a, b = self.width_m / 2, self.height_m
        return np.hypot(a * np.sin(angle), b * np.cos(angle))

    @cached_property
    def length_m(self) -> float:
        """2 b E(1 - a²/b²), half the perimeter [m]."""
        return float(self._length_at(np.array([np.pi]))[0])

    def _angle(self, s: Floats) -> Floats:
        return inverse(self._length_at, self._speed_at, np.asarray(s, dtype=float), 0.0, np.pi)

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths (M,) [m]."""
        angle = self._angle(s)
        return _flat(-self.width_m / 2 * np.cos(angle), self.height_m * np.sin(angle))

    def tangent(self, s: Floats) -> Floats:
        """Unit tangents (M, 3) at arc lengths (M,) [m]."""
        angle = self._angle(s)
        return _unit(self.width_m / 2 * np.sin(angle), self.height_m * np.cos(angle))


@dataclass(frozen=True)
class Parabola:
    """From (-w/2, 0) over (0, h) to (w/2, 0): z = h (1 - (2x/w)²) [m]."""

    width_m: float
    height_m: float

    def __post_init__(self) -> None:
        positive("width", self.width_m)
        positive("height", self.height_m)

    @property
    def _steepness(self) -> float:
        return 8 * self.height_m / self.width_m**2

    def _length_at(self, x: Floats) -> Floats:
        """Arc length from the top [m], negative to the left."""
        slope = self._steepness * x
        found: Floats = (x * np.sqrt(1 + slope**2) + np.arcsinh(slope) / self._steepness) / 2
        return found

    def _speed_at(self, x: Floats) -> Floats:
        return np.hypot(1.0, self._steepness * x)

    @cached_property
    def length_m(self) -> float:
        """(w/2)(√(1 + k²) + asinh(k)/k), k = 4h/w [m]."""
        return 2 * float(self._length_at(np.array([self.width_m / 2]))[0])

    def _x(self, s: Floats) -> Floats:
        half = self.width_m / 2
        wanted = np.asarray(s, dtype=float) - self.length_m / 2
        return inverse(self._length_at, self._speed_at, wanted, -half, half)

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths (M,) [m]."""
        x = self._x(s)
        return _flat(x, self.height_m * (1 - (2 * x / self.width_m) ** 2))

    def tangent(self, s: Floats) -> Floats:
        """Unit tangents (M, 3) at arc lengths (M,) [m]."""
        x = self._x(s)
        return _unit(np.ones_like(x), -self._steepness * x)


CATENARY_RATIOS = (1e-3, 200.0)
"""Height over width between which a catenary is told from a straight line and a hairpin."""


@dataclass(frozen=True)
class Catenary:
    """A chain's curve between level ends.

    An arch from (-w/2, 0) over (0, h) to (w/2, 0), or hanging from (-w/2, 0) through (0, -h)
    to (w/2, 0). s = a sinh(x/a) from the vertex; h = a (cosh(w/2a) - 1) gives a.
    """

    width_m: float
    height_m: float
    hanging: bool = False

    def __post_init__(self) -> None:
        ratio = positive("height", self.height_m) / positive("width", self.width_m)
        low, high = CATENARY_RATIOS
        if not low <= ratio <= high:
            raise ArmatureError(
                message(
                    "A catenary {width} m wide and {height} m high is {value}.",
                    width=f"{self.width_m:g}",
                    height=f"{self.height_m:g}",
                    value="nearly straight" if ratio < low else "a hairpin",
                ),
                message("Make it higher.") if ratio < low else message("Make it wider."),
            )

    @cached_property
    def parameter_m(self) -> float:
        """The catenary's a, its radius of curvature at the vertex [m]."""
        from scipy.optimize import brentq

        ratio = 2 * self.height_m / self.width_m

        def miss(u: float) -> float:
            # (cosh u - 1)/u = 2 sinh²(u/2)/u, which keeps its digits where u is small
            return float(np.log(2 * np.sinh(u / 2) ** 2 / u) - np.log(ratio))

        return float(self.width_m / 2 / brentq(miss, 1e-6, 50.0, xtol=1e-15, rtol=1e-14))

    @cached_property
    def length_m(self) -> float:
        """2 a sinh(w/2a) [m]."""
        a = self.parameter_m
        return float(2 * a * np.sinh(self.width_m / (2 * a)))

    def _x(self, s: Floats) -> Floats:
        a = self.parameter_m
        x: Floats = a * np.arcsinh((np.asarray(s, dtype=float) - self.length_m / 2) / a)
        return x

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths (M,) [m]."""
        x, a = self._x(s), self.parameter_m
        away = 2 * a * np.sinh(x / (2 * a)) ** 2  # from the vertex
        return _flat(x, away - self.height_m if self.hanging else self.height_m - away)

    def tangent(self, s: Floats) -> Floats:
        """Unit tangents (M, 3) at arc lengths (M,) [m]."""
        x, a = self._x(s), self.parameter_m
        steep = np.sinh(x / a)
        return _unit(np.ones_like(x), steep if self.hanging else -steep)
