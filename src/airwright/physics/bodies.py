"""Outlines of the other families: long modelling balloons and round foil balloons.

Both come as the same `Profile` as the pear, in units of their equatorial radius, so that
volume, area and pictures again share one outline.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from airwright.physics.errors import require
from airwright.physics.shape import Profile

TUBE_KNOT_RADIUS = 0.18
"""Knot of a modelling balloon in units of its radius: 4.5 mm on a 260. From memory."""


def tube_profile(length_over_diameter: float, points: int = 48) -> Profile:
    """Outline of an inflated modelling balloon: cylinder, round tip, short neck.

    Formula: a cylinder of radius 1 with a hemisphere at the tip and a half ellipsoid with a
    knot at the neck; z = 0 at half the cylinder.

    Parameters
    ----------
    length_over_diameter : float, [-]
        Inflated length, tip to knot, over the diameter (a 260: 60 in over 2 in = 30).
    points : int
        Number of points n.

    Returns
    -------
    profile : Profile
        `z (n,)` and `rho (n,)` [-], z increasing.

    Validity
    --------
    1.2 <= length_over_diameter <= 200, 16 <= points <= 10 000; else OutOfRangeError.

    References
    ----------
    [1] The trade's number 260 = 2 in across, 60 in long. Common practice.
    """
    require("points", float(points), "Ask for 16 to 10 000 points.", low=16, high=10_000)
    slender = float(
        require(
            "length over diameter",
            length_over_diameter,
            "A modelling balloon is longer than wide; check that length and diameter are "
            "not swapped.",
            low=1.2,
            high=200.0,
        )
    )
    return _tube(slender, points)


@lru_cache(maxsize=128)
def _tube(slender: float, points: int) -> Profile:
    k = TUBE_KNOT_RADIUS
    half = slender - 1.0  # half the cylinder: total length 2*slender less two round ends
    end = max(6, points // 3)
    middle = points - 2 * end
    start = float(np.arcsin(k))
    low = np.linspace(start, np.pi / 2, end - 2, endpoint=False)
    high = np.linspace(np.pi / 2, np.pi, end)
    z = np.concatenate(
        [
            [-half - 1.0 - 0.25, -half - 1.0 - 0.05],
            -half - np.cos(low),
            np.linspace(-half, half, middle, endpoint=False),
            half - np.cos(high),
        ]
    )
    rho = np.concatenate([[k, 0.8 * k], np.sin(low), np.ones(middle), np.sin(high)])
    rho[-1] = 0.0
    return Profile(z=z, rho=rho, family="tube")


FOIL_TAIL_ROOT = {"round": 1.0, "star": 0.735, "starburst": 1.0, "heart": 0.894}
"""Centre down to where the filling tail leaves the rim, in half widths, by outline. A star's
grows from the notch between its lower points. By measuring the outlines drawn here."""
FOIL_TAIL = 0.19
"""Length of that tail in half widths: 4 cm on an 18 in foil. From memory."""
FOIL_TIE = 0.55
"""Where along the tail it is gathered and the ribbon tied, root to end. From memory."""


def foil_tie_below(outline: str | None) -> float:
    """Centre of a foil down to where its ribbon is tied.

    Formula: root of the tail + its share above the knot times the tail.

    Parameters
    ----------
    outline : str or None
        Name of the outline; None for a round one.

    Returns
    -------
    below : float, [half widths]
        Distance from the centre down to the knot.

    Validity
    --------
    Any outline; one we have not measured is taken for a round one, nothing is raised.

    References
    ----------
    [1] Measured on drawings of common foils; common practice, no source.
    """
    return FOIL_TAIL_ROOT.get(outline or "round", 1.0) + FOIL_TIE * FOIL_TAIL


def foil_profile(points: int = 48) -> Profile:
    """Outline of an inflated round foil balloon (two flat discs, film that cannot stretch).

    Formula: dz/drho = -rho^2/sqrt(1 - rho^4), the curve of given length with most volume.

    Parameters
    ----------
    points : int
        Number of points n, pole to pole.

    Returns
    -------
    profile : Profile
        `z (n,)` and `rho (n,)` [-], in units of the inflated equatorial radius. The axis
        is the foil's thin direction; both poles end at rho = 0.

    Validity
    --------
    16 <= points <= 10 000; else OutOfRangeError. Real foil wrinkles at the seam: the
    outline is that of the smooth envelope.

    References
    ----------
    [1] W. H. Paulsen, "What is the shape of a mylar balloon?", Am. Math. Monthly 101
        (1994) 953. Closed forms: thickness 1.19814 r, volume 2/3 pi a r^2. From memory,
        recomputed in the tests.
    """
    require("points", float(points), "Ask for 16 to 10 000 points.", low=16, high=10_000)
    return _foil(points | 1)  # odd, so that the seam is a point


@lru_cache(maxsize=16)
def _foil(points: int) -> Profile:
    # rho = sqrt(sin p), dz = sqrt(sin p) dp / 2, and p = q^2 tames the root at the pole.
    half = points // 2 + 1
    q = np.linspace(0.0, np.sqrt(np.pi / 2.0), half)
    fine = np.linspace(0.0, q[-1], 4001)
    rate = np.sqrt(np.sin(fine**2)) * fine
    steps = 0.5 * (rate[1:] + rate[:-1]) * np.diff(fine)
    fallen = np.concatenate([[0.0], np.cumsum(steps)])
    top = np.asarray(fallen[-1] - np.interp(q, fine, fallen))
    rho = np.sqrt(np.sin(q**2))
    rho[0], rho[-1], top[-1] = 0.0, 1.0, 0.0
    return Profile(
        z=np.concatenate([-top, top[-2::-1]]),
        rho=np.concatenate([rho, rho[-2::-1]]),
        family="foil",
    )
