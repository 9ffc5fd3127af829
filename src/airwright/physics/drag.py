"""Drag of spheres and simple bodies, on the safe side.

Beyond Re = 2e5 a smooth sphere's drag coefficient falls from 0.47 to 0.18 (drag crisis) in
one correlation and stays at 0.48 in another. A seam, a knot or a neighbour decides which, so
no safety may rest on the fall: the default method never goes below 0.47.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from airwright.physics.errors import UnknownMethodError, require
from airwright.physics.types import Floats, Real

SAFE_SPHERE = 0.47


@dataclass(frozen=True)
class DragMethod:
    """A sphere correlation: its name in the fluids library, and its range of Re."""

    name: str
    fluids_name: str | None
    lowest: float
    highest: float
    source: str


SPHERE_METHODS: dict[str, DragMethod] = {
    m.name: m
    for m in (
        DragMethod("safe", None, 0.1, 1e7, "largest of 0.47 and the measured curve below 2e5"),
        DragMethod("measured", None, 0.1, 1e6, "fluids' choice by range; shows the drag crisis"),
        DragMethod("barati", "Barati_high", 0.1, 1e6, "Barati et al. 2014"),
        DragMethod("clift", "Clift", 0.1, 1e6, "Clift, Grace and Weber 1978"),
        DragMethod("morrison", "Morrison", 0.1, 1e6, "Morrison 2013"),
        DragMethod("almedeij", "Almedeij", 0.1, 1e6, "Almedeij 2008"),
    )
}
"""Method -> range; `sphere_drag_coefficient` dispatches from it."""

_CRISIS_RE = 2.0e5


def reynolds(speed_m_s: Real, length_m: Real, density: Real, viscosity: Real) -> Floats:
    """Reynolds number.

    Formula: Re = rho v d/mu.

    Parameters
    ----------
    speed_m_s : float or array (N,), [m/s]
        Wind speed.
    length_m : float or array (N,), [m]
        Diameter.
    density : float or array (N,), [kg/m³]
        Density of the air.
    viscosity : float or array (N,), [Pa·s]
        Dynamic viscosity of the air.

    Returns
    -------
    number : array (N,), [-]
        Re.

    Validity
    --------
    Speed from zero, the others above zero; else OutOfRangeError.

    References
    ----------
    [1] Definition.
    """
    v = require("wind speed", speed_m_s, "A speed cannot be negative.", low=0.0, unit="m/s")
    mu = require("viscosity", viscosity, "Above zero.", low=0.0, above=True)
    return np.asarray(np.asarray(density) * v * np.asarray(length_m) / mu)[()]


def sphere_drag_coefficient(reynolds_number: Real, method: str = "safe") -> Floats:
    """Drag coefficient of a sphere on its frontal area.

    Formula: by method; "safe": max(0.47, correlation) below Re 2e5, 0.47 above.

    Parameters
    ----------
    reynolds_number : float or array (N,), [-]
        Re on the diameter.
    method : str
        A key of SPHERE_METHODS.

    Returns
    -------
    coefficient : array (N,), [-]
        Cd = F/(rho v^2/2 * pi d^2/4).

    Validity
    --------
    The method's range of Re (0.1 to 1e6, "safe" to 1e7); else OutOfRangeError; unknown
    method UnknownMethodError.

    References
    ----------
    [1] fluids library, `drag_sphere`, which names each correlation's paper.
    """
    from fluids.drag import drag_sphere

    if method not in SPHERE_METHODS:
        names = ", ".join(SPHERE_METHODS)
        raise UnknownMethodError("drag method", method, f"Choose one of {names}.")
    chosen = SPHERE_METHODS[method]
    re = require(
        "Reynolds number",
        reynolds_number,
        f"The {method} method holds from {chosen.lowest:g} to {chosen.highest:g}.",
        low=chosen.lowest,
        high=chosen.highest,
    )
    if method == "safe":
        return _safe(re)
    values = [float(drag_sphere(float(x), Method=chosen.fluids_name)) for x in re.ravel()]
    return np.asarray(values, dtype=np.float64).reshape(re.shape)[()]


@lru_cache(maxsize=1)
def _curve_below_crisis() -> tuple[Floats, Floats]:
    from fluids.drag import drag_sphere

    # One curve, laid once: between nodes a straight line in log Re is good to 0.1 %.
    nodes = np.geomspace(0.1, _CRISIS_RE, 200)
    return np.log(nodes), np.array([float(drag_sphere(float(x))) for x in nodes])


def _safe(re: Floats) -> Floats:
    nodes, curve = _curve_below_crisis()
    cd = np.interp(np.log(np.minimum(re, _CRISIS_RE)), nodes, curve)
    return np.asarray(np.where(re >= _CRISIS_RE, SAFE_SPHERE, np.maximum(cd, SAFE_SPHERE)))[()]


_FLAT = {"plate": 1.18, "disc": 1.17, "cube": 1.07}
CLUSTERED_COLUMN = 1.2
"""Force coefficient for a rough column or wall of balloons on its outline: the value of an
endless cylinder or plate, deliberately above that of one short smooth cylinder (0.7)."""


def drag_force(coefficient: Real, area_m2: Real, pressure_pa: Real) -> Floats:
    """Drag force.

    Formula: F = q Cd A.

    Parameters
    ----------
    coefficient : float or array (N,), [-]
        Cd on that area.
    area_m2 : float or array (N,), [m²]
        Frontal area.
    pressure_pa : float or array (N,), [Pa]
        Velocity pressure q, see `wind.velocity_pressure`.

    Returns
    -------
    force : array (N,), [N]
        Along the wind.

    Validity
    --------
    All from zero; else OutOfRangeError.

    References
    ----------
    [1] Definition of Cd.
    """
    cd = require("drag coefficient", coefficient, "From zero.", low=0.0)
    area = require("frontal area", area_m2, "From zero.", low=0.0, unit="m²")
    q = require("velocity pressure", pressure_pa, "From zero.", low=0.0, unit="Pa")
    return np.asarray(cd * area * q)[()]
