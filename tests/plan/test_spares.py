"""Spares of a whole job: cheapest, and as sure as promised."""

from __future__ import annotations

import itertools
import json
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import betabinom

from airwright.catalog import Family
from airwright.job.examples import example_text
from airwright.job.studio import Crew, Studio
from airwright.plan.export import as_json, dumps
from airwright.plan.spares import Line, chance_enough, chance_short, cheapest_spares
from tests.plan.samples import plan

LINES = st.lists(
    st.builds(
        Line,
        need=st.integers(1, 60),
        rate=st.floats(0.005, 0.2),
        seen=st.sampled_from([50.0, 200.0, math.inf]),
        cost=st.sampled_from([0.07, 0.15, 0.6, 2.5]),
        least=st.integers(0, 1),
    ),
    min_size=1,
    max_size=3,
)


def spent(lines: list[Line], spares: tuple[int, ...]) -> float:
    return sum(line.cost * spare for line, spare in zip(lines, spares, strict=True))


@settings(deadline=None, max_examples=25)
@given(lines=LINES, risk=st.sampled_from([0.01, 0.05, 0.2]))
def test_no_set_of_spares_is_cheaper(lines: list[Line], risk: float) -> None:
    """Against every set of up to a few more, tried one by one."""
    found = cheapest_spares(lines, risk)
    assert chance_short(lines, found) <= risk
    assert all(spare >= line.least for spare, line in zip(found, lines, strict=True))
    levels = [range(line.least, spare + 4) for line, spare in zip(lines, found, strict=True)]
    fine = (s for s in itertools.product(*levels) if chance_short(lines, s) <= risk)
    best = min(spent(lines, s) for s in fine)
    assert spent(lines, found) <= best + 1e-3 * sum(found)  # fewer balloons win among equals


def test_more_lines_take_more_spares() -> None:
    one = Line(need=50, rate=0.02, seen=200)
    alone = cheapest_spares([one], 0.05)[0]
    among = cheapest_spares([one] * 12, 0.05)
    assert min(among) > alone
    assert 1 - (1 - chance_short([one], [alone])) ** 12 > 0.2  # line by line was no promise


@pytest.mark.parametrize("wrong", [0.0, 1.0, -0.1, math.nan])
def test_a_wrong_risk_is_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="risk"):
        cheapest_spares([Line(10, 0.02, 200)], wrong)


def product(written: dict[str, Any]) -> float:
    """P(nothing short), from the needs in plan.json and a library's beta binomial alone."""
    sure = 1.0
    for need in written["needs"]:
        rate, seen = need["failure_rate"], need["failure_seen"]
        if rate is None:
            continue
        total, spare = need["total"], need["spare"] - need["reserve"]
        sure *= betabinom.cdf(spare, total, rate * seen, (1 - rate) * seen)
    return sure


@pytest.mark.parametrize("example", ["ferry-terminal", "harbour-festival"])
def test_the_plan_keeps_its_promise(example: str) -> None:
    written = json.loads(dumps(plan(example_text(example))))
    assert written["chance_short"] == pytest.approx(1 - product(written), rel=1e-4, abs=1e-7)
    assert 0.0 < written["chance_short"] <= 0.05


def test_a_studio_sets_its_own_risk() -> None:
    calm, bold = (plan(studio=Studio(crew=Crew(shortage_risk=risk))) for risk in (0.005, 0.3))
    assert calm.chance_short <= 0.005 < bold.chance_short <= 0.3
    assert sum(n.spare for n in calm.needs) > sum(n.spare for n in bold.needs)


def test_every_kind_of_jumbo_foil_and_floating_balloon_has_a_spare() -> None:
    made = plan(example_text("harbour-festival"))
    catalog = made.context.catalog
    floating = {
        (line.size_in, line.shade) for p in made.in_scope for line in p.balloons if line.helium
    }
    balloons = [need for need in made.needs if need.kind == "balloon"]
    dear = [
        need
        for need in balloons
        if (need.size_in, need.shade) in floating
        or (need.size_in or 0) > 20.5
        or catalog.balloons.get(need.item, catalog.balloon("11in")).family is Family.FOIL
    ]
    assert dear
    assert all(need.spare >= 1 for need in dear)


def test_unless_the_studio_says_otherwise() -> None:
    text = example_text("ferry-terminal")
    with_spare, without = (
        plan(text, Studio(crew=Crew(spare_of_each=word, shortage_risk=0.4)))
        for word in ("yes", "no")
    )
    jumbo = [
        [need.spare for need in made.needs if need.size_in == 24.0]
        for made in (with_spare, without)
    ]
    assert min(jumbo[0]) >= 1
    assert min(jumbo[1]) == 0


def test_needs_that_cannot_fail_are_told_apart() -> None:
    written = as_json(plan())
    kinds = {need["kind"]: need["failure_rate"] for need in written["needs"]}
    assert kinds["balloon"] is not None
    assert kinds["pole"] is None


def test_chance_of_one_line_is_a_beta_binomial() -> None:
    line = Line(need=95, rate=0.05, seen=40)
    assert chance_enough(line, 5) == pytest.approx(betabinom.cdf(5, 100, 2, 38), rel=1e-9)
