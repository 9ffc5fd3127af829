"""Light in coloured films: Kubelka and Munk's two fluxes, film over film.

A film scatters and absorbs; its optical thickness is its scattering times its thickness. All
functions work on arrays of any shape, one value a band of wavelength.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real

TINY: Final = 1e-9
"""Below this a film neither scatters nor absorbs, in units of its thickness [-]."""


@dataclass(frozen=True, slots=True, eq=False)
class Film:
    """What a film does with light that meets it, a share of that light each.

    Attributes:
        reflects, lets_through: shares in 0..1 [-]; what is left is absorbed.
    """

    reflects: Floats
    lets_through: Floats


def film(absorbing: Real, scattering: Real, thickness: Real) -> Film:
    """Reflectance and transmittance of one film that stands free.

    Formula: a = 1 + K/S, b = sqrt(a² - 1), R = sinh(bSX) / (a sinh(bSX) + b cosh(bSX)),
    T = b / (a sinh(bSX) + b cosh(bSX)); without scattering R = 0, T = exp(-KX).

    Parameters
    ----------
    absorbing : float or array (N,), [1/thickness]
        K.
    scattering : float or array (N,), [1/thickness]
        S.
    thickness : float or array (N,), [thickness]
        X.

    Returns
    -------
    film : Film
        Shares [-].

    Validity
    --------
    All from zero, else OutOfRangeError. Diffuse light, no gloss, no fluorescence.

    References
    ----------
    [1] P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448. Closed form, recomputed in the tests.
    """
    k = require("absorption", absorbing, "From zero.", low=0.0, unit="-")
    s = require("scattering", scattering, "From zero.", low=0.0, unit="-")
    x = require("thickness", thickness, "From zero.", low=0.0, unit="-")
    k, s, x = np.broadcast_arrays(k * x, s * x, x)
    scatters = np.maximum(s, TINY)
    a = 1.0 + k / scatters
    b = np.sqrt(np.maximum(a * a - 1.0, TINY**2))
    deep = np.minimum(b * scatters, 300.0)  # beyond that nothing comes through
    with np.errstate(over="ignore"):
        below = a * np.sinh(deep) + b * np.cosh(deep)
        reflects = np.sinh(deep) / below
        through = b / below
    clear = s < TINY
    return Film(np.where(clear, 0.0, reflects), np.where(clear, np.exp(-k), through))


def over(front: Film, back: Film) -> Film:
    """One film in front of another, light going to and fro between them.

    Formula: R = R1 + T1² R2 / (1 - R1 R2), T = T1 T2 / (1 - R1 R2).

    Parameters
    ----------
    front : Film
        The one that the light meets first.
    back : Film
        The one behind it.

    Returns
    -------
    film : Film
        Both as one, seen from the front.

    Validity
    --------
    Films that look alike from both sides.

    References
    ----------
    [1] P. Kubelka, J. Opt. Soc. Am. 44 (1954) 330. Closed form, recomputed in the tests.
    """
    between = 1.0 - front.reflects * back.reflects
    return Film(
        front.reflects + front.lets_through**2 * back.reflects / between,
        front.lets_through * back.lets_through / between,
    )


def before(front: Film, ground: Real) -> Floats:
    """Reflectance of a film in front of something opaque.

    Formula: R = R0 + T² Rg / (1 - R0 Rg).

    Parameters
    ----------
    front : Film
        The film.
    ground : float or array (N,), [-]
        Reflectance of what is behind it.

    Returns
    -------
    reflectance : array (N,)
        Share [-].

    Validity
    --------
    0 <= ground <= 1, else OutOfRangeError.

    References
    ----------
    [1] P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448.
    """
    behind = require("ground", ground, "Between 0 and 1.", low=0.0, high=1.0, unit="-")
    return np.asarray(
        front.reflects + front.lets_through**2 * behind / (1.0 - front.reflects * behind)
    )
