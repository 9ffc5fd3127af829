"""Colouring: swirls, stripes, rings, zigzags and painted charts, layer by layer."""

from __future__ import annotations

import tomllib
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from airwright.decor.assembly import Assembly
from airwright.decor.colouring import deal, pattern_rule, shade_rows
from airwright.decor.kinds import BuildError
from airwright.decor.pieces import KINDS
from airwright.job.cluster import Cluster
from airwright.job.pieces import Coloured
from tests.decor.pieces.helpers import made as made_piece

QUAD = Cluster.parse("4 x 11in @ 9.5in")
FOUR = ["coral", "sand", "teal", "white"]


def rows(layers: int = 12, made: Cluster = QUAD, **keys: object) -> list[tuple[str, ...]]:
    spec = Coloured.model_validate({"name": "x", "kind": "x", "shades": FOUR, **keys})
    return shade_rows(spec, [made] * layers)


def halves(row: tuple[str, ...], layer: int, shade: str) -> int:
    """Where a shade sits, in half slots: odd layers stand half a slot further on."""
    return (2 * row.index(shade) + layer % 2) % 8


@pytest.mark.parametrize(("turn", "step"), [(1, 1), (-1, -1), (2, 3), (-2, -3)])
def test_a_swirl_moves_every_shade_the_same_way_each_layer(turn: int, step: int) -> None:
    painted = rows(turn=turn)
    for shade in FOUR:
        at = [halves(row, layer, shade) for layer, row in enumerate(painted)]
        assert {(b - a) % 8 for a, b in pairwise(at)} == {step % 8}


def test_left_and_right_swirl_are_mirror_images() -> None:
    """Half slots to the right of the front in one are half slots to the left in the other."""
    right, left = rows(turn=1), rows(turn=-1)
    for layer, (a, b) in enumerate(zip(right, left, strict=True)):
        for shade in FOUR:
            assert halves(b, layer, shade) == -halves(a, layer, shade) % 8


def assert_mirrored(right: Assembly, left: Assembly) -> None:
    """Each balloon of one has one of the same size and shade exactly where its image is."""
    far, partner = cKDTree(left.centre).query(right.centre * [-1, 1, 1])
    assert far.max() < 1e-9
    assert sorted(partner) == list(range(len(left)))
    assert [right.shades[s].name for s in right.shade] == [
        left.shades[s].name for s in left.shade[partner]
    ]
    assert np.array_equal(right.radius, left.radius[partner])
    assert np.allclose(right.axis * [-1, 1, 1], left.axis[partner], atol=1e-9)


@pytest.mark.parametrize(
    "changes",
    [
        {"pattern": "zigzag"},
        {"pattern": "stripes"},
        {"body": ["4 x 5in @ 4.5in", "2 x 11in @ 9.5in + 2 x 5in @ 4.5in"], "face": "5in"},
        {
            "fillers": {
                "cluster": "4 x 5in @ 4.5in",
                "count": 3,
                "tie": "loop",
                "shades": ["gold", "coral"],
            }
        },
    ],
)
def test_right_and_left_columns_are_exact_mirrors(changes: dict[str, object]) -> None:
    assert_mirrored(*(made_piece("column", turn=turn, **changes) for turn in (1, -1)))


SIZES = st.sampled_from(["5in @ 4.5in", "5in @ 5in", "9in @ 8in", "11in @ 9.5in", "12in @ 11in"])
PARTS = st.lists(st.tuples(st.integers(1, 4), SIZES), min_size=1, max_size=3)
CLUSTERS = PARTS.map(lambda parts: " + ".join(f"{n} x {size}" for n, size in parts)).filter(
    lambda text: 2 <= Cluster.parse(text).count <= 6
)


@settings(max_examples=12, deadline=None)
@given(
    body=st.lists(CLUSTERS, min_size=1, max_size=2),
    turn=st.integers(1, 3),
    height=st.integers(2, 4),
    shades=st.lists(st.sampled_from(FOUR), min_size=1, max_size=5),
)
def test_left_is_the_mirror_of_right_whatever_the_clusters(
    body: list[str], turn: int, height: int, shades: list[str]
) -> None:
    keys = {"body": body, "height": f"{height} ft", "shades": shades, "topper": None}
    try:
        right = made_piece("column", turn=turn, **keys)
    except (BuildError, AssertionError):
        reject()  # no such column
    assert_mirrored(right, made_piece("column", turn=-turn, **keys))


@pytest.mark.parametrize(
    "body",
    [
        ["4 x 11in @ 9.5in"],
        ["5 x 11in @ 9.5in"],
        ["2 x 11in @ 9.5in + 2 x 5in @ 4.5in", "4 x 5in @ 4.5in"],
    ],
)
def test_right_and_left_arches_are_exact_mirrors(body: list[str]) -> None:
    """As two that stand at both sides of a room: what one has at its left foot, the other has
    at its right one."""
    keys = {"body": body, "width": "7 ft", "height": "6 ft"}
    right, left = (made_piece("arch", turn=turn, **keys) for turn in (1, -1))
    assert_mirrored(right, left)
    feet = left.centre[left.cluster == 0].mean(axis=0), left.centre[left.layer == left.layers - 1]
    assert feet[0][0] < 0 < feet[1].mean(axis=0)[0]


@pytest.mark.parametrize("kind", ["column", "arch"])
@pytest.mark.parametrize(
    "keys",
    [
        {"turn": 1},
        {"turn": 0},
        {"turn": -2, "pattern": "zigzag"},
        {"pattern": "chart", "chart": [["coral", "sand", "teal", "white"]]},
    ],
)
def test_mirroring_the_keys_mirrors_the_piece(kind: str, keys: dict[str, object]) -> None:
    if kind == "arch" and "chart" in keys:
        keys = {**keys, "legs": "alike"}
    changes = {"body": ["4 x 11in @ 9.5in"], **keys}
    table = {**tomllib.loads(KINDS[kind].example), **changes}
    changed = {**changes, **KINDS[kind].mirrored(table)}
    one, other = made_piece(kind, **changes), made_piece(kind, **changed)
    if keys.get("legs") == "alike":
        assert changed == changes
        return
    assert_mirrored(one, other)


def test_stripes_stay_above_themselves() -> None:
    painted = rows(pattern="stripes")
    assert set(painted[::2]) == {painted[0]}
    assert set(painted[1::2]) == {painted[1]}


def test_rings_take_one_shade_a_layer_in_order() -> None:
    assert [row[0] for row in rows(6, pattern="rings")] == [*FOUR, "coral", "sand"]
    assert all(len(set(row)) == 1 for row in rows(6, pattern="rings"))


@pytest.mark.parametrize("zig", [1, 3])
def test_a_zigzag_turns_back(zig: int) -> None:
    painted = rows(4 * zig + 1, pattern="zigzag", zig=zig)
    at = [halves(row, layer, "coral") for layer, row in enumerate(painted)]
    steps = [(b - a + 4) % 8 - 4 for a, b in pairwise(at)]
    assert set(steps) == {-1, 1}
    turns = [k for k in range(1, len(steps)) if steps[k] != steps[k - 1]]
    assert turns == list(range(zig, len(steps), zig))


def test_a_chart_is_painted_as_it_stands_and_repeats() -> None:
    chart = [["coral", "sand"], ["teal"]]
    painted = rows(5, pattern="chart", chart=chart)
    assert painted[0] == ("coral", "sand", "coral", "sand")
    assert painted[1] == ("teal",) * 4
    assert painted[4] == painted[0]


def test_shades_by_size_are_dealt_within_their_size() -> None:
    mixed = Cluster.parse("2 x 11in @ 9.5in + 2 x 5in @ 4.5in")
    painted = rows(3, mixed, shades={"11in": ["coral", "teal"], "5in": ["white"]}, turn=1)
    assert painted[0] == ("coral", "teal", "white", "white")
    assert painted[1] == ("teal", "coral", "white", "white")


def test_deal_goes_round_within_each_size() -> None:
    cloud = Cluster.parse("2 x 17in + 4 x 11in")
    assert deal(["a", "b"], cloud) == ("a", "b", "a", "b", "a", "b")


@given(
    layers=st.integers(1, 40),
    turn=st.integers(-6, 6),
    pattern=st.sampled_from(["swirl", "stripes", "zigzag"]),
    zig=st.integers(1, 7),
)
def test_four_shades_on_quads_are_used_equally(
    layers: int, turn: int, pattern: str, zig: int
) -> None:
    painted = rows(layers, turn=turn, pattern=pattern, zig=zig)
    used = Counter(name for row in painted for name in row)
    assert used == dict.fromkeys(FOUR, layers)


@pytest.mark.parametrize(
    ("keys", "word"),
    [
        ({"turn": 1}, "right"),
        ({"turn": -1}, "left"),
        ({"turn": 2}, "3 half balloons"),
        ({"pattern": "zigzag"}, "back again"),
        ({"pattern": "rings"}, "one shade"),
        ({"pattern": "stripes"}, "straight"),
        ({"pattern": "chart", "chart": [["coral"]]}, "chart"),
        ({"shades": {"11in": ["coral"]}}, "chart"),
    ],
)
def test_the_rule_says_in_words_what_the_hands_do(keys: dict[str, object], word: str) -> None:
    spec = Coloured.model_validate({"name": "x", "kind": "x", "shades": FOUR, **keys})
    assert word in pattern_rule(spec)
