"""Closed forms of the outlines.

Round foil: W. H. Paulsen, "What is the shape of a mylar balloon?", Am. Math. Monthly 101
(1994) 953 (closed forms remembered, recomputed here with scipy's gamma function).
Pear: the teardrop curve's volume as a beta function. Tube: cylinder and half spheres.
"""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import bodies, shape
from tests.validation.conftest import Compare

PAULSEN = "Paulsen 1994, closed form"


@pytest.mark.closed_form
@pytest.mark.parametrize("tightness", [0.3, 0.6, 0.88, 1.0, 1.15])
def test_pear_body_volume(tightness: float, compare: Compare) -> None:
    profile = shape.pear_profile(2000, tightness)
    m = profile.exponent
    exact = 8 * np.pi / ((m + 2) * (m + 3)) / shape.equator_radius(m) ** 3
    # 1e-3: the drawn neck, knot and lip add 0.05 % to the body alone
    compare(
        shape.volume_factor(profile),
        float(exact),
        rtol=1e-3,
        source="beta integral of the teardrop curve",
        what=f"pear volume over R³ at {tightness:.0%} inflation",
        unit="-",
    )


@pytest.mark.closed_form
def test_soft_pear_is_nearly_a_sphere(compare: Compare) -> None:
    profile = shape.pear_profile(2000, 0.25)
    compare(
        shape.volume_factor(profile),
        4 * np.pi / 3,
        rtol=3e-3,
        source="sphere",
        what="volume over R³ of a soft balloon",
        unit="-",
    )


@pytest.mark.closed_form
def test_modelling_balloon(compare: Compare) -> None:
    exact = np.pi * 2 * 29 + 4 / 3 * np.pi
    compare(
        shape.volume_factor(bodies.tube_profile(30.0, 400)),
        exact,
        rtol=1e-3,
        source="cylinder with half spheres",
        what="volume over R³ of a 260",
        unit="-",
    )
