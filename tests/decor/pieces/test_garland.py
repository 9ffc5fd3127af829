"""Organic garlands: counts from geometry, reproducible, dense, well spread."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.assembly import Assembly, Role
from airwright.decor.contacts import touching_pairs
from airwright.decor.parts.organic import counts_for, share_out
from airwright.decor.pieces import KINDS
from airwright.language import say, speaking
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
POLY = [
    {"x": "-6 ft", "z": "3 ft"},
    {"x": "0 ft", "z": "8 ft"},
    {"x": "6 ft", "y": "3 ft", "z": "5 ft"},
]
PATHS = {
    "straight": {"path": "straight"},
    "swag": {},
    "three swags": {"width": "24 ft", "swags": 3},
    "hoop": {"path": "half-hoop", "width": "6 ft 6 in"},
    "right hoop": {"path": "half-hoop", "width": "6 ft 6 in", "side": "right"},
    "stairs": {"path": "staircase", "steps": 14, "width": None, "height": "34 in"},
    "polyline": {"path": "polyline", "points": POLY, "width": None},
    "floor": {"path": "straight", "on": "floor"},
}


def line_length(piece: Assembly) -> float:
    return sum(row.quantity for row in piece.operations if row.operation == "hang garland")


@pytest.mark.parametrize("name", PATHS)
def test_every_path_is_filled_and_settles(name: str) -> None:
    piece = made("garland", **PATHS[name])
    assert_sound(piece)
    assert 20 < len(piece) / line_length(piece) < 35


@pytest.mark.parametrize("seed", [0, 1, 2, 3, 4, 77])
def test_every_seed_settles_without_deep_overlaps(seed: int) -> None:
    assert_sound(made("garland", seed=seed))


def test_the_same_seed_gives_the_same_garland() -> None:
    one, again = made("garland", seed=5), made("garland", seed=5)
    assert np.array_equal(one.centre, again.centre)
    assert np.array_equal(one.shade, again.shade)
    assert one.clusters == again.clusters


def test_another_seed_moves_balloons_but_changes_no_count() -> None:
    one, other = made("garland", seed=1), made("garland", seed=2)
    assert counts(one) == counts(other)
    assert not np.allclose(one.centre, other.centre)


def test_counts_follow_the_shares_of_sizes_and_shades() -> None:
    piece = made("garland", width="40 ft", swags=4)
    total = len(piece)
    for size, share in (("17in", 1), ("11in", 5), ("5in", 5)):
        assert sizes(piece)[size] == pytest.approx(total * share / 11, abs=1)
    for shade, share in (("coral", 3), ("sand", 3), ("white", 2), ("teal", 1)):
        assert shades(piece)[shade] == pytest.approx(total * share / 9, abs=3)


def test_twice_as_long_takes_twice_as_many() -> None:
    one, two = (made("garland", path="straight", width=w) for w in ("10 ft", "20 ft"))
    assert len(two) == pytest.approx(2 * len(one), abs=1)
    assert line_length(two) == pytest.approx(20 * FOOT)


def test_denser_takes_more_and_looser_less() -> None:
    loose, usual, dense = (len(made("garland", density=d)) for d in (0.7, 1.0, 1.3))
    assert loose < usual < dense
    assert dense / usual == pytest.approx(1.3, abs=0.03)


@pytest.mark.parametrize("density", [0.6, 1.3])
def test_loosest_and_densest_still_settle(density: float) -> None:
    assert_sound(made("garland", density=density))


def test_reordering_the_mix_changes_no_count() -> None:
    mix = [
        {"balloon": "5in @ 4.5in", "share": 5},
        {"balloon": "17in @ 15in", "share": 1},
        {"balloon": "11in @ 10in", "share": 5},
    ]
    assert sizes(made("garland", mix=mix)) == sizes(made("garland"))


def test_left_and_right_hoop_take_the_same() -> None:
    left, right = made("garland", **PATHS["hoop"]), made("garland", **PATHS["right hoop"])
    assert counts(left) == counts(right)
    assert left.centre[:, 0].mean() < -0.3
    assert right.centre[:, 0].mean() > 0.3


def test_large_ones_are_spread_over_the_whole_length() -> None:
    piece = made("garland", path="straight", width="20 ft")
    large = np.sort(piece.centre[[piece.stocks[s].size == "17in" for s in piece.stock], 0])
    gaps = np.diff(large)
    assert gaps.max() < 2.5 * 20 * FOOT / (len(large) / 2)
    assert large[0] < -2.0
    assert large[-1] > 2.0


def test_accents_sit_on_the_outside_between_others() -> None:
    piece = made("garland", path="straight")
    accent = piece.role == Role.ACCENT
    off = np.hypot(piece.centre[:, 1], piece.centre[:, 2] - 7 * FOOT)
    assert set(np.unique(piece.radius[accent] * 2 / 0.0254).round(2)) == {4.5}
    assert off[accent].mean() > 0.15
    gaps = np.linalg.norm(piece.centre[accent][:, None] - piece.centre[~accent][None], axis=2)
    touching = (gaps < 1.05 * (piece.radius[accent][:, None] + piece.radius[~accent][None])).sum(1)
    assert (touching >= 2).mean() > 0.6  # most are tucked between two or more


def test_like_shades_do_not_clump() -> None:
    """Neighbours share a shade less often than chance would have it."""
    piece = made("garland", width="20 ft", swags=2)
    apart = np.linalg.norm(piece.centre[:, None] - piece.centre[None], axis=2)
    near = np.triu(apart < 1.1 * (piece.radius[:, None] + piece.radius[None]), 1)
    a, b = np.nonzero(near)
    share = np.bincount(piece.shade) / len(piece)
    assert (piece.shade[a] == piece.shade[b]).mean() < 0.75 * (share**2).sum()


def test_shades_of_a_size_override_those_of_the_piece() -> None:
    mix = [
        {"balloon": "11in @ 10in", "share": 3},
        {"balloon": "5in @ 4.5in", "share": 2, "shades": ["gold"]},
    ]
    piece = made("garland", mix=mix, shades=["coral", "sand"])
    assert {shade for size, shade in counts(piece) if size == "5in"} == {"gold"}
    assert {shade for size, shade in counts(piece) if size == "11in"} == {"coral", "sand"}


def test_a_mix_of_accents_only_sits_on_the_line_itself() -> None:
    piece = made("garland", mix=[{"balloon": "5in @ 4.5in"}], shades=["white"])
    assert_sound(piece)
    assert set(piece.role) == {Role.BODY}


def test_accents_that_find_no_gap_are_tied_on_the_line() -> None:
    mix = [{"balloon": "11in @ 10in", "share": 1}, {"balloon": "5in @ 4.5in", "share": 10}]
    piece = made("garland", path="straight", mix=mix, shades=["white"])
    assert_sound(piece)
    assert (piece.role == Role.ACCENT).sum() <= 2 * sizes(piece)["11in"] + 1
    assert sizes(piece)["5in"] == pytest.approx(10 * sizes(piece)["11in"], abs=10)


def test_jumbos_are_tied_on_one_by_one() -> None:
    mix = [
        {"balloon": "24in @ 22in", "share": 1},
        {"balloon": "11in @ 10in", "share": 12},
        {"balloon": "5in @ 4.5in", "share": 8},
    ]
    piece = made("garland", path="straight", width="16 ft", mix=mix)
    assert_sound(piece)
    assert max(cluster.sizes.count("24in") for cluster in piece.clusters) == 1


def test_hooks_are_no_further_apart_than_an_arms_length() -> None:
    piece = made("garland", width="20 ft")
    hooks = [h for h in piece.hardware if h.use == "anchor"]
    assert line_length(piece) / (len(hooks) - 1) <= 0.9
    (string,) = piece.strands
    assert string.item in CTX.catalog.hardware
    assert string.length_m == pytest.approx(line_length(piece), rel=1e-3)


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"width": None}, {"missing"}),
        ({"path": "staircase"}, {"missing"}),
        ({"path": "polyline"}, {"missing"}),
        ({"path": "polyline", "points": [POLY[0], POLY[0]]}, {"no-such-path"}),
        ({"mix": [{"balloon": "11in", "share": 0}]}, {"empty-mix"}),
        ({"mix": [{"balloon": "10in"}]}, {"unknown-size"}),
        ({"mix": [{"balloon": "18in foil round"}]}, {"cannot-be-tied"}),
        ({"mix": [{"balloon": "260"}]}, {"cannot-be-tied"}),
        ({"mix": [{"balloon": "11in @ 12in"}]}, {"over-inflated"}),
        ({"shades": ["corall"]}, {"unknown-shade"}),
        ({"shades": {"coral": 0}}, {"missing"}),
        ({"shades": []}, {"missing"}),
        ({"width": "2 ft", "path": "straight"}, {"too-short"}),
        ({"height": "1 ft"}, {"below-floor"}),
        ({"on": "floor"}, {"not-on-floor"}),
        (
            {"path": "polyline", "points": [POLY[0], POLY[1], {"x": "-6 ft", "z": "3 ft 2 in"}]},
            {"path-too-close"},
        ),
        ({"sag": "30 ft", "width": "2 ft", "height": "60 ft"}, set()),
    ],
)
def test_what_cannot_be_built_is_found(changes: dict[str, object], codes: set[str]) -> None:
    assert codes_of("garland", **changes) == codes


def test_rubbing_on_the_floor_is_a_caution() -> None:
    found = findings_of("garland", height="22 in")
    assert [f.code for f in found] == ["rubs-on-floor"]


def test_the_estimate_is_the_count() -> None:
    for changes in PATHS.values():
        estimate = KINDS["garland"].estimate(spec_of("garland", **changes), CTX)
        assert estimate == len(made("garland", **changes))


def test_shares_are_dealt_to_whole_balloons() -> None:
    assert share_out(10, [1, 1, 1]) == [4, 3, 3]
    assert share_out(0, [1, 2]) == [0, 0]
    assert share_out(7, [0, 1]) == [0, 7]
    assert sum(counts_for(3.0, [0.38, 0.25, 0.11], [1, 5, 5], 1.0)) > 0


def small_clusters(piece: Assembly) -> dict[int, np.ndarray]:
    """Rows of each small cluster tucked in."""
    accents = np.flatnonzero(piece.role == Role.ACCENT)
    return {int(c): accents[piece.cluster[accents] == c] for c in set(piece.cluster[accents])}


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_accents_come_in_threes_and_fours_that_hold(seed: int) -> None:
    """Common practice: 5 in ones are tied in threes and fours and tucked into gaps."""
    piece = made("garland", path="straight", seed=seed)
    pairs = touching_pairs(piece.centre, piece.radius)
    held = []
    for rows in small_clusters(piece).values():
        assert len(rows) in (3, 4)
        inside = np.isin(pairs, rows)
        assert (inside.sum(axis=1) == 2).sum() >= len(rows) - 1  # they hold together
        held.append(len(set(pairs[inside.sum(axis=1) == 1][~inside[inside.sum(axis=1) == 1]])))
    assert min(held) >= 1
    assert np.mean(np.array(held) >= 2) > 0.8  # gaps hold them; at the ends one balloon may do


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_both_ends_are_dressed(seed: int) -> None:
    piece = made("garland", path="straight", width="10 ft", seed=seed)
    middles = [piece.centre[rows, 0].mean() for rows in small_clusters(piece).values()]
    assert min(middles) < -5 * FOOT + 0.05
    assert max(middles) > 5 * FOOT - 0.05


@pytest.mark.common_practice
@pytest.mark.parametrize("fullness", [6, 8, 10])
def test_fullness_is_balloons_a_foot(fullness: float) -> None:
    """Common practice, no source: 6 to 10 balloons a foot of organic garland."""
    piece = made("garland", path="straight", width="10 ft", fullness=fullness)
    assert len(piece) == pytest.approx(10 * fullness, abs=1)
    assert_sound(piece)


def test_a_full_garland_is_two_balloons_deep() -> None:
    piece = made("garland", path="straight", width="10 ft", fullness=10)
    across = np.ptp(
        np.concatenate([piece.centre[:, 1] - piece.radius, piece.centre[:, 1] + piece.radius])
    )
    assert across > 2 * 10 * 0.0254


@pytest.mark.parametrize("kind", ["garland", "drop", "letters"])
def test_a_size_that_does_not_fit_is_told_in_the_reader_s_language(kind: str) -> None:
    (found,) = findings_of(kind, mix=[{"balloon": "260"}])
    with speaking("de"):
        said = say(found.what)
    assert "260" in said
    assert said != found.what
