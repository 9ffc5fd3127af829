"""A saved design in another size, palette and budget."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.decor.pieces import KINDS, SPECS
from airwright.job import Job, ShadeSpec, read_job
from airwright.job.examples import example_text
from airwright.job.writing import write_job
from airwright.plan.planning import make_plan
from airwright.plan.resize import (
    BUDGET_STEP,
    ResizeError,
    only,
    scaled,
    stretches,
    to_height,
    with_palette,
    within_budget,
)
from airwright.units import FOOT_M, INCH_M, System


def job_of(name: str) -> Job:
    job = read_job(example_text(name), SPECS).job
    assert job is not None
    return job


FERRY, FESTIVAL = job_of("ferry-terminal"), job_of("harbour-festival")
NAVY = {"navy": "#20304a", "gold": ShadeSpec(colour="#c9a24a", finish="metallic")}


@pytest.mark.parametrize("job", [FERRY, FESTIVAL], ids=["ferry", "festival"])
@pytest.mark.parametrize("factor", [0.75, 1.35])
def test_a_resized_design_is_a_job_file_like_any_other(job: Job, factor: float) -> None:
    changed = scaled(job, factor, system=System.FEET)
    assert changed != job
    assert read_job(write_job(changed), SPECS).job == changed


RECIPES = ("centrepiece", "flower", "foils", "topiary")
"""Kinds whose balloons are a recipe or a text: in another size only stems and poles change."""


def alone(kind: str) -> Job:
    """A job with the example of one kind."""
    text = (
        'format = "airwright-job/1"\n[job]\ntitle = "One"\ndate = 2027-05-22\n'
        'guests = "10:00"\nstrike = "18:00"\n[shades]\n'
        + "".join(f'{name} = "#a0b0c0"\n' for name in ("coral", "sand", "teal", "white", "gold"))
        + f"[[pieces]]\n{KINDS[kind].example}\n"
    )
    job = read_job(text, SPECS).job
    assert job is not None
    return job


@pytest.mark.parametrize("kind", sorted(set(KINDS) - set(RECIPES)))
def test_every_kind_grows_and_shrinks(kind: str) -> None:
    job = alone(kind)
    small, large = (make_plan(scaled(job, f)).pieces[0].assembly for f in (0.8, 1.25))
    assert len(small) < len(make_plan(job).pieces[0].assembly) < len(large)


@pytest.mark.parametrize("kind", RECIPES)
def test_a_recipe_keeps_its_balloons_and_stands_higher_or_lower(kind: str) -> None:
    job = alone(kind)
    made = [make_plan(scaled(job, f)).pieces[0].assembly for f in (0.95, 1.0, 1.02)]
    assert len({len(one) for one in made}) == 1
    tops = [float((one.centre[:, 2] + one.radius).max()) for one in made]
    grows = KINDS[kind].grows == ("height",)
    assert (tops[0] < tops[1] < tops[2]) if grows else len(set(tops)) == 1


@pytest.mark.closed_form
def test_lengths_grow_by_the_factor_and_balloons_do_not() -> None:
    twice = scaled(FESTIVAL, 1.2)
    for old, new in zip(FESTIVAL.pieces, twice.pieces, strict=True):
        for name in stretches(old):
            was, now = getattr(old, name), getattr(new, name)
            assert was is None or now == pytest.approx(1.2 * was)
        assert getattr(new, "body", None) == getattr(old, "body", None)


@pytest.mark.closed_form
def test_a_column_twice_as_tall_has_about_twice_the_layers() -> None:
    low = make_plan(only(FERRY, "Classic")).pieces[0].assembly
    tall = make_plan(to_height(only(FERRY, "Classic"), 12 * FOOT_M)).pieces[0].assembly
    # a layer more or less, for the body ends with a whole one
    assert abs(tall.layers - 2 * low.layers) <= 1


@settings(max_examples=40, deadline=None)
@given(st.floats(0.3, 2.0))
def test_rounded_lengths_are_whole_half_feet_or_inches(factor: float) -> None:
    for piece in scaled(only(FERRY, "Classic"), factor, system=System.FEET).pieces:
        inches = piece.height / INCH_M  # type: ignore[attr-defined]
        step = 6 if inches >= 30 else 1
        assert math.isclose(inches / step, round(inches / step), abs_tol=1e-9)
        assert abs(inches - 72 * factor) <= step / 2 + 1e-9


def test_one_piece_alone_can_change() -> None:
    changed = scaled(FERRY, 1.5, pieces=["Cloud column"])
    assert changed.pieces[0] == FERRY.pieces[0]
    assert changed.pieces[1] != FERRY.pieces[1]


def test_a_palette_takes_the_shades_places_in_order_everywhere() -> None:
    changed = with_palette(FESTIVAL, NAVY)
    assert dict(changed.shades) == NAVY
    assert read_job(write_job(changed), SPECS).job == changed
    plan = make_plan(changed)
    used = {shade for piece in plan.pieces for line in piece.balloons for shade in [line.shade]}
    assert used == {"navy", "gold"}
    before = make_plan(FESTIVAL)
    for old, new in zip(before.pieces, plan.pieces, strict=True):
        assert len(old.assembly) == len(new.assembly)


def test_shares_of_shades_that_become_one_add_up() -> None:
    garland = with_palette(FESTIVAL, {"navy": "#20304a"}).pieces[4]
    assert garland.shades == {"navy": 9}  # type: ignore[attr-defined]


def test_what_is_named_like_a_shade_but_is_none_stays() -> None:
    text = example_text("ferry-terminal").replace('"Cloud column"', '"coral"')
    job = read_job(text, SPECS).job
    assert job is not None
    assert [p.name for p in with_palette(job, NAVY).pieces] == [p.name for p in job.pieces]


def test_the_largest_size_within_a_budget() -> None:
    job = only(FERRY, "Classic")
    usual = make_plan(job).options[0].money.price
    found = within_budget(job, usual, system=System.FEET)
    assert found.price <= usual
    assert found.price == make_plan(found.job).options[0].money.price
    # the next size up costs more
    larger = scaled(job, found.factor + BUDGET_STEP, system=System.FEET)
    assert make_plan(larger).options[0].money.price > usual
    assert found.tried <= 6  # halving, not trying all 33


def test_a_budget_below_the_smallest_says_what_the_smallest_costs() -> None:
    with pytest.raises(ResizeError, match="smallest tried costs"):
        within_budget(only(FERRY, "Classic"), Decimal(20))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda: scaled(FERRY, 0.0), "cannot be made"),
        (lambda: scaled(FERRY, math.nan), "cannot be made"),
        (lambda: scaled(FERRY, 10), "too large"),
        (lambda: scaled(FERRY, 1.2, pieces=["Nobody"]), "no piece"),
        (lambda: to_height(FERRY, -1), "no height"),
        (lambda: to_height(FERRY, math.inf), "no height"),
        (lambda: to_height(FESTIVAL, 2.0, pieces=["Ticket desk garland"]), "None of these"),
        (lambda: with_palette(FERRY, {}), "empty"),
        (lambda: only(FERRY, "Nobody"), "no option"),
    ],
)
def test_what_cannot_be_had_says_why_and_how(change: Any, says: str) -> None:
    with pytest.raises(ResizeError, match=says) as told:
        change()
    assert told.value.mend
