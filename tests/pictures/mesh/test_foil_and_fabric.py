"""Foil pillows and sleeves."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics.bodies import FOIL_TAIL_ROOT, foil_profile, foil_tie_below
from airwright.physics.shape import volume_factor
from airwright.pictures.mesh import (
    FINE,
    WEB,
    Detail,
    foil_pillow,
    foil_tail,
    fringe_sleeve,
    outline_named,
    outlines_of_text,
    sleeve,
)
from airwright.pictures.mesh.foil import OutlineError


@pytest.mark.closed_form
def test_a_round_foil_is_the_one_of_physics() -> None:
    mesh = foil_pillow(outline_named("round"), puckered=False)
    assert mesh.closed
    assert mesh.euler == 2
    assert mesh.volume == pytest.approx(volume_factor(foil_profile(400)), rel=0.03)
    assert np.ptp(mesh.vertices[:, 1]) == pytest.approx(1.19814, rel=0.005)


@pytest.mark.parametrize("name", ["round", "star", "starburst", "heart"])
@pytest.mark.parametrize("detail", [WEB, FINE])
def test_foils_are_closed_balls_one_half_width_wide(name: str, detail: Detail) -> None:
    mesh = foil_pillow(outline_named(name, detail.foil_points))
    assert mesh.closed
    assert mesh.euler == 2
    assert mesh.volume > 0
    low, high = mesh.bounds
    assert low[0] == pytest.approx(-1, abs=3e-3)
    assert high[0] == pytest.approx(1, abs=3e-3)
    front = mesh.vertices[:, 1] < -0.1
    assert (mesh.normals[front, 1] < 0).mean() > 0.98


@pytest.mark.parametrize(("letter", "holes"), [("L", 0), ("A", 1), ("8", 2), ("4", 1), ("O", 1)])
def test_letters_and_figures_have_their_eyes(letter: str, holes: int) -> None:
    (rings,) = outlines_of_text(letter)
    assert len(rings) == 1 + holes
    mesh = foil_pillow(rings)
    assert mesh.closed
    assert mesh.euler == 2 - 2 * holes  # each eye is a handle
    assert mesh.volume > 0


@pytest.mark.parametrize("name", sorted(FOIL_TAIL_ROOT))
def test_a_foil_s_ribbon_is_tied_on_its_tail(name: str) -> None:
    # the table of physics is held against the outline that is drawn
    ring = outline_named(name, 2000)
    below = ring[(np.abs(ring[:, 0]) < 0.03) & (ring[:, 1] < 0)]
    rim = -below[np.abs(below[:, 0]).argmin(), 1]
    assert FOIL_TAIL_ROOT[name] == pytest.approx(rim, abs=0.03)
    tail = foil_tail(name)
    assert tail.closed
    at = tail.vertices[np.abs(tail.vertices[:, 2] + foil_tie_below(name)) < 0.03]
    assert len(at)
    assert np.abs(at[:, 0]).max() < 0.03  # gathered there
    assert foil_tie_below(name) > rim


def test_words_become_one_foil_a_letter() -> None:
    assert len(outlines_of_text("40 YES")) == 5


def test_wrong_outlines_are_refused_with_a_cure() -> None:
    with pytest.raises(OutlineError, match="starburst"):
        outline_named("anchor")
    with pytest.raises(OutlineError, match="encloses nothing"):
        foil_pillow(np.array([[0, 0], [1, 1], [2, 2.0]]))
    with pytest.raises(OutlineError, match="three points"):
        foil_pillow(np.array([[0, 0], [1, np.nan], [2, 2.0]]))


def test_an_outline_may_run_either_way() -> None:
    there = foil_pillow(outline_named("star"))
    back = foil_pillow(outline_named("star")[::-1].copy())
    assert back.volume == pytest.approx(there.volume, rel=0.02)


def test_fringe_hangs_where_the_sleeve_is() -> None:
    mesh = fringe_sleeve(0.12, 0.4, 1.5, 3)
    low, high = mesh.bounds
    assert high[2] == pytest.approx(1.5)
    assert 0.39 < low[2] < 0.45
    assert np.hypot(*mesh.vertices[:, :2].T).max() < 0.12 * 1.25
    assert len(fringe_sleeve(0.12, 0.4, 1.5, 6).faces) > len(mesh.faces)
    again = fringe_sleeve(0.12, 0.4, 1.5, 3)
    assert np.array_equal(mesh.vertices, again.vertices)  # same input, same picture


def test_short_fringe_hangs_in_tiers() -> None:
    low, high = fringe_sleeve(0.1, 0.0, 1.2, 1, drop_m=0.4).bounds
    assert high[2] == pytest.approx(1.2)
    assert low[2] < 0.03


def test_a_fabric_sleeve_stays_inside_its_radius() -> None:
    mesh = sleeve(0.2, 0.0, 1.0)
    assert np.hypot(*mesh.vertices[:, :2].T).max() <= 0.2 * 1.02
    with pytest.raises(ValueError, match="radius"):
        sleeve(0.2, 1.0, 1.0)
    with pytest.raises(ValueError, match="layer"):
        fringe_sleeve(0.1, 0, 1, 0)


def test_an_outline_that_crosses_itself_is_refused() -> None:
    with pytest.raises(OutlineError):
        foil_pillow(np.array([[0, 0], [1, 1], [1, 0], [0, 1.0]]))
