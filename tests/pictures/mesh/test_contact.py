"""Balloons that press together meet in a plane and never pass through each other."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.pictures.mesh import contacts, placement, pressed, roll_frame, round_balloon


@pytest.mark.closed_form
def test_two_alike_meet_half_way() -> None:
    centre = np.array([[0, 0, 0], [0.2, 0, 0.0]])
    radius = np.array([0.12, 0.12])
    frame = roll_frame(np.array([[0, 0, 1.0], [0, 0, 1.0]]))
    left, right = contacts(centre, radius, frame)
    assert left.height[0] == pytest.approx(0.1 / 0.12)
    assert np.allclose(left.direction[0], -right.direction[0])
    mesh = round_balloon(0.88)
    matrices = placement(centre, radius, np.array([[0, 0, 1.0], [0, 0, 1.0]]))
    a = pressed(mesh, left).placed(matrices[0])
    b = pressed(mesh, right).placed(matrices[1])
    assert a.vertices[:, 0].max() <= 0.1 + 1e-9
    assert b.vertices[:, 0].min() >= 0.1 - 1e-9
    assert a.vertices[:, 0].max() == pytest.approx(0.1, abs=0.002)  # and no gap
    assert a.closed
    assert a.volume > 0


@pytest.mark.closed_form
def test_unlike_radii_meet_in_the_circle_they_share() -> None:
    centre = np.array([[0, 0, 0], [0, 0.25, 0.0]])
    radius = np.array([0.2, 0.1])
    big, small = contacts(centre, radius, roll_frame(np.tile([0, 0, 1.0], (2, 1))))
    at = 0.2 * big.height[0]
    assert 0.2**2 - at**2 == pytest.approx(0.1**2 - (0.25 - at) ** 2)
    assert 0.2 * big.height[0] + 0.1 * small.height[0] == pytest.approx(0.25)


def test_apart_balloons_are_left_alone() -> None:
    centre = np.array([[0, 0, 0], [1.0, 0, 0]])
    found = contacts(centre, np.array([0.1, 0.1]), roll_frame(np.tile([0, 0, 1.0], (2, 1))))
    mesh = round_balloon(0.88)
    assert np.array_equal(pressed(mesh, found[0]).vertices, mesh.vertices)
    assert contacts(np.zeros((0, 3)), np.zeros(0), np.zeros((0, 3, 3))) == []


def test_balloons_on_one_spot_do_not_break_it() -> None:
    frame = roll_frame(np.tile([0, 0, 1.0], (2, 1)))
    found = contacts(np.zeros((2, 3)), np.array([0.1, 0.1]), frame)
    assert all(np.isfinite(c.height).all() for c in found)
    deep = contacts(np.array([[0, 0, 0], [0.001, 0, 0]]), np.array([0.1, 0.1]), frame)
    assert np.isfinite(pressed(round_balloon(0.88), deep[0]).vertices).all()


@pytest.mark.closed_form
def test_frames_are_rotations_that_keep_the_print_in_front() -> None:
    rng = np.random.default_rng(4)
    axis = rng.normal(size=(50, 3))
    axis /= np.linalg.norm(axis, axis=1, keepdims=True)
    axis = np.concatenate([axis, [[0, -1, 0], [0, 1, 0], [0, 0, -1.0]]])
    frame = roll_frame(axis)
    assert np.allclose(frame @ frame.transpose(0, 2, 1), np.eye(3))
    assert np.allclose(np.linalg.det(frame), 1)
    assert np.allclose(frame[:, :, 2], axis)
    steep = np.abs(axis[:, 1]) > 0.99
    assert (frame[~steep][:, 1, 1] > 0).all()


def test_the_same_neighbours_give_the_same_signature() -> None:
    # a ring of six turned about the vertical: every balloon sees the same neighbours
    angle = np.arange(6) * np.pi / 3
    centre = np.stack([0.2 * np.cos(angle), 0.2 * np.sin(angle), np.zeros(6)], axis=1)
    found = contacts(centre, np.full(6, 0.12), roll_frame(np.tile([0, 0, 1.0], (6, 1))))
    turned = roll_frame(np.tile([0, 0, 1.0], (6, 1)))
    for k, a in enumerate(angle):
        c, s = np.cos(a), np.sin(a)
        turned[k] = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    own = contacts(centre, np.full(6, 0.12), turned)
    assert len({c.signature() for c in own}) == 1
    assert len({c.signature() for c in found}) > 1
