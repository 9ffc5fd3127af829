"""Lines that hang or float between two anchors: one curve, two ways up.

    z = a cosh((x - x0)/a) + c   hangs;   the same upside down floats.

The tension is w times the height above the directrix: least w a at the vertex, and its
horizontal part is the same all along.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real


@dataclass(frozen=True)
class Catenary:
    """A line from (0, 0) to (span, rise) [m]; `sign` 1 hangs, -1 floats.

    `a` is the parameter [m], `x0` where its vertex is [m] (perhaps beyond an anchor),
    `length` [m], and `residual` the relative error of length or sag.
    """

    a: float
    x0: float
    span: float
    rise: float
    length: float
    sign: int
    residual: float

    @property
    def offset(self) -> float:
        """Level of the directrix [m], below a hanging and above a floating line."""
        return -self.a * float(np.cosh(self.x0 / self.a))

    @property
    def vertex_m(self) -> float:
        """Height of the lowest (floating: highest) point over the left anchor [m]."""
        x = float(np.clip(self.x0, 0.0, self.span))
        return self.sign * (self.a * float(np.cosh((x - self.x0) / self.a)) + self.offset)

    @property
    def sag(self) -> float:
        """How far the vertex lies beyond the anchor nearer to it in height [m]."""
        nearer = min(0.0, self.rise) if self.sign > 0 else max(0.0, self.rise)
        return abs(self.vertex_m - nearer)


def _positive(name: str, value: float, cure: str) -> float:
    return float(require(name, value, cure, low=0.0, above=True, unit="m"))


def from_span_length(
    span_m: float, length_m: float, rise_m: float = 0.0, sign: int = 1
) -> Catenary:
    """Line of given length between two anchors.

    Formula: sqrt(S^2 - rise^2) = 2 a sinh(span/2a).

    Parameters
    ----------
    span_m : float, [m]
        Horizontal distance of the anchors.
    length_m : float, [m]
        Length of the line.
    rise_m : float, [m]
        Right anchor above the left one.
    sign : int
        1 hanging, -1 floating.

    Returns
    -------
    line : Catenary
        From (0, 0) to (span, rise).

    Validity
    --------
    Span above zero; length above the straight distance and below 50 spans; else
    OutOfRangeError.

    References
    ----------
    [1] Beer and Johnston, Vector Mechanics: Statics, section on cables.
    """
    from scipy.optimize import brentq

    span = _positive("span", span_m, "The anchors must stand apart.")
    straight = float(np.hypot(span, rise_m))
    length = float(
        require(
            "length of the line",
            length_m,
            "A line must be longer than the straight way between its anchors.",
            low=straight * (1.0 + 1e-9),
            high=50.0 * straight,
            unit="m",
        )
    )
    # the flat projection of the length; u = span/2a solves sinh(u)/u = reach/span
    reach = np.sqrt(length**2 - rise_m**2)
    ratio = reach / span
    u = brentq(lambda s: np.log(np.sinh(s) / s) - np.log(ratio), 1e-6, 12.0, xtol=1e-14, rtol=1e-14)
    a = span / (2.0 * u)
    # vertex from the rise: rise = 2 a sinh(span/2a) sinh((span/2 - x0)/a)
    middle = a * float(np.arcsinh(sign * rise_m / (2.0 * a * np.sinh(u))))
    x0 = span / 2.0 - middle
    found = a * (np.sinh((span - x0) / a) + np.sinh(x0 / a))
    return Catenary(float(a), x0, span, rise_m, length, sign, float(found / length - 1.0))


def catenary_points(line: Catenary, points: int = 65) -> Floats:
    """Points along a line, evenly spaced in arc length.

    Formula: x = x0 + a asinh((s - s0)/a); z = sign (a cosh((x - x0)/a) + c).

    Parameters
    ----------
    line : Catenary
        The line.
    points : int
        Number n, ends included.

    Returns
    -------
    points : array (n, 2), [m]
        x and z from the left anchor.

    Validity
    --------
    2 points or more; else OutOfRangeError.

    References
    ----------
    [1] Arc length of the catenary: s = a sinh((x - x0)/a).
    """
    require("points", float(points), "2 or more.", low=2.0)
    s = np.linspace(0.0, line.length, points) - line.a * np.sinh(line.x0 / line.a)
    x = line.x0 + line.a * np.arcsinh(s / line.a)
    z = line.sign * (line.a * np.cosh((x - line.x0) / line.a) + line.offset)
    return np.column_stack([x, z])


@dataclass(frozen=True)
class LineLoads:
    """Forces of a loaded line [N]: horizontal, largest tension, vertical pull per anchor.

    `vertical_left_n` and `vertical_right_n` are the pulls ON the anchors, down positive for
    a hanging line and UP positive for a floating one.
    """

    horizontal_n: float
    tension_left_n: float
    tension_right_n: float
    vertical_left_n: float
    vertical_right_n: float


def line_loads(line: Catenary, load_n_m: float) -> LineLoads:
    """Tension and anchor loads under an even load per metre of line.

    Formula: H = w a; T = H cosh((x - x0)/a); V = H sinh; T^2 = H^2 + V^2.

    Parameters
    ----------
    line : Catenary
        The line.
    load_n_m : float, [N/m]
        Weight, or net lift, per metre of line.

    Returns
    -------
    loads : LineLoads
        Forces [N] at both anchors.

    Validity
    --------
    Load from zero; else OutOfRangeError.

    References
    ----------
    [1] Beer and Johnston, as in `from_span_length`.
    """
    w = float(require("load per metre", load_n_m, "From zero.", low=0.0, unit="N/m"))
    h = w * line.a
    left, right = line.x0 / line.a, (line.span - line.x0) / line.a
    return LineLoads(
        horizontal_n=h,
        tension_left_n=float(h * np.cosh(left)),
        tension_right_n=float(h * np.cosh(right)),
        vertical_left_n=float(h * np.sinh(left)),
        vertical_right_n=float(h * np.sinh(right)),
    )


@dataclass(frozen=True, eq=False)
class Blown:
    """A level-anchored line in a side wind: it lies in a plane turned about its anchors.

    Tilt [rad] from upright, height left [m], sideways drift [m], loads in the tilted plane.
    """

    tilt_rad: Floats
    height_m: Floats
    drift_m: Floats
    load_n_m: Floats


def blown_line(line: Catenary, upright_n_m: Real, side_n_m: Real) -> Blown:
    """Deflection of a level-anchored line by a wind across it.

    Formula: the load per metre sqrt(wu^2 + ws^2) keeps the same curve in a plane tilted by
    atan(ws/wu); height = sag cos, drift = sag sin.

    Parameters
    ----------
    line : Catenary
        The line, anchors level.
    upright_n_m : float or array (N,), [N/m]
        Weight or net lift per metre.
    side_n_m : float or array (N,), [N/m]
        Drag per metre across the line, taken the same all along.

    Returns
    -------
    blown : Blown
        Tilt [rad], height and drift of the vertex [m], load [N/m].

    Validity
    --------
    Level anchors, loads from zero, not both zero; else OutOfRangeError.

    References
    ----------
    [1] Statics: an even load in one direction makes a plane catenary.
    """
    require("rise of the anchors", abs(line.rise), "Take level anchors.", high=1e-9 * line.span)
    up = require("net load per metre", upright_n_m, "From zero.", low=0.0)
    side = require("side load per metre", side_n_m, "From zero.", low=0.0)
    load = np.hypot(up, side)
    require("load per metre", load, "A line without load has no shape.", low=0.0, above=True)
    tilt = np.arctan2(side, up)
    return Blown(
        *(np.asarray(x)[()] for x in (tilt, line.sag * np.cos(tilt), line.sag * np.sin(tilt), load))
    )
