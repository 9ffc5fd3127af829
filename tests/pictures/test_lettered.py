"""Words and dots on balloons: on the skin, straight from the front, in every picture."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airwright.decor.assembly import Assembly
from airwright.desk.editing.answer import picture
from airwright.pictures.drawing import draw
from airwright.pictures.export.model import model_of
from airwright.pictures.mesh import (
    DRAFT,
    Contact,
    decal,
    dots,
    foil_balloon,
    pressed,
    round_balloon,
)
from airwright.pictures.mesh.decal import DOT, DOTS, LIFT
from airwright.pictures.photo.scene import decor
from airwright.pictures.printed import triangles_of, words_on_balloon
from tests.decor.pieces.helpers import made
from tests.pictures.photo import gallery

WORDS = "Saltmarsh 25"


def corners(words: str = WORDS) -> np.ndarray:
    return np.concatenate([triangles_of(shape) for shape in words_on_balloon(words)])


def lettered(mark: str) -> Assembly:
    """One balloon of the gallery with a mark."""
    one = gallery.one()
    return replace(one, stocks=tuple(replace(stock, mark=mark) for stock in one.stocks))


def seen_area(points: np.ndarray, faces: np.ndarray) -> float:
    """Area of triangles as seen from the front."""
    a, b, c = (points[faces[:, k]][:, [0, 2]] for k in range(3))
    u, v = b - a, c - a
    return float(np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).sum() / 2)


@pytest.mark.closed_form
def test_letters_keep_to_the_face_that_can_be_read() -> None:
    """At 0.8 of the radius the skin looks 37° to the side: sin t = 0.8, cos t = 0.6."""
    reach = max(
        float(np.hypot(*np.array(ring.coords).T).max())
        for shape in words_on_balloon(WORDS)
        for ring in [shape.exterior]
    )
    assert 0.5 < reach <= 0.8
    assert words_on_balloon("dots") == ()
    assert words_on_balloon(None) == words_on_balloon("  ") == ()


@pytest.mark.closed_form
def test_a_decal_lies_on_a_ball_and_reads_straight_from_the_front() -> None:
    """Seen from the front it covers the letters' own area; every corner is 1 + lift out."""
    ball = round_balloon(0.2, DRAFT)  # a soft balloon is a ball but for its neck
    made_up = decal(corners(), ball)
    out = np.linalg.norm(made_up.vertices, axis=1)
    assert out == pytest.approx(1.0 + LIFT, abs=0.012)  # the mesh has flat faces
    area = sum(shape.area for shape in words_on_balloon(WORDS))
    assert seen_area(made_up.vertices, made_up.faces) == pytest.approx(area, rel=0.02)
    a, b, c = (made_up.vertices[made_up.faces[:, k]] for k in range(3))
    assert (np.cross(b - a, c - a)[:, 1] <= 1e-12).all()  # all look to the front


def test_a_decal_follows_a_pressed_skin_and_a_foil() -> None:
    plane = Contact(np.array([[0.0, -1.0, 0.0]]), np.array([0.8]))
    flat = pressed(round_balloon(0.9, DRAFT), plane)
    on_flat = decal(corners("40"), flat)
    assert on_flat.vertices[:, 1].min() > -0.8 - 2 * LIFT
    foil = foil_balloon("round", DRAFT)
    on_foil = decal(corners("Ahoy"), foil)
    assert on_foil.vertices[:, 1].min() > foil.vertices[:, 1].min() - 2 * LIFT
    assert (on_foil.vertices[:, 1] < 0.0).all()


@pytest.mark.closed_form
def test_dots_cover_their_share_of_a_ball() -> None:
    """46 caps of 0.15 rad: 46 (1 - cos 0.15) / 2 of the ball, less what corners cut off."""
    spots = dots(round_balloon(0.2, DRAFT))
    a, b, c = (spots.vertices[spots.faces[:, k]] for k in range(3))
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2
    assert area / (4 * np.pi) == pytest.approx(DOTS * (1 - np.cos(DOT)) / 2, rel=0.06)


@pytest.mark.parametrize("mark", [WORDS, "dots"])
def test_every_picture_shows_what_is_on_a_balloon(mark: str) -> None:
    plain, printed = gallery.one(), lettered(mark)
    assert len(decor(printed, DRAFT)) == len(decor(plain, DRAFT)) + 1
    assert len(model_of(printed).parts) == len(model_of(plain).parts) + 1
    before = "".join(e.markup for e in draw(plain).elements)
    after = "".join(e.markup for e in draw(printed).elements)
    assert len(after) > len(before) + 300
    letters = picture(printed).stocks[0].letters
    assert (letters is None) == (mark == "dots")


def test_a_centrepiece_s_crown_carries_a_name() -> None:
    piece = made("centrepiece", crown_mark="Ida & Bo")
    assert [stock.mark for stock in piece.stocks if stock.mark] == ["Ida & Bo"]
    plain = made("centrepiece")
    shown = "".join(e.markup for e in draw(piece).elements)
    assert len(shown) > len("".join(e.markup for e in draw(plain).elements)) + 300
    assert len(decor(piece, DRAFT)) == len(decor(plain, DRAFT)) + 1
