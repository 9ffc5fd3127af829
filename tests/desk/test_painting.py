"""Painting a piece's chart: every kind that has one comes back as painted, with count and price."""

from __future__ import annotations

import base64
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from airwright.decor.pieces import KINDS
from airwright.desk.editing.answer import answer
from airwright.desk.editing.builder import Builder
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import Edit, EditError
from airwright.desk.editing.job_state import JobState, PictureState
from airwright.desk.editing.writing import resolved
from airwright.desk.seed import demo_text
from tests.desk.conftest import TODAY

EMPTY = demo_text().split("[[pieces]]")[0]
CHARTED = [name for name, kind in KINDS.items() if kind.has_chart]
VARIANTS: tuple[Mapping[str, Any], ...] = (
    {},
    {"turn": -1},
    {"pattern": "rings"},
    {"body": ["4 x 11in @ 9.5in", "4 x 5in @ 4.5in"]},
    {"body": ["2 x 11in @ 9.5in + 2 x 5in @ 4.5in"]},
    {"legs": "alike"},
    {"legs": "alike", "turn": -1},
)

CASES = [
    (name, keys)
    for name in CHARTED
    for keys in VARIANTS
    if set(keys) <= set(KINDS[name].spec.model_fields) and not (name == "wall" and keys)
]


def changed(text: str, *changes: dict[str, Any]) -> str:
    edit = Edit.model_validate({"version": 1, "changes": list(changes)})
    return apply(text, resolved(text, edit.changes))[0]


def state_of(text: str) -> JobState:
    return answer(Builder(lambda: TODAY).evaluate(text, ""), [], price=True, cost=True)


def rows_of(picture: PictureState) -> list[list[str]]:
    """Rows from the bottom up, as the browser's chart reads them."""

    def numbers(packed: str) -> list[int]:
        return [int(n) for n in np.frombuffer(base64.b64decode(packed), "<i2")]

    cells = picture.cells
    layer = numbers(cells.row if cells else picture.layer)
    slot = numbers(cells.place if cells else picture.slot)
    found: dict[tuple[int, int], str] = {}
    for at, (role, shade) in enumerate(
        zip(numbers(picture.role), numbers(picture.shade), strict=True)
    ):
        if role == 0 and layer[at] >= 0 and slot[at] >= 0:
            found[layer[at], slot[at]] = picture.shades[shade].name
    tall = 1 + max(row for row, _ in found)
    return [[found[key] for key in sorted(found) if key[0] == row] for row in range(tall)]


@pytest.mark.parametrize(("kind", "keys"), CASES, ids=str)
def test_a_painted_balloon_changes_nothing_else(kind: str, keys: Mapping[str, Any]) -> None:
    puts = [{"do": "put", "path": ["pieces", 0, key], "value": v} for key, v in keys.items()]
    text = changed(EMPTY, {"do": "add", "kind": kind}, *puts)
    before = state_of(text)
    picture = before.pieces[0].picture
    assert picture is not None
    assert before.totals is not None
    rows = rows_of(picture)
    lone = next(name for name in before.shades if name != rows[-1][0])
    rows[-1][0] = lone
    after = state_of(changed(text, {"do": "paint", "piece": 0, "rows": rows}))
    assert [f.what for f in after.findings if f.severity == "error"] == []
    assert after.totals is not None
    assert after.totals.balloons == before.totals.balloons
    assert after.totals.price == before.totals.price
    painted = after.pieces[0].picture
    assert painted is not None
    assert rows_of(painted) == rows


@pytest.mark.parametrize("kind", sorted(set(KINDS) - set(CHARTED)))
def test_a_kind_without_a_chart_refuses_paint_and_stays_as_it_is(kind: str) -> None:
    text = changed(EMPTY, {"do": "add", "kind": kind})
    assert state_of(text).pieces[0].has_chart is False
    with pytest.raises(EditError, match="no chart"):
        changed(text, {"do": "paint", "piece": 0, "rows": [["coral"]]})


def test_there_are_kinds_of_both_sorts() -> None:
    assert {"column", "arch", "wall"} <= set(CHARTED)
    assert "garland" not in CHARTED
