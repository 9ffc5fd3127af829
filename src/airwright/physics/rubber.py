"""Rubber spheres: the stretch L = R/R0 at which a Gent membrane locks, and what bursts."""

from __future__ import annotations

import numpy as np

from airwright.physics.errors import OutOfRangeError, require
from airwright.physics.types import Floats, Real

RUBBER_KG_M3 = 930.0
"""Density of natural rubber film, 910 to 930 in handbooks. From memory."""


def gent_limit(limit_invariant: Real) -> Floats:
    """Stretch at which a Gent sphere locks.

    Formula: 2 L^2 + L^-4 - 3 = Jm.

    Parameters
    ----------
    limit_invariant : float or array (N,), [-]
        Jm.

    Returns
    -------
    stretch : array (N,), [-]
        Locking stretch; 7.078 for Jm = 97.2.

    Validity
    --------
    Jm > 0; else OutOfRangeError.

    References
    ----------
    [1] A. N. Gent 1996.
    """
    j = require("Jm", limit_invariant, "Jm is above zero.", low=0.0, above=True)
    x = np.sqrt((j + 3.0) / 2.0)
    for _ in range(40):  # L^-4 is small: a contraction, exact to rounding
        x = np.sqrt((j + 3.0 - x**-4) / 2.0)
    return np.asarray(x)[()]


def gent_invariant(stretch: Real) -> Floats:
    """Jm of a Gent sphere that locks at a stretch.

    Formula: Jm = 2 L^2 + L^-4 - 3.

    Parameters
    ----------
    stretch : float or array (N,), [-]
        Locking stretch.

    Returns
    -------
    limit_invariant : array (N,), [-]
        Jm.

    Validity
    --------
    stretch > 1; else OutOfRangeError.

    References
    ----------
    [1] A. N. Gent 1996.
    """
    x = require("locking stretch", stretch, "It is above 1.", low=1.0, above=True)
    return np.asarray(2.0 * x**2 + x**-4 - 3.0)[()]


def check_below_burst(diameter_m: Real, burst_m: Real) -> None:
    """Refuse a diameter at or beyond bursting.

    Formula: d < d_burst.

    Parameters
    ----------
    diameter_m : float or array (N,), [m]
        Diameter asked for.
    burst_m : float or array (N,), [m]
        Diameter at which the skin is taken to burst.

    Returns
    -------
    nothing : None
        Passes silently.

    Validity
    --------
    Else OutOfRangeError with the code physics.bursts.

    References
    ----------
    [1] Common practice, see `inflation.BURST_OVER_NOMINAL`.
    """
    share = np.asarray(diameter_m, dtype=np.float64) / np.asarray(burst_m, dtype=np.float64)
    if np.any(share >= 1.0):
        row = int(np.argmax(share.ravel()))
        raise OutOfRangeError(
            "diameter over the diameter at which it bursts (ratio)",
            float(share.ravel()[row]),
            "Inflate smaller, or take a larger balloon.",
            high=1.0,
            index=row if share.ndim else None,
            code="physics.bursts",
        )
