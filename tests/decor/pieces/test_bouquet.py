"""Helium bouquets: stagger, ribbons, weight, and what does not float."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.assembly import Role
from airwright.decor.parts.lift import net_lift, volume
from airwright.decor.pieces.bouquet import _rows
from airwright.job.cluster import Inflated
from tests.decor.pieces.helpers import (
    CTX,
    assert_sound,
    codes_of,
    counts,
    findings_of,
    made,
    shades,
)

FOOT = 0.3048


def group(size: str, count: int = 1, *names: str) -> dict[str, object]:
    return {"balloon": size, "count": count, "shades": list(names) or ["coral"]}


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 7, 8, 12, 20])
def test_any_number_floats_at_the_height_asked_for(count: int) -> None:
    piece = made("bouquet", height="14 ft", balloons=[group("12in @ 11in", count)])
    assert_sound(piece)
    assert len(piece) == count
    assert piece.height_m == pytest.approx(14 * FOOT, abs=0.03)
    assert set(piece.role) == {Role.FLOATER}
    assert all(stock.helium for stock in piece.stocks)


def test_counts_are_those_written() -> None:
    piece = made("bouquet")
    assert counts(piece)["18in foil round", "gold"] == 1
    assert shades(piece) == {"gold": 1, "coral": 2, "white": 2, "teal": 2}


def test_the_first_in_the_list_floats_on_top() -> None:
    piece = made("bouquet")
    top = int(piece.centre[:, 2].argmax())
    assert piece.stocks[piece.stock[top]].size == "18in foil round"


def test_rows_are_staggered_by_most_of_a_balloon() -> None:
    piece = made("bouquet", balloons=[group("12in @ 11in", 7)])
    heights = np.sort(piece.centre[:, 2])[::-1]
    rows = [heights[:1], heights[1:4], heights[4:]]
    assert all(np.ptp(row) < 0.02 for row in rows)
    steps = np.diff([row.mean() for row in rows])
    assert -steps == pytest.approx([0.85 * 11 * 0.0254] * 2, abs=0.03)


def test_the_stagger_can_be_set() -> None:
    piece = made("bouquet", balloons=[group("12in @ 11in", 4)], stagger="14 in")
    heights = np.sort(piece.centre[:, 2])[::-1]
    assert heights[0] - heights[1:].mean() == pytest.approx(14 * 0.0254, abs=0.02)


def test_ribbons_run_from_each_neck_to_the_one_weight() -> None:
    piece = made("bouquet")
    (weight,) = piece.hardware
    assert len(piece.strands) == len(piece)
    for at, strand in enumerate(piece.strands):
        neck, end = np.array(strand.path[0]), np.array(strand.path[-1])
        assert end == pytest.approx([0, 0, weight.height_m])
        below = np.linalg.norm(neck - piece.centre[at]) / piece.radius[at]
        assert 1.0 < below < 1.7  # at a knot or on a foil's tail, never inside
        straight = float(np.linalg.norm(neck - end))
        assert straight <= strand.length_m < 1.01 * straight
        assert strand.item in CTX.catalog.hardware


def test_the_weight_is_factor_times_the_lift() -> None:
    piece = made("bouquet", balloons=[group("12in @ 11in", 20)], factor=3, height="20 ft")
    (weight,) = piece.hardware
    one = net_lift(
        piece.stocks[0],
        CTX.catalog.balloon("12in").mass_g,
        CTX.pressure(Inflated.parse("12in @ 11in")),
    )
    each = CTX.catalog.item(weight.item).mass_kg
    assert weight.quantity * each >= 3 * 20 * one
    assert (weight.quantity - 1) * each < 3 * 20 * one


def test_lift_grows_with_the_cube_of_the_size() -> None:
    small = CTX.stock(Inflated.parse("12in @ 5.5in"))
    large = CTX.stock(Inflated.parse("24in @ 11in"))  # as tight, twice as wide
    assert volume(large) / volume(small) == pytest.approx(8, rel=1e-6)


@pytest.mark.common_practice
def test_an_11_inch_balloon_lifts_about_ten_grams() -> None:
    """Common practice, no source: a full 11 in latex balloon lifts 10 to 14 g."""
    full = CTX.stock(Inflated.parse("11in @ 11in"))
    assert 0.009 < net_lift(full, 2.8, 1500.0) < 0.014


@pytest.mark.parametrize(
    ("count", "rows"),
    [(1, [1]), (2, [1, 1]), (4, [1, 3]), (5, [1, 2, 2]), (7, [1, 3, 3]), (9, [1, 2, 3, 3])],
)
def test_rows_are_even_and_fuller_below(count: int, rows: list[int]) -> None:
    assert np.bincount(_rows(count)).tolist() == rows


def test_reordering_shades_moves_no_balloon() -> None:
    one = made("bouquet", balloons=[group("12in @ 11in", 6, "coral", "teal")])
    two = made("bouquet", balloons=[group("12in @ 11in", 6, "teal", "coral")])
    assert shades(one) == shades(two)
    assert np.allclose(one.centre, two.centre)


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"balloons": [group("5in")]}, {"does-not-float"}),
        ({"balloons": [group("260")]}, {"does-not-float"}),
        ({"balloons": [group("6in link")]}, {"does-not-float"}),
        ({"balloons": [group("10in")]}, {"unknown-size"}),
        ({"balloons": [group("12in @ 13in")]}, {"over-inflated"}),
        ({"balloons": [group("12in", 1, "corall")]}, {"unknown-shade"}),
        ({"ribbon": "corall"}, {"unknown-shade"}),
        ({"height": "3 ft"}, {"too-low"}),
        ({"height": "40 ft", "balloons": [group("18in foil round")]}, {"does-not-float"}),
    ],
)
def test_what_cannot_float_is_found(changes: dict[str, object], codes: set[str]) -> None:
    assert codes_of("bouquet", **changes) == codes


def test_hints_do_not_stop_the_work() -> None:
    many = findings_of("bouquet", height="30 ft", balloons=[group("12in @ 11in", 31)])
    assert [f.code for f in many] == ["crowded"]
    burst = findings_of("bouquet", balloons=[group("26in foil starburst")])
    assert [f.code for f in burst] == ["not-for-helium"]
