"""The sRGB curve: from what a file holds to light, and back. The only place that knows it."""

from __future__ import annotations

import re
from typing import Final

import numpy as np

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real

HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")


def light_of(encoded: Real) -> Floats:
    """Linear light of sRGB values.

    Formula: L = E/12.92 up to E = 0.04045, else ((E + 0.055)/1.055)^2.4.

    Parameters
    ----------
    encoded : float or array (N,), [-]
        What a file holds, 0..1.

    Returns
    -------
    light : array (N,)
        Share of full light [-].

    Validity
    --------
    0 to 1, else OutOfRangeError.

    References
    ----------
    [1] IEC 61966-2-1.
    """
    value = require("sRGB value", encoded, "From 0 to 1.", low=0.0, high=1.0, unit="-")
    return np.asarray(np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4))


def encoded_of(light: Real) -> Floats:
    """sRGB values of linear light; light beyond 0..1 is cut.

    Formula: E = 12.92 L up to L = 0.0031308, else 1.055 L^(1/2.4) - 0.055.

    Parameters
    ----------
    light : float or array (N,), [-]
        Share of full light.

    Returns
    -------
    encoded : array (N,)
        0..1 [-].

    Validity
    --------
    Any number.

    References
    ----------
    [1] IEC 61966-2-1.
    """
    value = np.clip(np.asarray(light, dtype=float), 0.0, 1.0)
    return np.asarray(
        np.where(value <= 0.0031308, value * 12.92, 1.055 * value ** (1 / 2.4) - 0.055)
    )


def light_of_hex(colour: str) -> Floats:
    """Linear light of "#rrggbb".

    Formula: two hexadecimal digits a channel, over 255, through `light_of`.

    Parameters
    ----------
    colour : str
        "#rrggbb".

    Returns
    -------
    light : array (3,)
        Red, green, blue [-].

    Validity
    --------
    "#rrggbb", else ValueError.

    References
    ----------
    [1] IEC 61966-2-1.
    """
    if not HEX.fullmatch(colour):
        raise ValueError(f"{colour!r} is not written #rrggbb")
    return light_of(np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)]) / 255.0)


def hex_of_light(light: Floats) -> str:
    """Linear light as "#rrggbb", cut to 0..1 and rounded.

    Formula: `encoded_of` times 255, rounded.

    Parameters
    ----------
    light : array (3,), [-]
        Red, green, blue.

    Returns
    -------
    colour : str
        "#rrggbb".

    Validity
    --------
    Three finite numbers.

    References
    ----------
    [1] IEC 61966-2-1.
    """
    red, green, blue = np.round(encoded_of(light) * 255).astype(int)
    return f"#{red:02x}{green:02x}{blue:02x}"
