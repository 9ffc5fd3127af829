"""Balloon drops: number and net follow from each other; the heap lies loosely in its net."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.parts.heap import LOOSE, capsule_volume, pour
from airwright.decor.pieces.drop import net_size
from tests.decor.pieces.helpers import (
    CTX,
    assert_sound,
    codes_of,
    counts,
    findings_of,
    made,
    shades,
    sizes,
    spec_of,
)

FOOT = 0.3048


def test_a_net_is_filled_and_hangs_below_its_height() -> None:
    piece = made("drop")
    assert_sound(piece)
    assert piece.height_m == pytest.approx(14 * FOOT, abs=0.05)
    assert (piece.centre[:, 2] - piece.radius).min() > 3.2


@pytest.mark.common_practice
def test_the_heap_fills_its_room_as_loosely_as_poured_spheres_do() -> None:
    """Random loose packing of spheres: 0.55 to 0.56 of the room (remembered)."""
    piece = made("drop", mix=[{"balloon": "11in @ 10in"}])
    room = capsule_volume(12 * FOOT, 30 * 0.0254)
    filled = (4 / 3 * np.pi * piece.radius**3).sum() / room
    assert 0.54 < filled < 0.56
    assert 0.55 <= LOOSE <= 0.56


def test_number_and_length_follow_from_each_other() -> None:
    by_length = spec_of("drop")
    count, length = net_size(by_length, CTX)
    by_number = spec_of("drop", length=None, balloons=count)
    again, back = net_size(by_number, CTX)
    assert again == count
    assert back == pytest.approx(length, rel=0.01)


def test_a_ball_shaped_net() -> None:
    across = 1.0
    assert capsule_volume(across, across) == pytest.approx(np.pi / 6)
    assert capsule_volume(3.0, across) == pytest.approx(np.pi / 6 + 2 * np.pi / 4)


def test_counts_follow_the_shares() -> None:
    piece = made("drop", length=None, balloons=400)
    assert sizes(piece) == {"9in": 300, "11in": 100}
    assert shades(piece)["white"] == 200
    assert len(piece) == 400


def test_the_seed_moves_balloons_but_changes_no_count() -> None:
    one, other = made("drop", seed=1), made("drop", seed=2)
    assert counts(one) == counts(other)
    assert not np.allclose(one.centre, other.centre)
    assert np.array_equal(one.centre, made("drop", seed=1).centre)


def test_all_balloons_lie_inside_the_bulging_net() -> None:
    centre, doubt = pour(np.full(300, 0.1), 4.0, 0.9, 3)
    assert doubt.converged
    spine = np.clip(centre[:, 0], -1.55, 1.55)
    out = np.linalg.norm(centre - np.column_stack([spine, spine * 0, spine * 0]), axis=1)
    assert (out + 0.1).max() <= 0.45 * 1.03 + 1e-9


def test_the_net_is_bought_by_the_metre() -> None:
    piece = made("drop")
    (net,) = [part for part in piece.hardware if part.use == "net"]
    assert net.quantity == pytest.approx(12 * FOOT)
    assert all(s.item is None or s.item in CTX.catalog.hardware for s in piece.strands)


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"length": None}, {"missing"}),
        ({"across": "18 in"}, {"net-too-thin"}),
        ({"across": "8 ft", "length": "6 ft", "height": "20 ft"}, {"net-too-short"}),
        ({"balloons": 400}, {"net-too-small"}),
        ({"height": "9 ft"}, {"too-low"}),
        ({"mix": [{"balloon": "9in", "share": 0}]}, {"empty-mix"}),
        ({"mix": [{"balloon": "260"}]}, {"cannot-drop"}),
        ({"shades": {"coral": 0}}, {"missing"}),
        ({"shades": ["corall"]}, {"unknown-shade"}),
        ({"length": None, "balloons": 90_000}, {"too-many-balloons"}),
        ({"length": "300 ft", "across": "8 ft", "height": "40 ft"}, set()),
    ],
)
def test_what_cannot_be_built_is_found(changes: dict[str, object], codes: set[str]) -> None:
    assert codes_of("drop", **changes) == codes


def test_a_slack_net_is_hinted_at() -> None:
    assert [f.code for f in findings_of("drop", balloons=60)] == ["net-slack"]
