"""The trade's notation for clusters and balloons."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.job import Cluster, Inflated, NotationError


def test_mixed_cluster_is_read_in_slot_order() -> None:
    made = Cluster.parse("2 x 11in @ 9.5in + 2 x 5in @ 4.5in")
    assert [balloon.size for balloon in made.slots] == ["11in", "11in", "5in", "5in"]
    assert made.slots[0].diameter_m == pytest.approx(0.2413)
    assert made.name == "mixed quad"
    assert str(made) == "2 x 11in @ 9.5in + 2 x 5in @ 4.5in"


@pytest.mark.parametrize("text", ["4x11in@9.5in", "4 × 11 in @ 9.5 in", "4 X 11in"[0:2] + "x 11IN"])
def test_spellings(text: str) -> None:
    assert Cluster.parse(text).slots[0].size == "11in"


@given(
    st.lists(
        st.tuples(st.integers(1, 3), st.sampled_from([5, 11, 17, 24]), st.integers(20, 500)),
        min_size=1,
        max_size=4,
    )
)
def test_notation_round_trips(parts: list[tuple[int, int, int]]) -> None:
    text = " + ".join(f"{n} x {size}in @ {tenths / 10}in" for n, size, tenths in parts)
    made = Cluster.parse(text)
    assert Cluster.parse(str(made)) == made


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_with_a_cure(text: str) -> None:
    refusals: list[NotationError] = []
    for kind in (Cluster, Inflated):
        try:
            kind.parse(text)
        except NotationError as problem:
            refusals.append(problem)
    assert all(problem.what and problem.mend for problem in refusals)
