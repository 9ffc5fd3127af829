"""The scene: few meshes for many balloons, and nothing forgotten."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.assembly import merge
from airwright.pictures.mesh import DRAFT
from airwright.pictures.photo.scene import MOST_KINDS, decor, kinds_of
from airwright.pictures.shaped import shaped, upright_frame
from tests.pictures import samples
from tests.pictures.photo import gallery


def test_meshes_stay_few_however_many_balloons() -> None:
    many = merge("row", "test", [samples.swirl_column().moved((k, 0, 0)) for k in range(20)])
    kinds = kinds_of(many, list(shaped(many).contact))
    rows = sorted(row for rows in kinds.values() for row in rows)
    assert rows == list(range(len(many)))
    assert len(kinds) <= MOST_KINDS < len(many)


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
