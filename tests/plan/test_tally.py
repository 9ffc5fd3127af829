"""Counts of what hands tie and of what holds it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.catalog import default_catalog
from airwright.job.examples import example_text
from airwright.plan.tally import Ring, same_cluster
from tests.plan.samples import plan

BALLOONS = st.sampled_from(
    [(size, shade) for size in ("11in", "5in") for shade in ("coral", "sand", "teal")]
)
RINGS = st.lists(BALLOONS, min_size=1, max_size=6).map(tuple)


@settings(deadline=None)
@given(ring=RINGS, at=st.integers(0, 5))
def test_one_size_turned_or_turned_over_is_the_same_cluster(ring: Ring, at: int) -> None:
    one = tuple(("11in", shade) for _, shade in ring)
    turned = one[at % len(one) :] + one[: at % len(one)]
    assert same_cluster(turned) == same_cluster(one)
    assert same_cluster(one[::-1]) == same_cluster(one)
    assert same_cluster(same_cluster(ring)) == same_cluster(ring)
    assert sorted(same_cluster(ring)) == sorted(ring)


@pytest.mark.common_practice
def test_order_counts_as_far_as_hands_can_tell() -> None:
    """Four round a pole can be tied in three orders, three balloons in only one."""
    quads = [("a", "b", "c", "d"), ("a", "b", "d", "c"), ("a", "c", "b", "d")]
    assert len({same_cluster(tuple(("11in", s) for s in quad)) for quad in quads}) == 3
    triplets = [("a", "b", "c"), ("b", "a", "c"), ("c", "b", "a")]
    assert len({same_cluster(tuple(("11in", s) for s in three)) for three in triplets}) == 1


def test_mirrored_mixed_quads_are_one_kind() -> None:
    pebble = plan().piece("Pebble column")
    mixed = [line for line in pebble.clusters if "+" in line.recipe]
    assert len(mixed) == 1
    rings = [c for c in pebble.assembly.clusters if "+" in c.recipe]
    assert len({ring.shades for ring in rings}) > 1  # both ways round stand in the column
    assert mixed[0].count == len(rings)


def test_lines_and_ribbons_are_booked_as_what_they_are() -> None:
    catalog = default_catalog()
    made = plan(example_text("harbour-festival"))
    seen = {}
    for piece in made.pieces:
        for line in piece.hardware:
            if any(strand.item == line.item for strand in piece.assembly.strands):
                assert line.use == catalog.item(line.item).use
                seen[line.item] = line.use
    assert seen["garland line"] == "line"
    assert seen["curling ribbon"] == "ribbon"
