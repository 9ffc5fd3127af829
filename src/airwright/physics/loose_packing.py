"""How many balloons fill a net, a bag or a van: random packing with its range."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real

LOOSEST, USUAL, DENSEST = 0.55, 0.59, 0.64
"""Random loose to random close packing of equal spheres. From memory; soft balloons pressed
together go past the last, nets hung slack stay near the first."""
_WALL_FREE = 0.390


@dataclass(frozen=True, eq=False)
class Fill:
    """Number of balloons: fewest, usual, most; arrays (N,) of whole numbers as floats."""

    fewest: Floats
    usual: Floats
    most: Floats


def wall_factor(container_over_balloon: Real) -> Floats:
    """How much a container's walls thin the packing.

    Formula: (1 - e)/(1 - 0.39), e = 0.39 + 1.74/(D/d + 1.14)^2.

    Parameters
    ----------
    container_over_balloon : float or array (N,), [-]
        Least inner width over balloon diameter.

    Returns
    -------
    factor : array (N,), [-]
        1 in wide containers, 0.94 at 6 diameters.

    Validity
    --------
    1.5 and above; else OutOfRangeError. Measured for rigid spheres, 1.5 to 50.

    References
    ----------
    [1] F. Benyahia, K. E. O'Neill, Part. Sci. Technol. 23 (2005) 169, through fluids.
    """
    from fluids.packed_bed import voidage_Benyahia_Oneil_spherical

    x = require(
        "container over balloon width",
        container_over_balloon,
        "The balloons are too large for this opening; count them one by one.",
        low=1.5,
        code="physics.container-too-narrow",
    )
    empty = [float(voidage_Benyahia_Oneil_spherical(1.0, float(w))) for w in x.ravel()]
    filled = (1.0 - np.asarray(empty).reshape(x.shape)) / (1.0 - _WALL_FREE)
    return np.asarray(filled)[()]


def balloons_in(container_m3: Real, balloon_m3: Real, narrowest_m: Real | None = None) -> Fill:
    """How many balloons fill a container when poured or stuffed in.

    Formula: n = phi V/v, phi 0.55, 0.59, 0.64, times the wall factor.

    Parameters
    ----------
    container_m3 : float or array (N,), [m³]
        Inner volume when bulging full.
    balloon_m3 : float or array (N,), [m³]
        Volume of one inflated balloon.
    narrowest_m : float or array (N,) or None, [m]
        Least inner width; None leaves the walls out.

    Returns
    -------
    fill : Fill
        Fewest, usual and most, rounded down.

    Validity
    --------
    Volumes above zero; else OutOfRangeError. Equal balloons; mixed sizes pack a little
    denser.

    References
    ----------
    [1] Random loose and close packing: G. D. Scott, Nature 188 (1960) 908. From memory.
    """
    v = require("container", container_m3, "Above zero.", low=0.0, above=True, unit="m³")
    b = require("balloon", balloon_m3, "Above zero.", low=0.0, above=True, unit="m³")
    ratio = v / b
    if narrowest_m is not None:
        ratio = ratio * wall_factor(np.asarray(narrowest_m) / np.cbrt(6.0 * b / np.pi))
    counts = (np.asarray(np.floor(phi * ratio))[()] for phi in (LOOSEST, USUAL, DENSEST))
    return Fill(*counts)


def container_for(count: Real, balloon_m3: Real) -> Floats:
    """Volume that holds a number of balloons even when they lie loosely.

    Formula: V = n v/0.55.

    Parameters
    ----------
    count : float or array (N,), [-]
        Number of balloons.
    balloon_m3 : float or array (N,), [m³]
        Volume of one inflated balloon.

    Returns
    -------
    volume : array (N,), [m³]
        Net, bag or load space to have.

    Validity
    --------
    Count from zero, balloon above zero; else OutOfRangeError. Walls left out.

    References
    ----------
    [1] As `balloons_in`.
    """
    n = require("count", count, "From zero.", low=0.0)
    b = require("balloon", balloon_m3, "Above zero.", low=0.0, above=True, unit="m³")
    return np.asarray(n * b / LOOSEST)[()]
