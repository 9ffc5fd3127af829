"""A pair beside an arch stands on both sides in proposal, floor plan, load list and 3D alike."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from airwright.decor.pieces import KINDS
from airwright.desk.editing.answer import answer
from airwright.desk.editing.builder import Builder
from airwright.job.examples import example_text
from airwright.job.writing import write_job
from airwright.papers.common.pictures import shown
from airwright.papers.load_list.floor import placed_of, places_of, rows
from airwright.pictures.drawing import arrange
from airwright.plan.values import Plan
from airwright.units import System
from tests.plan.samples import column, plan

ARCH, PAIR = "Gangway arch", "Forecourt column"


def test_everything_shows_the_pair_at_both_sides() -> None:
    made = plan(example_text("harbour-festival"))
    by_name = {piece.name: piece for piece in made.pieces}
    tags = {place.name: place for place in places_of(made)}
    floor = {
        name: sorted(one.x for one in placed_of(made) if one.tag == tags[name].tag)
        for name in (ARCH, PAIR)
    }
    left, right = floor[PAIR]
    (middle,) = floor[ARCH]
    half = by_name[ARCH].assembly.width_m / 2
    assert left < middle - half
    assert right > middle + half
    (row,) = [row for row in rows(places_of(made), System.FEET) if PAIR in row["name"]]
    assert ARCH in row["copies"]

    (welcome,) = [option for option in made.options if option.name == "Welcome aboard"]
    scene = arrange(shown(welcome))
    bases = sorted(part.path[0][0] for part in scene.hardware if "column base" in part.item)
    assert bases == pytest.approx([left - middle, right - middle], abs=0.01)


def test_the_desk_s_answer_carries_the_same_places() -> None:
    from airwright.decor.standing import Piece, stand

    made = plan(example_text("harbour-festival"))
    rule = [Piece.of(piece.assembly, piece.count, piece.spec) for piece in made.pieces]
    at = [piece.name for piece in made.pieces].index(PAIR)
    ours = sorted(one.x for one in stand(rule) if one.piece == at)
    tag = next(place.tag for place in places_of(made) if place.name == PAIR)
    assert np.allclose(ours, sorted(one.x for one in placed_of(made) if one.tag == tag))


TODAY = dt.date(2027, 3, 1)
DOOR = 'door = { x = "1 m", y = "4 m", facing = 0, width = "1.8 m", height = "2.2 m" }'


def at_the_door(count: int = 2, spot: str = "") -> Plan:
    text = column(count=str(count)).replace('access   = "06:30"', f'access   = "06:30"\n{DOOR}')
    assert DOOR in text
    return plan(text + spot)


def test_a_pair_stands_at_both_sides_of_the_door_everywhere() -> None:
    made = at_the_door()
    (piece,) = made.pieces
    half = 0.9 + piece.assembly.width_m / 2
    floor = sorted((one.x, one.y) for one in placed_of(made) if one.tag == "1")
    assert [y for _, y in floor] == [4.0, 4.0]
    (left, right) = (x for x, _ in floor)
    assert left + right == pytest.approx(2.0)
    assert right - 1.0 > half
    assert [(one.x, one.y) for one in placed_of(made) if not one.tag] == [(1.0, 4.0)]
    (row,) = rows(places_of(made), System.METRIC)
    assert "the door" in row["copies"]

    (option,) = made.options
    scene = arrange(shown(option))
    bases = sorted(p.path[0][:2] for p in scene.hardware if "column base" in p.item)
    assert np.allclose(bases, floor)
    assert [p.item for p in scene.hardware].count("door frame") == 3
    assert not [need for need in made.needs if "door" in need.item]

    places = answer(
        Builder(lambda: TODAY).evaluate(write_job(made.job), ""), (), price=True, cost=True
    )
    told = sorted(place[:2] for place in places.pieces[0].places)
    assert np.allclose(told, floor, atol=1e-3)
    assert places.door is not None
    assert places.door.width == 1.8


def test_an_arch_comes_before_the_door() -> None:
    arch = '\n[[pieces]]\nname = "Arch"\n' + KINDS["arch"].example.split("\n", 1)[1]
    made = at_the_door(spot=arch)
    floor = [one for one in placed_of(made) if one.tag == "1"]
    assert not floor  # beside the arch, which stands where nobody said


def test_one_alone_or_with_a_spot_of_its_own_leaves_the_door() -> None:
    for made in (at_the_door(1), at_the_door(2, '\nspot = { x = "-3 m" }')):
        assert all(one.y != 4.0 for one in placed_of(made) if one.tag == "1")
