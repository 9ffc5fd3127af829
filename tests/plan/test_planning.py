"""The plan of a job: counts, money and findings agree with each other."""

import json
from decimal import Decimal

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.decor.pieces import SPECS
from airwright.job import Studio, read_job
from airwright.job.studio import Measured
from airwright.money.amount import cent, shared
from airwright.plan.export import dumps, schema
from airwright.plan.planning import JobHasErrors, make_plan
from tests.plan.samples import column, job, plan


def test_plan_json_holds_to_its_schema() -> None:
    whole = json.loads(dumps(plan()))
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(whole, schema())
    assert whole["format"] == "airwright-plan/1"
    for key in ("format", "pieces", "needs", "options", "money", "findings"):
        assert key in whole


def test_the_same_job_gives_the_same_plan() -> None:
    assert dumps(plan()) == dumps(plan())


def test_counts_agree_everywhere() -> None:
    made = plan()
    for piece in made.pieces:
        assert sum(line.count for line in piece.balloons) == len(piece.assembly)
        in_clusters = sum(len(line.sizes) * line.count for line in piece.clusters)
        assert in_clusters == int((piece.assembly.cluster >= 0).sum())
    used = sum(
        need.used
        for need in made.needs
        if need.kind == "balloon" and need.size_in not in (2.0, 1.0)
    )
    assert used == sum(len(piece.assembly) * piece.count for piece in made.pieces)
    for need in made.needs:
        if need.packs:
            assert sum(pack.count * pack.bags for pack in need.packs) >= need.total


def test_a_four_shade_swirl_uses_each_shade_equally() -> None:
    counts = {line.shade: line.count for line in plan(column()).pieces[0].balloons}
    assert len(counts) == 4
    assert len(set(counts.values())) == 1


@pytest.mark.parametrize("pattern", ["swirl", "stripes", "rings", "zigzag"])
@pytest.mark.parametrize("turn", ["1", "-1", "2", "0"])
def test_patterns_change_no_count(pattern: str, turn: str) -> None:
    made = plan(column(pattern=f'"{pattern}"', turn=turn)).pieces[0]
    plain = plan(column()).pieces[0]
    assert len(made.assembly) == len(plain.assembly)
    assert made.assembly.height_m == pytest.approx(plain.assembly.height_m, abs=1e-9)


def test_mirrored_swirls_need_the_same_balloons() -> None:
    right, left = (plan(column(turn=turn)).pieces[0] for turn in ("1", "-1"))
    assert right.balloons == left.balloons


def test_order_of_pieces_changes_no_count() -> None:
    text = column()
    other = text.split("[[pieces]]")[1].replace('"Column"', '"Other"').replace("6 ft", "5 ft")
    forward = plan(f"{text}\n[[pieces]]{other}")
    backward = plan(
        f"{text.split('[[pieces]]')[0]}[[pieces]]{other}\n[[pieces]]{text.split('[[pieces]]')[1]}"
    )
    assert sorted(forward.needs, key=str) == sorted(backward.needs, key=str)


def test_larger_balloons_make_a_wider_heavier_column() -> None:
    small = plan(column(body='["4 x 11in @ 8in"]')).pieces[0].assembly
    large = plan(column(body='["4 x 11in @ 10in"]')).pieces[0].assembly
    body = small.width_m / large.width_m
    assert body == pytest.approx(8 / 10, rel=0.03)


def test_chosen_option_narrows_needs_and_money() -> None:
    text = column() + (
        '\n[[pieces]]\nname = "Tall"\nkind = "column"\nheight = "7 ft"\n'
        'body = ["4 x 11in @ 9.5in"]\nshades = ["coral"]\n'
        '[[options]]\nname = "One"\npieces = ["Column"]\n'
        '[[options]]\nname = "Both"\npieces = ["Column", "Tall"]\n'
    )
    everything = plan(text)
    one = plan(text.replace("[job]\n", '[job]\nchosen = "One"\n'))
    assert everything.scope == ("Column", "Tall")
    assert one.scope == ("Column",)
    assert one.money == one.options[0].money
    assert one.money.price < everything.money.price
    assert "no-option-chosen" in {f.code for f in everything.findings}
    assert "no-option-chosen" not in {f.code for f in one.findings}


@given(
    st.lists(st.decimals(0, 100_000, places=2), min_size=1, max_size=20),
    st.decimals(0, 1_000_000, places=2),
    st.sampled_from(["USD", "JPY", "KWD"]),
)
def test_shares_add_up_to_the_cent(weights: list[Decimal], total: Decimal, currency: str) -> None:
    total = total.quantize(cent(currency))
    parts = shared(total, weights, currency)
    assert sum(parts) == total
    assert all(part >= 0 for part in parts)
    assert all(part == part.quantize(cent(currency)) for part in parts)


def test_errors_come_as_findings() -> None:
    wrong = job(column()).model_copy(update={"shades": {"coral": "no colour at all"}})
    with pytest.raises(JobHasErrors) as caught:
        make_plan(wrong)
    assert [f.code for f in caught.value.findings if f.severity == "error"] == ["unknown-shade"]


def test_a_measured_stack_moves_the_pitch() -> None:
    loose = Studio(measured=(Measured(cluster="4 x 11in @ 9.5in", clusters=12, height=2.45),))
    tight = Studio(measured=(Measured(cluster="4 x 11in @ 9.5in", clusters=12, height=2.15),))
    pitches = [plan(column(), studio).pieces[0].assembly.pitch_m for studio in (tight, loose)]
    assert pitches[0] < pitches[1]
    assert pitches[1] == pytest.approx((2.45 - 0.2413) / 11, rel=0.02)


def test_an_impossible_measurement_is_a_caution_not_a_crash() -> None:
    studio = Studio(measured=(Measured(cluster="4 x 11in @ 9.5in", clusters=12, height=9.0),))
    assert "measurement-unfit" in {f.code for f in plan(column(), studio).findings}


def test_a_weighed_balloon_changes_the_mass() -> None:
    from airwright.job.studio import Weighed

    heavy = Studio(weighed=(Weighed(size="11in", count=10, mass=0.040),))
    light = plan(column()).pieces[0]
    more = plan(column(), heavy).pieces[0]
    assert more.mass_kg - light.mass_kg == pytest.approx(len(light.assembly) * 0.0012, rel=1e-6)


@settings(max_examples=12, deadline=None)
@given(st.floats(1.2, 3.0), st.sampled_from([2, 3, 4, 5, 6]))
def test_columns_come_near_the_height_asked_for(height: float, count: int) -> None:
    made = plan(column(height=f'"{height:.3f} m"', body=f'["{count} x 11in @ 9.5in"]')).pieces[0]
    body_top = float((made.assembly.centre[:, 2] + made.assembly.radius).max())
    # pairs settle two by two: every other gap is wide, so that a layer is a rougher step
    share = 0.6 if count > 2 else 1.0
    assert abs(body_top - height) < share * (made.assembly.pitch_m or 0) + 0.03
    assert made.assembly.residual.converged
    assert float((made.assembly.centre[:, 2] - made.assembly.radius).min()) > -0.03


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ('setting = "open air"', "no-gust"),
        ('ceiling = "5 ft"', "ceiling"),
        ('access = "09:50"', "site-time"),
    ],
)
def test_risks_are_told(change: str, code: str) -> None:
    key = change.split(" =")[0]
    lines = [row for row in column().splitlines() if not row.startswith(f"{key} ")]
    at = lines.index("[venue]") + 1
    text = "\n".join([*lines[:at], change, *lines[at:]])
    found = {f.code for f in plan(text).findings}
    assert code in found | {f.code for f in read_job(text, SPECS).findings}
