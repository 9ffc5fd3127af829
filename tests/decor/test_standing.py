"""Where copies stand: one rule, whatever shows it."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.decor.standing import BESIDE_M, Piece, covered, flanked_name, stand, too_close
from airwright.job.pieces import Copies, Spot
from tests.plan.samples import column, plan

COLUMN = (-0.3, -0.3, 0.3, 0.3)
GATE = (-1.5, -0.3, 1.5, 0.3)


def arch(**changes: object) -> Piece:
    return Piece("Arch", GATE, walked_through=True, **changes)  # type: ignore[arg-type]


def test_two_copies_flank_what_people_walk_through() -> None:
    pieces = [Piece("Pair", COLUMN, 2), arch(spot=Spot(x=2.0, y=5.0))]
    left, right, gate = stand(pieces)
    assert (gate.x, gate.y) == (2.0, 5.0)
    assert left.x < gate.x - 1.5 - 0.3
    assert right.x > gate.x + 1.5 + 0.3
    assert right.x - gate.x == pytest.approx(gate.x - left.x)
    assert left.settled
    assert right.settled  # so the floor plan shows them
    assert flanked_name(0, pieces) == "Arch"


def test_they_turn_with_it() -> None:
    turned = stand([Piece("Pair", COLUMN, 2), arch(spot=Spot(x=0.0, y=4.0, facing=90.0))])
    left, right, _ = turned
    assert left.x == pytest.approx(0.0, abs=1e-9)
    assert left.y < 4.0 - 1.5 < 4.0 + 1.5 < right.y
    assert left.turn_rad == pytest.approx(math.pi / 2)


def test_without_a_spot_they_flank_it_in_the_row() -> None:
    left, right, gate = stand([Piece("Pair", COLUMN, 2), arch()])
    assert left.x < gate.x < right.x
    assert not gate.settled


@pytest.mark.parametrize(
    "piece",
    [
        Piece("One", COLUMN, 1),
        Piece("Three", COLUMN, 3),
        Piece("Placed", COLUMN, 2, Spot(x=9.0)),
        Piece("Row", COLUMN, 2, copies=Copies()),
    ],
)
def test_nothing_else_flanks_by_itself(piece: Piece) -> None:
    assert flanked_name(0, [piece, arch()]) is None


def test_either_side_of_a_named_piece_in_turn_outwards() -> None:
    copies = Copies(stand="either side", of="Table", apart=0.5)
    pieces = [Piece("Four", COLUMN, 4, copies=copies), Piece("Table", GATE, spot=Spot())]
    a, b, c, d, _ = stand(pieces)
    assert [a.x, b.x] == pytest.approx([-2.3, 2.3])
    assert [c.x, d.x] == pytest.approx([-3.4, 3.4])


def test_a_row_with_its_distance() -> None:
    copies = Copies(stand="in a row", apart=2.0)
    row = stand([Piece("Row", COLUMN, 3, Spot(x=1.0, y=2.0), copies)])
    assert [one.x for one in row] == pytest.approx([-1.0, 1.0, 3.0])
    assert {one.y for one in row} == {2.0}


def test_a_circle_faces_outwards() -> None:
    copies = Copies(stand="in a circle", across=6.0)
    circle = stand([Piece("Circle", COLUMN, 8, Spot(), copies)])
    for one in circle:
        assert math.hypot(one.x, one.y) == pytest.approx(3.0)
        front = (math.sin(one.turn_rad), -math.cos(one.turn_rad))
        assert front[0] * one.x + front[1] * one.y == pytest.approx(3.0)


def test_along_a_wall_backs_touch_it_and_fill_it() -> None:
    copies = Copies(stand="along a wall", across=10.0)
    pieces = [Piece("Wall", COLUMN, 5, Spot(y=6.0), copies)]
    left, _, right, back = covered(pieces, stand(pieces))
    assert back == pytest.approx(6.0)
    assert right - left == pytest.approx(10.0)


@st.composite
def scenes(draw):
    pieces = []
    for at in range(draw(st.integers(1, 5))):
        half = draw(st.floats(0.1, 2.0))
        count = draw(st.integers(1, 5))
        through = draw(st.booleans()) and count == 1
        pieces.append(Piece(f"P{at}", (-half, -0.4, half, 0.4), count, walked_through=through))
    return pieces


@given(scenes())
def test_every_copy_stands_once_and_none_in_another(pieces: list[Piece]) -> None:
    stood = stand(pieces)
    for at, piece in enumerate(pieces):
        assert sum(one.piece == at for one in stood) == piece.count
    boxes = sorted(covered(pieces, [one]) for one in stood)
    for one, other in pairwise(boxes):
        assert other[0] - one[2] >= BESIDE_M - 1e-9


@pytest.mark.parametrize(
    ("copies", "code"),
    [
        ('{ stand = "either side", of = "Column" }', "copies-of-itself"),
        ('{ stand = "either side", of = "Colum" }', "unknown-piece"),
        ('{ stand = "in a row", of = "Column" }', "copies-of-unused"),
    ],
)
def test_copies_beside_nothing_are_found(copies: str, code: str) -> None:
    from airwright.decor.pieces import SPECS
    from airwright.job import read_job

    found = read_job(column(copies=copies, count="2"), SPECS).findings
    (one,) = [f for f in found if f.code == code]
    assert one.place == "pieces[0].copies.of"


@pytest.mark.parametrize(
    ("copies", "told"),
    [
        ('{ apart = "10 in" }', True),
        ('{ apart = "3 ft" }', False),
        ('{ stand = "in a circle", across = "2 ft" }', True),
        ('{ stand = "in a circle" }', False),
        ('{ stand = "along a wall", across = "4 ft" }', True),
    ],
)
def test_copies_that_stand_into_each_other_are_told(copies: str, told: bool) -> None:
    made = plan(column(copies=copies, count="6"))
    assert ("copies-too-close" in {f.code for f in made.findings}) is told


def test_pieces_without_copies_are_never_too_close() -> None:
    assert too_close([Piece("A", COLUMN, 4)], ["pieces[0]"]) == []
