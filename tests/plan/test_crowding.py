"""Pieces of an option never stand inside each other unseen, and there is room to walk."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.pieces import KINDS
from airwright.decor.standing import stand
from airwright.job.examples import example_text
from airwright.language import say
from airwright.plan.crowding import standing
from airwright.plan.values import Plan
from tests.plan.samples import column, plan

WALK_M = 0.6
"""A person's way between two things: 600 mm is the least width of an escape ladder's hatch or a
gap to pass through that building rules know (from memory)."""


def told(made: Plan) -> list[tuple[str, ...]]:
    return [f.pieces for f in made.findings if f.code == "inside-each-other"]


def beside(x: str, y: str = "0 m") -> Plan:
    """Two columns with spots, 0.55 m across each."""
    first = column(spot='{ x = "0 m", y = "0 m" }')
    second = first.split("[[pieces]]")[1].replace('"Column"', '"Other"')
    second = second.replace('x = "0 m", y = "0 m"', f'x = "{x}", y = "{y}"')
    return plan(first + "\n[[pieces]]" + second)


@pytest.mark.parametrize(
    ("x", "y", "meets"),
    [("0.3 m", "0 m", True), ("0 m", "0 m", True), ("0.8 m", "0 m", False), ("0 m", "3 m", False)],
)
def test_spots_too_near_are_told_once(x: str, y: str, meets: bool) -> None:
    made = beside(x, y)
    assert told(made) == [("Column", "Other")] * meets
    for finding in made.findings:
        if finding.code == "inside-each-other":
            assert finding.place == "pieces[1].spot"
            assert "spot" in say(finding.mend)


def test_a_column_under_an_arch_stands_in_no_balloon_of_it() -> None:
    arch = '[[pieces]]\nspot = { x = "0 m" }\n' + KINDS["arch"].example
    assert told(plan(column(spot='{ x = "0 m" }') + arch)) == []
    leg = column(spot='{ x = "-1.4 m" }') + arch
    assert told(plan(leg)) == [("Column", "Gangway arch")]


@pytest.mark.parametrize("name", ["ferry-terminal", "harbour-festival"])
def test_the_examples_leave_room_to_walk(name: str) -> None:
    made = plan(example_text(name))
    assert told(made) == []
    for option in made.options:
        boxes = []
        for one in stand(standing(option.pieces, made.job)):
            piece = option.pieces[one.piece]
            low, high = piece.assembly.moved((one.x, one.y, 0.0), one.turn_rad).bounds
            boxes.append((piece, low[:2], high[:2]))
        for k, (one, low, high) in enumerate(boxes):
            for other, low2, high2 in boxes[k + 1 :]:
                free = np.hypot(*np.maximum(np.maximum(low - high2, low2 - high), 0.0))
                flanks = "arch" in (one.spec.kind, other.spec.kind)
                assert free >= (0.29 if flanks else WALK_M), (option.name, one.name, other.name)
