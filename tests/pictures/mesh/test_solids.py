"""Balloons, rods and plates: closed, outward, and as large as physics says."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.physics.bodies import tube_profile
from airwright.physics.shape import area_factor, pear_profile, volume_factor
from airwright.pictures.mesh import (
    DRAFT,
    FINE,
    WEB,
    Mesh,
    cylinder,
    disc,
    joined,
    modelling,
    pear,
    plate,
    round_balloon,
    tube,
)


def polygon_share(segments: int) -> float:
    """Area of a regular polygon over that of its circle: what flat sides leave of a volume."""
    return segments / (2 * np.pi) * np.sin(2 * np.pi / segments)


@pytest.mark.closed_form
@pytest.mark.parametrize("tightness", [0.4, 0.88, 1.0, 1.15])
@pytest.mark.parametrize("segments", [12, 64])
def test_a_pear_encloses_the_volume_of_its_profile(tightness: float, segments: int) -> None:
    profile = pear_profile(56, tightness)
    mesh = pear(profile, segments)
    assert mesh.closed
    assert mesh.euler == 2
    assert mesh.volume == pytest.approx(volume_factor(profile) * polygon_share(segments), rel=1e-9)


@pytest.mark.closed_form
def test_a_pear_has_the_surface_of_its_profile_and_a_lid() -> None:
    profile = pear_profile(200)
    lid = np.pi * profile.rho[0] ** 2
    assert pear(profile, 400).area == pytest.approx(area_factor(profile) + lid, rel=2e-4)


def test_texture_coordinates_do_not_change_the_surface() -> None:
    plain, textured = round_balloon(0.88), round_balloon(0.88, uv=True)
    assert textured.uv is not None
    assert textured.uv.min() == 0
    assert textured.uv.max() == 1
    assert textured.area == pytest.approx(plain.area, rel=1e-12)
    assert textured.closed
    assert textured.euler == 2
    # the print's middle (u = 1/2) faces the viewer
    front = textured.vertices[np.abs(textured.uv[:, 0] - 0.5) < 1e-9]
    assert (front[:, 1] <= 1e-12).all()


@pytest.mark.parametrize("detail", [WEB, DRAFT, FINE])
def test_normals_point_outwards_at_every_level_of_detail(detail: object) -> None:
    mesh = round_balloon(0.9, detail)  # type: ignore[arg-type]
    assert np.allclose(np.linalg.norm(mesh.normals, axis=1), 1)
    body = mesh.vertices[:, 2] > -0.5
    outwards = np.einsum("ij,ij->i", mesh.normals, mesh.vertices)
    assert (outwards[body] > 0.5).all()


def test_the_web_balloon_is_light() -> None:
    assert len(round_balloon(0.88, WEB).faces) < 1000


@pytest.mark.closed_form
def test_rods_and_plates_have_their_volume() -> None:
    assert cylinder(0.1, 2.0, 64).volume == pytest.approx(
        np.pi * 0.01 * 2 * polygon_share(64), rel=0.002
    )
    assert plate(0.4, 0.3, 0.02, 0.001).volume == pytest.approx(0.4 * 0.3 * 0.02, rel=0.01)
    straight = tube([[0, 0, 0], [0, 0, 1.5]], 0.04, 48)
    assert straight.volume == pytest.approx(np.pi * 0.02**2 * 1.5 * polygon_share(48), rel=1e-9)
    assert disc(0.5, 90).area == pytest.approx(np.pi * 0.25 * polygon_share(90), rel=1e-9)


@pytest.mark.closed_form
@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(*[st.floats(-2, 2, allow_nan=False)] * 3), min_size=2, max_size=8, unique=True
    ).filter(lambda p: np.linalg.norm(np.diff(np.array(p), axis=0), axis=1).min() > 0.05)
)
def test_a_tube_is_closed_whatever_its_path(path: list[tuple[float, float, float]]) -> None:
    mesh = tube(path, 0.01, 8)
    assert mesh.closed
    assert mesh.euler == 2
    assert np.isfinite(mesh.vertices).all()
    assert np.isfinite(mesh.normals).all()


def test_a_tube_refuses_what_has_no_length() -> None:
    with pytest.raises(ValueError, match="two different points"):
        tube([[0, 0, 0], [0, 0, 0]], 0.1)
    with pytest.raises(ValueError, match="diameter"):
        tube([[0, 0, 0], [0, 0, 1]], 0.0)


@pytest.mark.closed_form
def test_a_modelling_balloon_holds_what_physics_says() -> None:
    # 260: 60 in by 2 in. The profile's length counts tip to knot; the path is its cylinder.
    profile = tube_profile(30.0, 400)
    path = np.stack([np.zeros(40), np.zeros(40), np.linspace(-29, 29, 40)], axis=1)
    mesh = modelling(path, 2.0)
    assert mesh.closed
    assert mesh.euler == 2
    assert mesh.volume == pytest.approx(volume_factor(profile) * polygon_share(16), rel=0.01)


def test_joined_and_placed() -> None:
    one = cylinder(0.1, 1.0)
    matrix = np.diag([2.0, 2.0, 2.0, 1.0])
    matrix[:3, 3] = [5, 0, 0]
    both = joined([one, one.placed(matrix)])
    assert both.volume == pytest.approx(9 * one.volume)
    mirror = np.diag([-1.0, 1.0, 1.0, 1.0])
    assert one.placed(mirror).volume == pytest.approx(one.volume)
    assert len(joined([]).faces) == 0


def test_a_mesh_refuses_what_does_not_fit() -> None:
    with pytest.raises(ValueError, match="normal"):
        Mesh(np.zeros((3, 3)), np.zeros((1, 3), np.int32), np.zeros((2, 3)))
    mesh = cylinder(0.1, 1.0)
    with pytest.raises(ValueError, match="read-only"):
        mesh.vertices[0] = 0
