"""The pear outline: what pictures and physics rely on."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.physics import bodies, shape
from airwright.physics.errors import OutOfRangeError

TIGHT = st.floats(shape.TIGHTNESS_MIN, shape.TIGHTNESS_MAX)


@given(tightness=TIGHT, points=st.integers(24, 200))
def test_pear_is_well_formed(tightness: float, points: int) -> None:
    p = shape.pear_profile(points, tightness)
    assert p.z.shape == p.rho.shape == (points,)
    assert np.all(np.diff(p.z) > 0)
    assert p.rho.max() == pytest.approx(1.0, abs=1e-12)
    assert p.z[np.argmax(p.rho)] == 0.0
    assert p.rho[-1] == 0.0
    assert p.rho[0] == pytest.approx(shape.KNOT_RADIUS)
    assert np.all(p.rho[1:-1] > 0)
    body = p.rho[p.body_start :]
    widest = int(np.argmax(body))
    assert np.all(np.diff(body[: widest + 1]) > 0)
    assert np.all(np.diff(body[widest:]) < 0)
    assert p.z[0] < p.knot_z < p.z[p.body_start]


@given(a=TIGHT, b=TIGHT)
def test_tighter_is_more_pear_shaped(a: float, b: float) -> None:
    low, high = sorted((a, b))
    body = [1.0 / float(shape.equator_radius(shape.pear_exponent(t))) for t in (low, high)]
    assert body[0] <= body[1] + 1e-12


def test_table_equals_the_profile_that_pictures_draw() -> None:
    t = np.linspace(0.2, 1.2, 17) + 0.003
    t[-1] = 1.2
    direct = [shape.volume_factor(shape.pear_profile(600, float(x))) for x in t]
    assert shape.pear_volume_factor(t) == pytest.approx(direct, rel=1e-4)
    area = [shape.area_factor(shape.pear_profile(600, float(x))) for x in t]
    assert shape.pear_area_factor(t) == pytest.approx(area, rel=1e-4)


def test_coarse_picture_misses_little_volume() -> None:
    fine, coarse = (shape.volume_factor(shape.pear_profile(n)) for n in (2000, 48))
    assert abs(coarse / fine - 1) < 3e-3


def test_outline_cannot_be_written_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        shape.pear_profile().rho[3] = 2.0


@pytest.mark.parametrize("tightness", [0.0, -1.0, 0.1, 1.5])
def test_absurd_inflation_is_refused(tightness: float) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        shape.pear_profile(48, tightness)
    assert caught.value.code == "physics.tightness"
    assert caught.value.value == pytest.approx(tightness)
    assert "Inflate" in caught.value.cure


def test_foil_is_symmetric_and_tube_is_long() -> None:
    foil = bodies.foil_profile(49)
    assert foil.z == pytest.approx(-foil.z[::-1])
    assert foil.rho == pytest.approx(foil.rho[::-1])
    tube = bodies.tube_profile(30.0)
    assert np.all(np.diff(tube.z) > 0)
    assert shape.height_over_diameter(tube) == pytest.approx(30.0, rel=0.01)
