"""The front view in the panel: where its points are drawn, and what is no way at all."""

from __future__ import annotations

import json
import tomllib
from typing import Any

import pytest

from airwright.decor.pieces import KINDS
from airwright.desk.design.forms import piece_panel
from airwright.desk.way import Way, way_of
from airwright.job.records import records
from airwright.units import LENGTH, parse

PATH = ("pieces", 2, "points")


def half_arch() -> dict[str, Any]:
    return tomllib.loads(KINDS["half-arch"].example)


def drawn(value: Any) -> Way | None:
    rows = [r for r in records(KINDS["half-arch"].spec) if r.path.startswith("points.")]
    return way_of(rows, value, PATH)


def test_points_are_drawn_in_centimetres_with_the_floor_at_nought() -> None:
    way = drawn([{"x": "-1 m", "z": "0 m"}, {"x": "0.5 m", "z": "2 m"}])
    assert way is not None
    assert [(p.x, p.y) for p in way.points] == [(-100.0, 0.0), (50.0, -200.0)]
    assert json.loads(way.points[1].path) == [*PATH, 1]
    left, top, wide, tall = map(float, way.box.split())
    assert left < -100
    assert left + wide > 50
    assert top < -200
    assert top + tall > 0  # the floor is in the picture


def test_a_point_more_goes_on_where_the_way_ends() -> None:
    way = drawn([{"x": "-1 m", "z": "0 m"}, {"x": "1 m", "z": "2 m"}])
    assert way is not None
    more = json.loads(way.next_point)
    assert parse(more["x"], LENGTH) == pytest.approx(2.0)
    assert parse(more["z"], LENGTH) == pytest.approx(3.0)
    down = drawn([{"x": "0 m", "z": "2 m"}, {"x": "1 m", "z": "0.2 m"}])
    assert down is not None
    assert parse(json.loads(down.next_point)["z"], LENGTH) == 0.0  # never below the floor


@pytest.mark.parametrize(
    "value",
    [None, "x", [], [{"x": "1 m", "z": "1 m"}], [{"x": "far", "z": "1 m"}] * 2, [3, 4],
     [{"x": 1, "z": 2}, {"x": 2, "z": 2}]],
)  # fmt: skip
def test_what_cannot_be_drawn_leaves_the_fields_alone(value: Any) -> None:
    assert drawn(value) is None


def test_the_view_stands_after_the_piece_and_only_where_points_are() -> None:
    groups = piece_panel(half_arch(), 0, ())
    assert [group.way is not None for group in groups].index(True) == 1
    assert sum(group.way is not None for group in groups) == 1
    labels = [field.label for group in groups for field in group.fields]
    assert "To the right" in labels
    for kind in ("hoop", "ceiling", "column"):
        table = tomllib.loads(KINDS[kind].example)
        assert all(group.way is None for group in piece_panel(table, 0, ()))


def test_what_a_button_adds_can_be_read() -> None:
    groups = piece_panel(half_arch(), 0, ())
    (add,) = [g for g in groups if not g.present and "points" in g.path]
    table = half_arch()
    table["points"].append(json.loads(add.start))
    assert len(KINDS["half-arch"].spec.model_validate(table).points) == 7
