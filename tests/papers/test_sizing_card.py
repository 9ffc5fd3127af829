"""The card's geometry, read back from the PDF's own drawing operators, is true."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from airwright.papers.common.page import A4, LETTER
from airwright.papers.common.request import request_for
from airwright.papers.sizing_card import make, sizing_card_of
from airwright.papers.sizing_card.layout import Area, lay_out, strings_beside
from airwright.papers.sizing_card.render import SIDE_MM, card_layout, card_page
from airwright.plan.values import Plan
from airwright.units import System
from tests.papers import pdf_reading as pdf
from tests.papers.plans import TODAY, example_plan, plan_with, studio_with

TRUE_MM = 0.2
"""The issue's own bound on every length."""
# Inches written in the example job: each needs a measure.
EXAMPLE_INCHES = (4.5, 9.5, 10.0, 15.0, 22.0)
AREA = Area(LETTER.height_mm - 18, LETTER.width_mm - 24)


def card(plan: Plan) -> bytes:
    (paper,) = make(request_for(plan, TODAY))
    return paper.data


def circles(data: bytes, page: int) -> list[tuple[float, float, float]]:
    """(centre x, centre y, diameter) of the closed curves of a page, shade dots left out [mm]."""
    found = []
    for path in pdf.paths(data, page):
        xs, ys = [x for x, _ in path], [y for _, y in path]
        wide, high = max(xs) - min(xs), max(ys) - min(ys)
        if len(path) == 5 and wide > 10 and abs(wide - high) < 0.05:
            found.append(((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2, wide))
    return found


def uprights(data: bytes, page: int) -> list[tuple[float, float]]:
    """(x, length) of the upright lines of a page [mm]."""
    return [
        (path[0][0], abs(path[0][1] - path[1][1]))
        for path in pdf.paths(data, page)
        if len(path) == 2 and abs(path[0][0] - path[1][0]) < 1e-6
    ]


@pytest.mark.parametrize("units", list(System))
def test_every_diameter_is_a_ring_a_strip_or_a_string_at_true_scale(units: System) -> None:
    plan = plan_with(studio=studio_with(house={"units": units}))
    data = card(plan)
    page = A4 if units is System.METRIC else LETTER
    layout = card_layout(sizing_card_of(plan), page)
    wide = page.height_mm - 2 * SIDE_MM
    drawn = {d for number in range(pdf.page_count(data)) for _, _, d in circles(data, number)}
    expected = [inches * 25.4 for inches in EXAMPLE_INCHES if inches * 25.4 <= wide]
    assert len(expected) == 3
    assert all(any(abs(d - want) < TRUE_MM for d in drawn) for want in expected)
    assert all(any(abs(d - want) < TRUE_MM for want in expected) for d in drawn), "one too many"
    text = pdf.whole_text(data)
    for at in layout.strings:
        length = math.pi * EXAMPLE_INCHES[at]
        shown = f"{length * 2.54:.1f} cm" if units is System.METRIC else f"{length:.1f} in"
        assert shown in text


def test_marks_of_both_strips_are_half_the_diameter_from_the_ends_that_touch() -> None:
    plan = example_plan()
    data, layout = card(plan), card_layout(sizing_card_of(plan), LETTER)
    page = 1 + len(layout.ring_sheets)
    wide = LETTER.height_mm
    found = [x for x, long in uprights(data, page) if long < 40]
    for marks in layout.strip_sheets:
        assert {EXAMPLE_INCHES[mark.ring] for mark in marks} == {4.5, 9.5, 10.0, 15.0}
        for mark in marks:
            half = EXAMPLE_INCHES[mark.ring] * 25.4 / 2
            assert any(abs(x - SIDE_MM - half) < TRUE_MM for x in found)
            assert any(abs(wide - SIDE_MM - half - x) < TRUE_MM for x in found)


def test_the_curve_itself_is_round() -> None:
    """Four Bézier quarters depart from a circle by 2.7e-4 of the radius at the most."""
    worst = 2.73e-4 * AREA.width / 2
    assert worst < TRUE_MM


def test_check_bars_measure_ten_centimetres_and_four_inches() -> None:
    flat = [
        abs(path[1][0] - path[0][0])
        for path in pdf.paths(card(example_plan()), 0)
        if len(path) == 2 and abs(path[0][1] - path[1][1]) < 1e-6
    ]
    assert any(abs(long - 100.0) < TRUE_MM for long in flat)
    assert any(abs(long - 4 * 25.4) < TRUE_MM for long in flat)


def test_ticks_of_both_bars_are_evenly_apart() -> None:
    ticks: dict[float, list[float]] = {}
    for path in pdf.paths(card(example_plan()), 0):
        upright = len(path) == 2 and abs(path[0][0] - path[1][0]) < 1e-6
        if upright and 1 < abs(path[0][1] - path[1][1]) < 4.6:
            ticks.setdefault(round(path[0][1], 2), []).append(path[0][0])
    rows = sorted((sorted(xs) for xs in ticks.values() if len(xs) > 30), key=len)
    inch, centimetre = rows
    assert len(centimetre) == 101
    assert len(inch) == 33
    for xs, step in ((centimetre, 1.0), (inch, 25.4 / 8)):
        for at, x in enumerate(xs):
            assert x - xs[0] == pytest.approx(at * step, abs=TRUE_MM / 4)


def test_every_sheet_carries_a_bar_of_five_centimetres() -> None:
    data = card(example_plan())
    _, high = pdf.page_size_mm(data)
    for page in range(pdf.page_count(data)):
        bars = [
            max(x for x, _ in path) - min(x for x, _ in path)
            for path in pdf.paths(data, page)
            if min(y for _, y in path) > high - 15
        ]
        # The outline of a line of half a point: its middle is the measure.
        assert any(abs(long - 50.0) < TRUE_MM for long in bars), page


def test_three_pages_for_the_example_and_six_for_any_job() -> None:
    """The issue's own bounds on the card."""
    assert pdf.page_count(card(example_plan())) <= 3
    for diameters in (
        [],
        [30.0],
        [20.0 + 2.5 * k for k in range(60)],
        [10.0 * k for k in range(1, 200)],
        [1500.0 + k for k in range(12)],
    ):
        layout = lay_out(diameters, AREA)
        own_sheet = not strings_beside(layout.strip_sheets, layout.strings)
        assert 1 + len(layout.ring_sheets) + len(layout.strip_sheets) + own_sheet <= 6


@pytest.mark.parametrize("page", [A4, LETTER])
def test_every_diameter_finds_a_place_and_words_stay_on_the_sheet(page: object) -> None:
    paper = card_page(page)  # type: ignore[arg-type]
    area = Area(paper.body_width_mm, paper.body_height_mm)
    diameters = [38.0, 63.5, 114.3, 120.0, 127.0, 178.0, 190.0, 200.0, 241.3, 254.0, 381.0, 812.8]
    layout = lay_out(diameters, area)
    placed = {line.ring for sheet in layout.ring_sheets for line in sheet}
    marked = {mark.ring for sheet in layout.strip_sheets for mark in sheet}
    assert placed | marked | set(layout.strings) == set(range(len(diameters)))
    for sheet in layout.ring_sheets:
        for line in sheet:
            turn, radius = math.radians(line.turn_deg), line.diameter / 2
            assert abs(radius * math.cos(turn)) <= area.width / 2
            assert abs(radius * math.sin(turn)) <= area.height / 2


def test_neighbouring_rings_of_a_sheet_keep_apart_while_sheets_last() -> None:
    diameters = [100.0 + 4.0 * k for k in range(12)]
    layout = lay_out(diameters, AREA)
    assert len(layout.ring_sheets) == 3
    for sheet in layout.ring_sheets:
        radii = [line.diameter / 2 for line in sheet]
        assert all(b - a >= 5.0 for a, b in pairwise(radii))


def test_labels_name_size_count_and_shades() -> None:
    plan = example_plan()
    model = sizing_card_of(plan)
    text = pdf.whole_text(card(plan))
    for ring in model.rings:
        inches = ring.diameter_m / 0.0254
        assert f"{inches:g} in" in text
        assert f"{ring.count} balloons" in text
        assert all(size in text for size in ring.sizes)
    assert "100 %" in text


def test_counts_on_the_card_are_those_of_the_plan() -> None:
    plan = example_plan()
    used = sum(need.used for need in plan.needs if need.kind == "balloon" and need.size_in != 2.0)
    assert sum(ring.count for ring in sizing_card_of(plan).rings) == used
