"""How sure a count of layers is, before and after a studio has measured its own stack."""

from __future__ import annotations

import json

import pytest

from airwright.job.studio import Measured, Studio
from airwright.plan.export import dumps
from airwright.units import INCH_M
from tests.plan.samples import column, plan

QUADS = "4 x 11in @ 9.5in"


def measured(clusters: int, inches: float, cluster: str = QUADS) -> Studio:
    return Studio(measured=(Measured(cluster=cluster, clusters=clusters, height=inches * INCH_M),))


@pytest.mark.common_practice
def test_unmeasured_quads_lie_in_the_trade_s_band() -> None:
    """Common practice, no source: 7.5 in pressed hard, 8 in usual, up to 9.75 in left loose."""
    made = plan(column()).pieces[0].assembly
    low, high = (end / INCH_M for end in made.pitch_range_m)
    assert low == pytest.approx(7.5, abs=0.1)
    assert made.pitch_m / INCH_M == pytest.approx(8.0, abs=0.1)
    assert 9.0 < high < 9.75
    assert made.layers == 9
    assert made.layers_range == (8, 10)


def test_a_measured_stack_narrows_the_range() -> None:
    wide = plan(column()).pieces[0].assembly
    length = 9.5 + 9 * 8.0
    narrow = plan(column(), measured(10, length)).pieces[0].assembly
    assert narrow.pitch_m == pytest.approx(8.0 * INCH_M, rel=0.01)
    assert narrow.layers_range == (9, 9)
    spread = [high / low - 1 for low, high in (narrow.pitch_range_m, wide.pitch_range_m)]
    assert spread[0] < 0.05 < 0.2 < spread[1]
    other = plan(column(), measured(10, 12 + 9 * 10.2, "4 x 17in @ 12in")).pieces[0].assembly
    assert spread[0] < other.pitch_range_m[1] / other.pitch_range_m[0] - 1 < spread[1]


def test_a_loose_pole_is_no_impossible_measurement() -> None:
    """Common practice: eight quads at 10 in make 6.5 ft, 9.75 in a quad."""
    studio = measured(8, 78, "4 x 11in @ 10in")
    made = plan(column(body='["4 x 11in @ 10in"]', height='"6.5 ft"'), studio)
    piece = made.pieces[0].assembly
    assert "measurement-unfit" not in {f.code for f in made.findings}
    assert piece.layers == 8
    assert piece.pitch_m == pytest.approx(68 / 7 * INCH_M, rel=0.01)


def test_one_finding_asks_to_measure_until_it_was_done() -> None:
    text = column(count="3")
    codes = [f.code for f in plan(text).findings]
    assert codes.count("not-calibrated") == 1
    assert "not-calibrated" not in {f.code for f in plan(text, measured(10, 81.5)).findings}


def test_the_shopping_covers_the_upper_end_and_the_price_does_not() -> None:
    made = plan(column(count="2"))
    piece = made.pieces[0]
    written = json.loads(dumps(made))
    one = written["pieces"][0]
    assert one["layers_range"] == list(piece.assembly.layers_range)
    extra = one["layers_range"][1] - one["layers"]
    needs = [need for need in written["needs"] if need["size_in"] == 11.0]
    assert sum(need["reserve"] for need in needs) == extra * 4 * 2
    for need in needs:
        assert need["used"] == sum(
            line["count"] * 2 for line in one["balloons"] if line["shade"] == need["shade"]
        )
        assert need["spare"] >= need["reserve"]
        assert need["total"] == need["used"] + need["spare"]
        assert sum(pack["count"] * pack["bags"] for pack in need["packs"]) >= need["total"]


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("body", "a_foot"),
    [("4 x 5in @ 4.5in", 12), ("4 x 11in @ 9.5in", 6), ("4 x 17in @ 15in", 4)],
)
def test_arches_take_the_usual_number_of_balloons_a_foot(body: str, a_foot: float) -> None:
    """Common practice, no source: 5 in 12, 11 in 6, 16 in 4 a foot; 20 % with tightness."""
    made = plan(column(body=f'["{body}"]')).pieces[0].assembly
    low, high = (4 / (end / 0.3048) for end in reversed(made.pitch_range_m))
    assert low <= 1.02 * a_foot
    assert high >= 0.98 * a_foot
