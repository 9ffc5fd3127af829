"""Balloons as hands and air make them: nearly alike, a little askew, full where pressed."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.pictures.mesh import by_hand, pressed, round_balloon, swollen
from airwright.pictures.mesh.hand import FULLEST, SIZE_SPREAD, TILT_RAD
from airwright.pictures.shaped import shaped
from tests.pictures import samples
from tests.pictures.photo import gallery


@pytest.mark.common_practice
def test_hands_size_within_two_in_a_hundred() -> None:
    axis = np.tile([0.0, 0.0, 1.0], (400, 1))
    tilted, radius = by_hand(axis, np.full(400, 0.12))
    assert np.abs(radius / 0.12 - 1).max() <= SIZE_SPREAD == 0.02
    assert radius.mean() == pytest.approx(0.12, rel=1e-3)
    assert np.linalg.norm(tilted, axis=1) == pytest.approx(1.0)
    lean = np.arccos(np.clip(tilted[:, 2], -1, 1))
    assert lean.max() <= TILT_RAD + 1e-9
    assert lean.mean() > 0.5 * TILT_RAD
    again = by_hand(axis, np.full(400, 0.12))
    assert np.array_equal(again[0], tilted)


@pytest.mark.closed_form
def test_a_pressed_ball_keeps_its_air() -> None:
    # two balls pressed 0.2 radii each: what the cap loses (pi h^2 (3 - h) / 3) the rest regains
    centre = np.array([[0.0, 0, 0], [0.2, 0, 0]])
    radius = np.full(2, 0.12)
    grown = swollen(centre, radius, rounds=12)
    cap = grown - 0.1
    volume = 4 / 3 * np.pi * grown**3 - np.pi * cap**2 * (3 * grown - cap) / 3
    assert volume == pytest.approx(4 / 3 * np.pi * radius**3, rel=2e-3)
    alone = swollen(np.array([[0.0, 0, 0], [1.0, 0, 0]]), radius)
    assert np.array_equal(alone, radius)
    crowd = np.random.default_rng(1).uniform(0, 0.2, (30, 3))
    assert (swollen(crowd, np.full(30, 0.12)) <= FULLEST * 0.12 + 1e-12).all()


def test_pressed_balloons_do_not_pass_through_each_other() -> None:
    column = samples.swirl_column()
    looks = shaped(column)
    body = [row for row in range(len(column)) if len(looks.contact[row].height)]
    assert len(body) > 20
    mesh = round_balloon(0.86)
    for row in body[:12]:
        own = pressed(mesh, looks.contact[row])
        placed = own.vertices[own.vertices[:, 2] > -0.9] @ looks.matrices[row].T
        placed = placed + column.centre[row]  # the neck is tied with others in the middle
        for other in body:
            if other == row:
                continue
            inside = np.linalg.norm(placed - column.centre[other], axis=1)
            # the plane both end at lies inside the other's full ball, but not beyond the plane
            across = column.centre[other] - column.centre[row]
            apart = np.linalg.norm(across)
            if apart >= looks.radius[row] + looks.radius[other]:
                assert (inside > looks.radius[other] - 2e-3).all()
                continue
            plane = (apart**2 + looks.radius[row] ** 2 - looks.radius[other] ** 2) / (2 * apart)
            beyond = (placed - column.centre[row]) @ (across / apart) - plane
            assert beyond.max() < 2.5e-3


def test_foils_and_printed_ones_face_the_viewer() -> None:
    looks = shaped(gallery.everything())
    assert looks.frame[2][:, 1] == pytest.approx([0, 1, 0], abs=0.1)
    assert looks.radius[2] == gallery.everything().radius[2]
    nothing = shaped(gallery.row_of((), (), [], 0.3))
    assert nothing.contact == ()
