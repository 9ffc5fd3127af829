"""The card's geometry, read back from the PDF's own drawing operators, is true."""

from __future__ import annotations

import math

import pytest

from airwright.papers.common.request import request_for
from airwright.papers.sizing_card import make, sizing_card_of
from airwright.papers.sizing_card.layout import FLAP_MM, Area, lay_out, name_of
from airwright.papers.sizing_card.render import SIDE_MM, TOP_MM
from airwright.plan.values import Plan
from airwright.units import System
from tests.papers import pdf_reading as pdf
from tests.papers.plans import TODAY, example_plan, plan_with, studio_with

TRUE_MM = 0.2
"""The issue's own bound on every length."""
# Inches written in the example job: each needs a ring.
EXAMPLE_INCHES = (4.5, 9.5, 10.0, 15.0, 22.0)


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


@pytest.mark.parametrize("units", list(System))
def test_every_inflated_diameter_is_drawn_at_true_scale(units: System) -> None:
    plan = plan_with(studio=studio_with(house={"units": units}))
    data = card(plan)
    drawn = {d for page in range(pdf.page_count(data)) for _, _, d in circles(data, page)}
    for inches in EXAMPLE_INCHES:
        assert any(abs(d - inches * 25.4) < TRUE_MM for d in drawn), inches
    assert all(any(abs(d - inches * 25.4) < TRUE_MM for inches in EXAMPLE_INCHES) for d in drawn), (
        "a ring nobody asked for"
    )


def test_the_curve_itself_is_round() -> None:
    """Four Bézier quarters depart from a circle by 2.7e-4 of the radius at the most."""
    worst = 2.73e-4 * max(EXAMPLE_INCHES) * 25.4 / 2
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
    for page in range(pdf.page_count(data)):
        bars = [
            max(x for x, _ in path) - min(x for x, _ in path)
            for path in pdf.paths(data, page)
            if min(y for _, y in path) > 250
        ]
        # The outline of a line of half a point: its middle is the measure.
        assert any(abs(long - 50.0) < TRUE_MM for long in bars), page


def test_tiles_join_into_one_circle() -> None:
    """Laid flap to edge, the centres that all tiles of a ring draw from coincide."""
    data = card(example_plan())
    sheets = lay_out(
        [inches * 25.4 for inches in EXAMPLE_INCHES],
        Area(*_area(data), heading=82.0),
    )
    tiled = 0
    for page, sheet in enumerate(sheets):
        if sheet.tile is None:
            continue
        tiled += 1
        wide, high = _area(data)
        ((x, y, d),) = circles(data, page)
        inches = EXAMPLE_INCHES[sheet.rings[0].ring]
        assert d == pytest.approx(inches * 25.4, abs=TRUE_MM)
        joined_x = x - SIDE_MM + sheet.tile.column * (wide - FLAP_MM)
        joined_y = y - TOP_MM + sheet.tile.row * (high - FLAP_MM)
        whole_x = sheet.tile.columns * (wide - FLAP_MM) + FLAP_MM
        whole_y = sheet.tile.rows * (high - FLAP_MM) + FLAP_MM
        assert joined_x == pytest.approx(whole_x / 2, abs=TRUE_MM / 2)
        assert joined_y == pytest.approx(whole_y / 2, abs=TRUE_MM / 2)
    assert tiled == pdf.page_count(data) - 1


def _area(data: bytes) -> tuple[float, float]:
    wide, high = pdf.page_size_mm(data)
    return wide - 2 * SIDE_MM, high - TOP_MM - 15.0


@pytest.mark.parametrize("diameter", [120.0, 198.0, 230.0, 254.0, 381.0, 558.8, 914.4, 3000.0])
def test_the_printed_tiles_cover_the_whole_line(diameter: float) -> None:
    area = Area(197.9, 255.4)
    sheets = lay_out([diameter], area)
    step_x, step_y = area.width - FLAP_MM, area.height - FLAP_MM
    for degree in range(0, 360, 2):
        turn = math.radians(degree)
        covered = False
        for sheet in sheets:
            placed = sheet.rings[0]
            x = placed.x + diameter / 2 * math.cos(turn)
            y = placed.y + diameter / 2 * math.sin(turn)
            covered |= -1e-6 <= x <= area.width + 1e-6 and -1e-6 <= y <= area.height + 1e-6
        assert covered, degree
    first = sheets[0].tile
    if first is not None:
        assert first.columns * step_x + FLAP_MM >= diameter
        assert first.rows * step_y + FLAP_MM >= diameter


def test_small_rings_share_sheets_without_touching() -> None:
    diameters = [38.1, 50.8, 63.5, 76.2, 88.9, 101.6, 114.3, 127.0, 139.7, 190.0]
    area = Area(197.9, 255.4, heading=82.0)
    sheets = lay_out(diameters, area)
    assert sorted(p.ring for sheet in sheets for p in sheet.rings) == list(range(10))
    for number, sheet in enumerate(sheets):
        for at, one in enumerate(sheet.rings):
            r = diameters[one.ring] / 2
            assert r - 1e-6 <= one.x <= area.width - r + 1e-6
            top = area.heading if number == 0 else 0.0
            assert top + r - 1e-6 <= one.y <= area.height - r + 1e-6
            for other in sheet.rings[at + 1 :]:
                apart = math.hypot(one.x - other.x, one.y - other.y)
                assert apart > r + diameters[other.ring] / 2 + 1.0


def test_no_ring_at_all_still_makes_a_card() -> None:
    (sheet,) = lay_out([], Area(197.9, 255.4, heading=82.0))
    assert sheet.rings == ()


def test_labels_name_size_count_and_shades() -> None:
    plan = example_plan()
    model = sizing_card_of(plan)
    text = pdf.whole_text(card(plan))
    for ring in model.rings:
        inches = ring.diameter_m / 0.0254
        assert f"{inches:g} in" in text
        assert f"{inches * 2.54:.1f} cm".replace(".0 cm", " cm") in text
        assert f"{ring.count} balloons" in text
        for shade in ring.shades:
            assert shade.name in text
    assert "100 %" in text


def test_counts_on_the_card_are_those_of_the_plan() -> None:
    plan = example_plan()
    used = sum(need.used for need in plan.needs if need.kind == "balloon" and need.size_in != 2.0)
    assert sum(ring.count for ring in sizing_card_of(plan).rings) == used


def test_tile_names() -> None:
    assert [name_of(0, 0), name_of(2, 1), name_of(0, 25), name_of(0, 26), name_of(4, 27)] == [
        "A1", "B3", "Z1", "AA1", "AB5",
    ]  # fmt: skip
