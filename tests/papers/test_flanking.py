"""A pair beside an arch stands on both sides in proposal, floor plan, load list and 3D alike."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.job.examples import example_text
from airwright.papers.common.pictures import shown
from airwright.papers.load_list.floor import placed_of, places_of
from airwright.pictures.drawing import arrange
from airwright.units import System
from tests.plan.samples import plan

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
    from airwright.papers.load_list.floor import rows

    (row,) = [row for row in rows(places_of(made), System.FEET) if PAIR in row["name"]]
    assert ARCH in row["copies"]

    (welcome,) = [option for option in made.options if option.name == "Welcome aboard"]
    scene = arrange(shown(welcome.pieces))
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
