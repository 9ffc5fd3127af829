"""The scene: few meshes for many balloons, and nothing forgotten."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.pictures.mesh import DRAFT
from airwright.pictures.photo.scene import decor, kinds_of, planes_of, upright_frame
from tests.pictures import samples
from tests.pictures.photo import gallery


def test_kinds_do_not_grow_with_a_column_s_height() -> None:
    column = samples.swirl_column()
    kinds = kinds_of(column, planes_of(column))
    rows = sorted(row for rows in kinds.values() for row in rows)
    assert rows == list(range(len(column)))
    assert len(kinds) < len(column)


def test_every_balloon_is_set_once() -> None:
    column = samples.cloud_column()
    parts = decor(column, DRAFT)
    places = sum(len(part.places) for part in parts if part.name.startswith("kind"))
    assert places == len(column)


def test_a_balloon_inside_another_is_set_too() -> None:
    parts = decor(gallery.finishes(), DRAFT)
    assert sum(len(part.places) for part in parts) == len(gallery.finishes()) + 1


def test_too_small_to_see_is_left_out() -> None:
    names = {part.name for part in decor(gallery.everything(), DRAFT)}
    assert "hardware4" not in names  # the bands
    assert {"hardware0", "hardware1", "strand0", "strand1", "fabric0"} <= names


@pytest.mark.closed_form
def test_upright_frames_turn_with_the_column() -> None:
    angle = np.linspace(0, 2 * np.pi, 9)
    axis = np.stack([np.cos(angle), np.sin(angle), np.zeros(9)], axis=1)
    frame = upright_frame(axis)
    assert np.allclose(frame[:, :, 1], [0, 0, 1])
    assert np.allclose(np.linalg.det(frame), 1)
