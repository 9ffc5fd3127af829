"""Sizes at their warmest, and what time does to latex."""

from dataclasses import replace

import coloraide
import pytest

from airwright.catalog import Family, default_catalog
from airwright.decor.assembly import Shade, Stock
from airwright.plan.ageing import ageing, life_at
from airwright.plan.surroundings import EVERYDAY, Surroundings, surroundings
from airwright.plan.warmth import Kind, SizeCheck, luminance, size_checks
from airwright.units import INCH_M
from tests.plan.samples import column, job, plan

CATALOG = default_catalog()
TIGHT = '["4 x 11in @ 10.5in"]'


def check(
    made_in: float = 9.5,
    colour: str = "#1f7a7a",
    finish: str = "matte",
    around: Surroundings = EVERYDAY,
) -> SizeCheck:
    stock = Stock("11in", Family.ROUND, 11 * INCH_M, made_in * INCH_M)
    kind = Kind(stock, Shade("s", colour, finish))  # type: ignore[arg-type]
    (row,) = size_checks({kind: {"Column": 1}}, CATALOG, around)
    return row


@pytest.mark.other_program
@pytest.mark.parametrize("colour", ["#000000", "#ffffff", "#1f7a7a", "#f0705a", "#0a0502"])
def test_luminance_is_that_of_coloraide(colour: str) -> None:
    assert luminance(colour) == pytest.approx(coloraide.Color(colour).luminance(), abs=2e-4)


@pytest.mark.closed_form
def test_growth_stays_below_that_of_a_skin_without_strength() -> None:
    # Charles's law without any skin: d ~ T^(1/3). Here the skin's pull falls as it is stretched,
    # so that it grows a little more; 2 kPa of 101 bounds the difference.
    around = replace(EVERYDAY, peak_c=40.0)
    free = 9.5 * INCH_M * ((40 + 273.15) / (20 + 273.15)) ** (1 / 3)
    assert check(around=around).then_m == pytest.approx(free, rel=3e-3)


def test_hotter_and_higher_are_larger() -> None:
    thens = [check(around=replace(EVERYDAY, peak_c=peak)).then_m for peak in (0.0, 25.0, 45.0)]
    assert thens == sorted(thens)
    highs = [check(around=replace(EVERYDAY, altitude_m=z)).then_m for z in (0.0, 800.0, 2500.0)]
    assert highs == sorted(highs)


def test_dark_shades_in_the_sun_get_largest() -> None:
    sunny = replace(EVERYDAY, in_sun=True)
    white, teal, black = (check(colour=c, around=sunny) for c in ("#ffffff", "#1f7a7a", "#000000"))
    assert check().gas_c == EVERYDAY.peak_c < white.gas_c < teal.gas_c < black.gas_c
    assert white.then_m < teal.then_m < black.then_m


def test_the_size_advised_keeps_the_margin_and_the_next_hole_does_not() -> None:
    around = replace(EVERYDAY, in_sun=True, peak_c=35.0)
    tight = check(10.5, around=around)
    assert tight.over_tight
    assert tight.inflate_to_m < tight.inflated_m
    advised = tight.inflate_to_m / INCH_M
    assert advised % 0.5 == pytest.approx(0.0, abs=1e-9)
    assert not check(advised, around=around).over_tight
    assert check(advised + 0.5, around=around).over_tight


def test_what_is_right_stays_as_it_is() -> None:
    row = check()
    assert not row.over_tight
    assert row.inflate_to_m == row.inflated_m


def test_the_finding_tells_the_size_to_make() -> None:
    made = plan(column(body=TIGHT))
    (found,) = [f for f in made.findings if f.code == "over-tight"]
    assert "10.5 in" in found.what
    assert "Inflate them to 10 in" in found.mend
    assert found.place == "pieces[0]"
    assert "tight" not in {f.code for f in made.findings}, "the rule of thumb gives way"
    assert not [f for f in plan(column()).findings if f.code == "over-tight"]


def test_two_pieces_with_the_same_tight_balloons_are_one_finding() -> None:
    text = column(body=TIGHT)
    other = text.split("[[pieces]]")[1].replace('"Column"', '"Other"')
    found = [f for f in plan(f"{text}\n[[pieces]]{other}").findings if f.code == "over-tight"]
    assert len(found) == 1
    assert found[0].place == ""


def test_every_balloon_of_the_scope_is_in_the_size_checks() -> None:
    made = plan()
    assert made.physics is not None
    counted = sum(row.count for row in made.physics.sizes)
    assert counted == sum(len(piece.assembly) * piece.count for piece in made.pieces)


def test_an_impossible_balloon_hides_no_other() -> None:
    # a catalogue row whose mass no such balloon has
    odd = CATALOG.with_rows(balloons=[CATALOG.balloon("11in").model_copy(update={"mass_g": 900.0})])
    good = Kind(Stock("17in", Family.ROUND, 17 * INCH_M, 15 * INCH_M), Shade("white", "#ffffff"))
    bad = Kind(Stock("11in", Family.ROUND, 11 * INCH_M, 9.5 * INCH_M), Shade("white", "#ffffff"))
    from airwright.plan.physics import _sizes

    rows, refused = _sizes({bad: {"A": 1}, good: {"B": 1}}, odd, EVERYDAY)
    assert [row.size for row in rows] == ["17in"]
    assert [f.code for f in refused] == ["not-reckoned"]
    assert "11in" in refused[0].what


@pytest.mark.common_practice
def test_sun_ages_faster_than_shade_and_shade_faster_than_a_room() -> None:
    used = [
        life_at(place, 6.0, 24.0, 0.0, 20.0).used_usual for place in ("indoors", "shade", "sun")
    ]
    assert used == sorted(used)
    cool, warm = (life_at("sun", 6.0, c, 0.0, 20.0).used_usual for c in (20.0, 30.0))
    assert warm == pytest.approx(2 * cool)


def test_a_day_in_the_sun_tires_latex_and_a_day_indoors_does_not() -> None:
    inside = surroundings(job(), plan().studio)
    assert not ageing(inside).doubtful
    text = column().replace('"indoor" ', '"open air"')
    text = text.replace("[venue]", '[venue]\nsun = "sun"')
    codes = [f.code for f in plan(text).findings]
    assert codes.count("tired-latex") == 1
    assert "tired-latex" not in {f.code for f in plan(column()).findings}


def test_pieces_indoors_are_spared_the_sun_of_those_outside() -> None:
    text = column().replace("[venue]", '[venue]\nsun = "sun"').replace('"0 m/s"', '"6 m/s"')
    outside = text.split("[[pieces]]")[1].replace('"Column"', '"Other"')
    outside += 'setting = "open air"\n'
    made = plan(f"{text}\n[[pieces]]{outside}")
    assert made.physics is not None
    by_setting = {row.setting: row for row in made.physics.sizes if row.shade == "teal"}
    assert by_setting["open air"].in_sun
    assert not by_setting["indoor"].in_sun
    assert by_setting["open air"].then_m > by_setting["indoor"].then_m
    inner, outer = made.piece("Column").stability, made.piece("Other").stability
    assert inner is not None
    assert outer is not None
    assert inner.gust_m_s == 3.0
    assert outer.gust_m_s == 6.0
