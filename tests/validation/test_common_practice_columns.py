"""What decorators know from doing it: common practice, no published source."""

import pytest

from tests.plan.samples import column, plan


@pytest.mark.common_practice
@pytest.mark.parametrize("inflated", ["9in", "9.25in", "9.5in"])
def test_six_foot_column_takes_nine_to_thirteen_quads(compare, inflated: str) -> None:
    made = plan(column(body=f'["4 x 11in @ {inflated}"]')).pieces[0]
    compare(
        made.assembly.layers,
        11,
        atol=2,
        source="common practice, no source",
        what=f"quads in a 6 ft column at {inflated}",
        unit="quads",
    )


@pytest.mark.common_practice
def test_four_shade_swirl_uses_each_shade_equally(compare) -> None:
    counts = [line.count for line in plan(column()).pieces[0].balloons]
    compare(
        max(counts) - min(counts),
        0,
        source="common practice, no source",
        what="difference between the four shades of a swirl column",
        unit="balloons",
    )
