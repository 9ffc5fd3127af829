"""Pieces for tables stand on tables in pictures, and nowhere else."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.pictures.drawing import Standing, arrange
from airwright.pictures.export import to_glb
from airwright.pictures.export.model import model_of
from airwright.pictures.mesh import tablecloth
from airwright.pictures.tables import HIGH_M, TABLE, on_its_table
from tests.decor.pieces.helpers import made


def tables(scene: object) -> list[object]:
    return [part for part in scene.hardware if part.use == TABLE]  # type: ignore[attr-defined]


@pytest.mark.parametrize("kind", ["centrepiece", "topiary", "flower"])
def test_a_piece_for_a_table_is_lifted_onto_one(kind: str) -> None:
    piece = made(kind)
    assert piece.on_table
    assert not tables(piece)  # what is counted, carried and priced holds no table
    stood = on_its_table(piece)
    assert len(tables(stood)) == 1
    assert float((stood.centre[:, 2] - stood.radius).min()) == pytest.approx(
        HIGH_M + float((piece.centre[:, 2] - piece.radius).min())
    )
    assert stood.bounds[1][2] == pytest.approx(piece.bounds[1][2] + HIGH_M)


def test_what_stands_on_the_floor_or_hangs_stays() -> None:
    for piece in (made("column"), made("flower", on="line"), made("topiary", on="floor")):
        assert on_its_table(piece) is piece


def test_copies_far_apart_have_a_table_each_and_near_ones_share() -> None:
    piece = made("centrepiece")
    assert len(tables(arrange([Standing(piece, 3)]))) == 3
    many = model_of(arrange([Standing(piece, 12)]))
    faces = [len(many.meshes[part.mesh].faces) for part in many.parts]
    assert sum(faces) < 100_000  # a phone still turns them
    near = Standing(piece, 2, ((0.0, 0.0, 0.0), (0.3, 0.0, 0.0)))
    scene = arrange([near])
    assert len(tables(scene)) == 1
    assert float(scene.centre[:, 2].min()) > HIGH_M  # both are on it
    assert to_glb(scene)


def test_a_cloth_covers_its_table_down_to_the_floor() -> None:
    cloth = tablecloth(0.9, 0.75)
    low, high = cloth.vertices.min(axis=0), cloth.vertices.max(axis=0)
    assert (low[2], high[2]) == pytest.approx((0.0, 0.75))
    top = cloth.vertices[cloth.vertices[:, 2] > 0.749]
    assert np.hypot(top[:, 0], top[:, 1]).max() == pytest.approx(0.45, rel=0.04)
    for wrong in ((0.0, 0.7), (0.9, 0.0)):
        with pytest.raises(ValueError, match="width and a height"):
            tablecloth(*wrong)
