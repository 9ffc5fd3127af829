"""Boards and what is printed on them, and leaves: their areas, and that every picture has them."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.assembly import HardwarePlaced, Shade
from airwright.decor.parts.foliage import LEAF, LEAF_LONG_M, LEAF_WIDE_M
from airwright.pictures.drawing.draw import draw
from airwright.pictures.export.model import model_of
from airwright.pictures.mesh import DRAFT, board, leaf
from airwright.pictures.photo.hardware import fixtures
from airwright.pictures.printed import printed_ink, triangles_of, words_on
from airwright.plan.silhouette import _face
from tests.decor.pieces.helpers import made

CORNERS = ((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 0.0, 1.5), (-1.0, 0.0, 1.5))


def plate(text: str = "") -> HardwarePlaced:
    path = (*CORNERS, CORNERS[0])
    return HardwarePlaced(
        "sign board", "sign", 1, "each", path, 0.01, shade=Shade("white", "#ffffff"), text=text
    )


@pytest.mark.closed_form
def test_a_board_is_a_closed_slab() -> None:
    """Slab of 2 m by 1.5 m by 1 cm: volume 0.03 m³, surface 2 (3 + 0.035) m²."""
    for outline in (plate().path, plate().path[::-1]):
        mesh = board(np.array(outline), 0.01)
        assert mesh.volume == pytest.approx(0.03)
        assert mesh.area == pytest.approx(2 * (3.0 + 0.02 + 0.015))


@pytest.mark.closed_form
def test_the_wind_finds_the_whole_face() -> None:
    """Area of the discs on a face of 3 m² without their overlaps, within five percent."""
    spots, radii = _face(plate().path)
    assert np.pi * (radii**2).sum() == pytest.approx(3.0, rel=0.12)
    assert np.abs(spots[:, 0]).max() < 1.0
    assert spots[:, 2].max() < 1.5


def test_words_stay_on_the_board_and_are_as_large_as_they_can_be() -> None:
    one, many = words_on(plate("Ahoy")), words_on(plate("Welcome aboard the evening ferry"))
    for shapes in (one, many):
        points = np.concatenate([np.asarray(shape.exterior.coords) for shape in shapes])
        assert np.abs(points[:, 0]).max() < 0.8
        assert np.abs(points[:, 1]).max() < 0.6
    assert max(s.bounds[3] - s.bounds[1] for s in one) > max(
        s.bounds[3] - s.bounds[1] for s in many
    )


def test_triangles_fill_a_letter_and_leave_its_hole() -> None:
    (ring,) = words_on(plate("O"))
    corners = triangles_of(ring)
    a, b, c = (corners[:, k] for k in range(3))
    doubled = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    assert np.abs(doubled).sum() / 2 == pytest.approx(ring.area)


@pytest.mark.parametrize("text", ["", "   ", "\u0627\u0647\u0644\u0627", "\U0001f388"])
def test_what_the_font_does_not_hold_is_left_out(text: str) -> None:
    assert words_on(plate(text)) == ()


def test_ink_is_dark_on_light_and_light_on_dark() -> None:
    assert printed_ink("#ffffff") < printed_ink("#101010")


def test_a_leaf_is_a_leaf_wide_and_seen_from_both_sides() -> None:
    midrib = np.array([[0, 0, 0], [0, -0.01, LEAF_LONG_M / 2], [0, 0, LEAF_LONG_M]])
    mesh = leaf(midrib, LEAF_WIDE_M)
    low, high = mesh.bounds
    assert high[0] - low[0] == pytest.approx(LEAF_WIDE_M, rel=0.02)
    assert high[2] - low[2] == pytest.approx(LEAF_LONG_M, rel=0.05)
    assert mesh.normals[:, 1].min() < -0.8
    assert mesh.normals[:, 1].max() > 0.8


def test_every_picture_of_a_hoop_has_its_sign_and_its_leaves() -> None:
    hoop = made("hoop")
    leaves = sum(strand.name == LEAF for strand in hoop.strands)
    model = model_of(hoop)
    assert leaves > 50
    names = {part.name for part in model.parts}
    assert {"sign board", "Welcome aboard", "leaves, teal"} <= names
    photo = {part.name.rstrip("0123456789") for part in fixtures(hoop, DRAFT)}
    assert {"leaves", "print"} <= photo
    drawing = draw(hoop)
    assert any('fill-rule="evenodd"' in element.markup for element in drawing.elements)
