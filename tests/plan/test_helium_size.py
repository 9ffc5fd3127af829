"""One size for floating balloons: warmth and time weighed, and cures that may be obeyed."""

from __future__ import annotations

import pytest

from airwright.decor.pieces import SPECS
from airwright.job import read_job
from airwright.job.cluster import Inflated
from airwright.job.models import Job
from airwright.job.studio import Helium, Studio
from airwright.job.writing import write_job
from airwright.language import say
from airwright.plan.float_words import float_words
from airwright.plan.helium_size import HeliumSize
from airwright.plan.planning import make_plan
from airwright.plan.values import Plan
from airwright.units import INCH_M
from tests.plan.samples import job

SIZES = ("9in", "9.5in", "10in", "10.5in", "11in")
STRIKES = ("13:00", "16:00", "20:00", "23:30")
PEAKS = ("18 C", "25 C", "35 C")


def floating(made: str = "11in", strike: str = "16:00", peak: str = "25 C", *,
             stock: str = "11in", setting: str = "indoor", count: int = 3) -> Job:  # fmt: skip
    """A bouquet filled at 10:00, taken down at `strike`."""
    return job(f"""
format = "airwright-job/1"
[job]
title = "Floating"
date = 2027-05-22
guests = "11:00"
strike = "{strike}"
[venue]
access = "10:00"
setting = "{setting}"
peak_temperature = "{peak}"
[shades]
coral = "#f0705a"
night = "#20203a"
[[pieces]]
name = "Bouquet"
kind = "bouquet"
height = "8 ft"
[[pieces.balloons]]
balloon = "{stock} @ {made}"
count = {count}
shades = ["coral", "night"]
""")


def refilled(asked: Job, balloon: Inflated) -> Job:
    """The bouquet of other balloons, or of the same filled to another size."""
    (bouquet,) = asked.pieces
    rows = [row.model_copy(update={"balloon": balloon}) for row in bouquet.balloons]  # type: ignore[attr-defined]
    return asked.model_copy(update={"pieces": (bouquet.model_copy(update={"balloons": rows}),)})


def only(plan: Plan) -> HeliumSize:
    assert plan.physics is not None
    (row,) = plan.physics.helium_sizes
    return row


def troubles(plan: Plan) -> dict[str, int]:
    """Cautions and errors by code."""
    codes = [f.code for f in plan.findings if f.severity.value in ("caution", "error")]
    return {code: codes.count(code) for code in codes}


def not_worse(before: Plan, after: Plan, obeyed: str, told: frozenset[str] = frozenset()) -> None:
    """The cure's own finding is gone and no other is new, but those whose cure it tells itself."""
    old, new = troubles(before), troubles(after)
    assert new.get(obeyed, 0) < old[obeyed]
    worse = {code for code in new if new[code] > old.get(code, 0)} - told
    assert not worse, f"obeying {obeyed} brought {worse}"


@pytest.mark.parametrize("made", SIZES)
@pytest.mark.parametrize("strike", STRIKES)
@pytest.mark.parametrize("peak", PEAKS)
@pytest.mark.parametrize("setting", ["indoor", "open air"])
def test_obeying_the_cure_makes_nothing_worse(
    made: str, strike: str, peak: str, setting: str
) -> None:
    asked = floating(made, strike, peak, setting=setting)
    before = make_plan(asked)
    row = only(before)
    told = [f for f in before.findings if f.code == "helium-size"]
    assert len(told) == (0 if row.fine else 1)
    assert not {"over-tight", "sinks-early", "no-lift"} & set(troubles(before))
    if row.fine:
        return
    text = say(told[0].mend)
    if row.serves_m is not None:
        assert f"{row.serves_m / INCH_M:g} in" in text
        cured = refilled(asked, Inflated("11in", row.serves_m))
        not_worse(before, make_plan(cured), "helium-size")
        return
    smaller = refilled(asked, Inflated("11in", row.most_m))
    assert row.coated_serves == ("Coat them inside" in text)
    if row.coated_serves:
        coated = Studio(helium=Helium(coated="yes"))
        not_worse(before, make_plan(smaller, coated), "helium-size")
    if row.larger is not None:
        size, across = row.larger
        assert f"{size} balloons made {across / INCH_M:g} in" in text
        larger = refilled(asked, Inflated(size, across))
        not_worse(before, make_plan(larger), "helium-size")
    assert (row.fill_from is not None) == ("or later" in text)
    if row.fill_from is not None:
        assert f"fill them at {row.fill_from} or later" in text
        head = smaller.job.model_copy(update={"fill": row.fill_from})
        not_worse(before, make_plan(smaller.model_copy(update={"job": head})), "helium-size")
    if not (row.coated_serves or row.larger or row.fill_from):
        assert "foil" in text
        foil = refilled(asked, Inflated("18in foil round"))
        assert "wrinkles" in text
        assert "power lines" in text
        not_worse(before, make_plan(foil), "helium-size", frozenset({"foil", "foil-warm"}))


@pytest.mark.closed_form
def test_filling_later_is_reckoned_back_from_take_down() -> None:
    """Down at 22:30: what is safe for 12 h and some minutes is filled at 10:15 or later."""
    row = only(make_plan(floating("11in", "22:30", "18 C")))
    assert row.fill_before_h is not None
    assert row.fill_from is not None
    quarters = int(row.most_safe_h * 4)
    clock = 22 * 60 + 30 - 15 * quarters
    assert row.fill_from == f"{clock // 60:02d}:{clock % 60:02d}"
    assert row.fill_before_h == quarters / 4


@pytest.mark.parametrize(
    ("fill", "told"), [("09:30", True), ("10:00", False), ("10:59", False), ("11:00", True)]
)
def test_filling_before_access_or_after_the_guests_is_told(fill: str, told: bool) -> None:
    asked = floating("10in", "13:00")
    head = asked.job.model_copy(update={"fill": fill})
    text = write_job(asked.model_copy(update={"job": head}))
    found = read_job(text, SPECS).findings
    assert [f.place for f in found if f.code == "fill-time"] == ["job.fill"] * told


def test_times_are_told_as_good_safe_and_down() -> None:
    """Common practice, no source: 11 in untreated is good 8 h, safe 12, down at about 18."""
    assert say(float_words(8.0, 12.0, 18.0)) == (
        "good for about 8 h, safe to 12 h, down at about 18 h"
    )
    assert say(float_words(2.9, 5.99, 47.6)) == (
        "good for about 2.5 h, safe to 5.5 h, down at about 48 h"
    )
    assert say(float_words(71.9, 120.0, 200.0)) == (
        "good for about 2 days, safe to 5 days, down at about 8 days"
    )


def test_the_largest_size_not_too_tight_floats_longest() -> None:
    rows = [only(make_plan(floating(made))) for made in SIZES]
    assert len({round(row.most_m, 6) for row in rows}) == 1
    safe = [row.safe_h for row in rows]
    assert safe == sorted(safe)
    assert [row.tight for row in rows] == [row.made_m > row.most_m + 1e-9 for row in rows]


def test_both_ways_out_of_a_narrow_choice() -> None:
    """Too tight at 11 in in the heat, too early at 9 in: the hole between serves both."""
    tight, early = (only(make_plan(floating(made, "16:00", "45 C"))) for made in ("11in", "9in"))
    assert tight.tight
    assert not tight.early
    assert early.early
    assert not early.tight
    assert tight.serves_m == early.serves_m == pytest.approx(10.5 * INCH_M)


@pytest.mark.common_practice
@pytest.mark.parametrize(("peak", "fine"), [("21 C", True), ("30 C", True), ("45 C", False)])
def test_floating_latex_is_filled_to_the_size_it_is_sold_for(peak: str, fine: bool) -> None:
    """Common practice, no source: an 11 in balloon is filled with helium to 11 in (half a cubic
    foot, 10 g of lift), and half an inch smaller where it stands in the heat."""
    made = make_plan(floating("11in", "16:00", peak))
    row = only(made)
    assert row.tight == (not fine)
    assert made.physics is not None
    assert {size.over_tight for size in made.physics.sizes} == {not fine}
    assert row.most_m == pytest.approx((11 if fine else 10.5) * INCH_M)


def test_a_studio_may_fill_floating_latex_smaller() -> None:
    own = Studio(helium=Helium(size_margin=0.05))
    assert only(make_plan(floating("11in"), own)).most_m == pytest.approx(10 * INCH_M)


def test_a_size_filled_with_air_and_with_helium_is_told_of_each() -> None:
    asked = floating("11in", peak="40 C")
    column = 'kind = "column"\nheight = "6 ft"\nbody = ["4 x 11in @ 11in"]\nshades = ["coral"]\n'
    text = write_job(asked) + f'\n[[pieces]]\nname = "Column"\n{column}'
    made = make_plan(job(text))
    told = {f.code: f.pieces for f in made.findings if f.code in ("over-tight", "helium-size")}
    assert told == {"over-tight": ("Column",), "helium-size": ("Bouquet",)}
