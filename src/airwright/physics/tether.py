"""A floating balloon on a ribbon: what hangs on it, what holds it, how it leans in a breeze."""

from __future__ import annotations

import numpy as np

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real

WEIGHT_FACTOR = 1.5
"""Counterweight over net lift, still air. Common practice, no source."""
RIBBON_KG_M = 0.0006
"""Curling ribbon 5 mm wide. From memory; a roll of known length on a scale tells better."""


def ribbon_mass(length_m: Real, mass_per_m: Real = RIBBON_KG_M) -> Floats:
    """Mass of a ribbon or tail that the balloon carries.

    Formula: m = l m'.

    Parameters
    ----------
    length_m : float or array (N,), [m]
        Length that hangs in the air; what lies on the floor does not count.
    mass_per_m : float or array (N,), [kg/m]
        Mass of one metre.

    Returns
    -------
    mass : array (N,), [kg]
        Load on the balloon.

    Validity
    --------
    Both from zero; else OutOfRangeError.

    References
    ----------
    [1] Definition.
    """
    length = require("ribbon", length_m, "From zero.", low=0.0, unit="m")
    each = require("ribbon mass per metre", mass_per_m, "From zero.", low=0.0, unit="kg/m")
    return np.asarray(length * each)[()]


def counterweight(net_lift_kg: Real, factor: float = WEIGHT_FACTOR) -> Floats:
    """Weight that holds floating balloons down.

    Formula: m = factor * max(net lift, 0).

    Parameters
    ----------
    net_lift_kg : float or array (N,), [kg]
        Gross lift less skin, ribbon and tail, of all balloons on it.
    factor : float, [-]
        Safety factor, at least 1.

    Returns
    -------
    mass : array (N,), [kg]
        Weight; a lighter one floats off.

    Validity
    --------
    Factor 1 to 10; else OutOfRangeError. Still air: outdoors use `leaning`.

    References
    ----------
    [1] Common practice, no source.
    """
    f = float(require("weight factor", factor, "1 to 10; 1.5 is usual.", low=1.0, high=10.0))
    return np.asarray(f * np.maximum(np.asarray(net_lift_kg, dtype=np.float64), 0.0))[()]
