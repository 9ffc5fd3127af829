"""The make sheet tells the hands everything, agrees with the plan, and keeps to its page."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from dataclasses import replace
from functools import cache
from importlib.resources import files

import numpy as np
import pytest

from airwright.decor.assembly import Assembly
from airwright.decor.pieces import SPECS
from airwright.job import read_job
from airwright.papers.common.request import request_for
from airwright.papers.make_sheet import make, make_sheet_of
from airwright.papers.make_sheet.charts import chart_parts, has_chart
from airwright.papers.make_sheet.clusters import in_order
from airwright.papers.make_sheet.steps import step_looks
from airwright.pictures.drawing import to_svg
from airwright.pictures.drawing.grids import grid_parts, is_grid
from airwright.pictures.drawing.hands import TECHNIQUES
from airwright.plan.planning import make_plan
from airwright.plan.stability import Stability
from airwright.plan.values import Plan
from airwright.plan.wording import Words
from airwright.units import INCH_M, System
from tests.papers import pdf_reading as pdf
from tests.papers.plans import ARABIC, CJK, HEBREW, TODAY, example_plan, plan_with, studio_with
from tests.papers.stress import CASES
from tests.plan.samples import column, job

SIDE, TOP, BOTTOM = 15.0, 10.0, 6.0
"""Margins, with the head and the foot of the page inside them [mm]."""


def data_of(plan: Plan, today: dt.date = TODAY) -> bytes:
    (paper,) = make(request_for(plan, today))
    assert paper.path == "make-sheet.pdf"
    return paper.data


@cache
def example() -> bytes:
    return data_of(example_plan())


@cache
def tall() -> Plan:
    """60 layers and more."""
    return make_plan(job(column(height='"13 ft"', body='["4 x 5in @ 3.5in"]')))


@cache
def pages_of(data: bytes) -> list[str]:
    return pdf.texts(data)


@cache
def all_words(data: bytes) -> str:
    return pdf.run_together("\n".join(pages_of(data)))


def said(words: str, data: bytes) -> bool:
    return pdf.run_together(words) in all_words(data)


# ---- what it says ------------------------------------------------------------------------------


def test_every_figure_of_the_plan_stands_on_it() -> None:
    data = example()
    for piece in example_plan().in_scope:
        assert said(f"{piece.count} ×{piece.name}", data)
        for line in piece.balloons:
            assert said(f"{line.inflated_in:g} in", data)
            assert said(line.shade, data)
        for part in piece.hardware:
            assert said(part.item, data)
        for step in piece.assembly.steps:
            assert said(step.title, data)
            assert said(step.text, data)
    for warned in make_sheet_of(example_plan(), TODAY).warnings:
        assert said(warned.what, data)
        assert said(warned.do, data)


def test_balloons_to_inflate_are_those_placed_in_space() -> None:
    model = make_sheet_of(example_plan(), TODAY)
    for sheet, piece in zip(model.pieces, example_plan().in_scope, strict=True):
        assert sheet.balloons == len(piece.assembly)
        assert sum(row.together for row in sheet.sizes) == piece.count * len(piece.assembly)
        placed = Counter(np.round(piece.assembly.radius * 2 / INCH_M, 3).tolist())
        told: Counter[float] = Counter()
        for row in sheet.sizes:
            told[round(row.inflated_m / INCH_M, 3)] += row.one
        assert told == placed
    assert sum(row.together for row in model.sizes) == sum(
        piece.count * len(piece.assembly) for piece in example_plan().in_scope
    )


def test_clusters_to_tie_hold_every_tied_balloon_once() -> None:
    model = make_sheet_of(example_plan(), TODAY)
    for sheet, piece in zip(model.pieces, example_plan().in_scope, strict=True):
        assembly = piece.assembly
        tied = sum(card.one * sum(s.count for s in card.slots) for card in sheet.clusters)
        assert tied == int((assembly.cluster >= 0).sum())
        assert sum(card.one for card in sheet.clusters) == len(assembly.clusters)
        runs = in_order(assembly)
        assert [run.first for run in runs] == [1, *(run.last + 1 for run in runs[:-1])]
        assert runs[-1].last == len(assembly.clusters)


def test_small_rings_hold_the_balloons_of_their_cluster() -> None:
    assembly = example_plan().piece("Cloud column").assembly
    for run in in_order(assembly):
        assert len(run.discs) == sum(slot.count for slot in run.slots)
        for disc in run.discs:
            assert disc.r > 0
            assert disc.x - disc.r >= -0.01
            assert disc.x + disc.r <= 1.01
            assert disc.y - disc.r >= -0.01
            assert disc.y + disc.r <= 1.01


def test_dangers_of_a_piece_stand_on_its_spread_and_all_of_them_on_one_page() -> None:
    plan = example_plan()
    model = make_sheet_of(plan, TODAY)
    together = " ".join(f"{warned.what} {warned.do}" for warned in model.warnings)
    ladder = next(found for found in plan.findings if found.code == "ladder")
    for sheet, piece in zip(model.pieces, plan.in_scope, strict=True):
        notes = " ".join(sheet.notes)
        assert ("ladder" in notes) == (sheet.name in ladder.pieces)
        assert isinstance(piece.stability, Stability)
        filling = Words(System.FEET).mass(piece.stability.ballast_kg / piece.stability.bases)
        assert filling in notes
        assert f"{sheet.name}: {filling}" in together
    assert "choke" in together
    assert "allerg" in together


def test_hands_read_no_section_numbers_no_float_factors_and_no_advice_for_designers() -> None:
    text = pdf.whole_text(example())
    for words in ("CFR", "EN 1990", "ASCE", "factor", "half a size smaller", "settings"):
        assert words not in text, words


def test_time_is_that_of_the_plan_shared_by_the_crew() -> None:
    plan = example_plan()
    for sheet, piece in zip(make_sheet_of(plan, TODAY).pieces, plan.in_scope, strict=True):
        assert sheet.crew_hours == pytest.approx(piece.hours * piece.count / plan.crew.hands)


def test_loops_for_all_copies_are_cut_from_the_same_balloons() -> None:
    """Common practice, no source: four loops from one 260, so 3 x 2 loops take two, not three."""
    fillers = '{ cluster = "4 x 5in @ 4.5in", count = 2, tie = "loop", shades = ["coral"] }'
    plan = make_plan(job(column(fillers=fillers, count="3")))
    (sheet,) = make_sheet_of(plan, TODAY).pieces
    (row,) = [part for part in sheet.parts if "flat" in part.item]
    assert (row.one, row.together) == (1, 2)
    (need,) = [n for n in plan.needs if n.item.startswith("260")]
    assert need.used == row.together


def begins(data: bytes) -> dict[str, int]:
    """Page on which each piece begins, by the large count before its name."""
    found = {}
    for number, text in enumerate(pages_of(data), start=1):
        heading = re.match(r"Ferry terminal reopening (.+)\n\d+ × (.+?)(?: about .*)?\n", text)
        if heading is not None:
            assert heading[1] == heading[2]
            found[heading[1]] = number
    return found


def test_it_covers_the_chosen_option_alone() -> None:
    options = [("Small", ["One"]), ("Large", ["Two", "Three"])]
    data = data_of(plan_with(options=options, head={"chosen": "Large"}))
    assert said("Option chosen: Large", data)
    assert list(begins(data)) == ["Two", "Three"]


def test_head_and_foot_of_every_page_say_where_one_is() -> None:
    request = request_for(example_plan(), TODAY)
    (paper,) = make(request)
    number_of_job = request.mark.number
    pages = pages_of(paper.data)
    starts = begins(paper.data)
    names = [piece.name for piece in example_plan().in_scope]
    assert list(starts) == names
    running = ""
    for number, text in enumerate(pages, start=1):
        running = next((name for name in names if starts[name] == number), running)
        if "How the hands do it" in text.split("\n")[0]:
            running = "How the hands do it"
        assert text.startswith("Ferry terminal reopening")
        assert running in text.split("\n")[0]
        assert "Saturday, May 22, 2027" in text
        assert f"Job {number_of_job} · issued March 1, 2027 {number} / {len(pages)}" in text


def test_the_first_page_names_the_page_of_each_piece() -> None:
    first = pages_of(example())[0]
    told = [int(n) for n in re.findall(r" (?:people|person) (\d+)$", first, re.MULTILINE)]
    assert told == list(begins(example()).values())


# ---- sizes, shades, chart ----------------------------------------------------------------------


def test_the_chart_names_every_shade_where_it_sits() -> None:
    """Read as text, row by row: left to right on paper is left to right for who stands before
    the column, worked out here from the balloons' places alone."""
    assembly = example_plan().piece("Swirl column").assembly
    chart = next(text for text in pages_of(example()) if "Layer by layer" in text)
    for layer in range(assembly.layers):
        rows = np.flatnonzero(assembly.layer == layer)
        x, y, _ = assembly.centre[rows].T
        around = rows[np.argsort(np.arctan2(x, -y))]
        names = [assembly.shades[k].name for k in assembly.shade[around]]
        line = re.search(rf"(?m)^{layer + 1} ([a-z ]+)$", chart)
        assert line is not None
        read = line[1].split()
        # One at the back may stand at either edge, since the chart is cut open there.
        assert read in [names[k:] + names[:k] for k in (0, 1, len(names) - 1)], layer
    assert "front" in chart


def test_a_long_chart_is_split_and_shows_each_layer_once() -> None:
    assembly = tall().pieces[0].assembly
    assert assembly.layers >= 40
    for high in (250.0, 120.0, 70.0):
        parts = chart_parts(assembly, 180.0, high, System.FEET)
        assert all(part.width_mm <= 181 and part.height_mm <= high for part in parts)
        assert [p.first for p in parts] == [1, *(p.last + 1 for p in parts[:-1])]
        assert parts[-1].last == assembly.layers
        shown = sum(len(part.drawing.of_kind("cell")) for part in parts)
        assert shown >= int((assembly.layer >= 0).sum())
    assert len(chart_parts(assembly, 180.0, 70.0, System.FEET)) > 1


def test_few_layers_have_no_chart() -> None:
    piece = example_plan().piece("Cloud column")
    assert not has_chart(piece.assembly)


@cache
def wall() -> Plan:
    """More columns and rows than a page holds."""
    text = column().split("[[pieces]]")[0]
    text += """
[[pieces]]
name    = "Photo wall"
kind    = "wall"
width   = "16 ft"
height  = "7 ft"
cluster = "4 x 5in @ 4.5in"
shades  = ["white", "coral"]
pattern = "diagonal"
"""
    return make_plan(job(text))


def test_a_wall_is_shown_as_it_stands_every_balloon_once() -> None:
    assembly = wall().pieces[0].assembly
    assert is_grid(assembly)
    assert not is_grid(example_plan().pieces[0].assembly)
    across = len(np.unique(np.round([made.at[0] for made in assembly.clusters], 2)))
    for wide, high in ((170.0, 200.0), (80.0, 60.0)):
        parts = grid_parts(assembly, wide, high)
        assert sum(len(part.discs) for part in parts) == len(assembly)
        assert all(part.width_mm <= wide and part.height_mm <= high for part in parts)
        assert all(part.cell_mm >= 7 for part in parts)
        ends = {part.columns for part in parts}, {part.rows for part in parts}
        for spans, most in zip(ends, (across, assembly.layers), strict=True):
            ordered = sorted(spans)
            assert [first for first, _ in ordered] == [1, *(last + 1 for _, last in ordered[:-1])]
            assert ordered[-1][1] == most
    (first, *_) = grid_parts(assembly, 170.0, 200.0)
    low = min(first.discs, key=lambda d: (-round(d.y), d.x))
    corner = min(
        range(len(assembly)),
        key=lambda k: (round(assembly.centre[k, 2], 2), assembly.centre[k, 0]),
    )
    assert low.colour == assembly.shades[assembly.shade[corner]].colour


def test_a_walls_sheet_keeps_to_its_page() -> None:
    data = data_of(wall())
    assert pdf.outside(data, SIDE, TOP, BOTTOM) == []
    assert pdf.overlapping(data) == []


# ---- steps -------------------------------------------------------------------------------------


def test_a_closer_look_shows_all_that_is_new() -> None:
    for piece in example_plan().pieces:
        looks = list(step_looks(piece.assembly))
        assert len(looks) == len(piece.assembly.steps)
        for step, look in zip(piece.assembly.steps, looks, strict=True):
            if look.close is None:
                continue
            whole = {e.row for e in look.whole.of_kind("balloon")}
            close = {e.row for e in look.close.of_kind("balloon")}
            assert set(step.balloons) & whole <= close
            canvas, small = look.whole.canvas, look.close.canvas
            assert canvas.left <= small.left < small.right <= canvas.right
            assert canvas.top <= small.top < small.bottom <= canvas.bottom


def test_only_hand_movements_that_are_needed_are_shown() -> None:
    swirl = make_sheet_of(make_plan(job(column())), TODAY)
    assert swirl.techniques == ("size", "duplet", "quad", "lock", "nest")
    whole = make_sheet_of(example_plan(), TODAY)
    assert set(whole.techniques) == set(TECHNIQUES) - {"stuff"}  # no shade of two balloons
    for name in whole.techniques:
        assert said(TECHNIQUES[name].title, example())
        for panel in TECHNIQUES[name].panels:
            assert said(panel.caption, example())
            assert to_svg(panel.drawing()).startswith("<svg")


# ---- page --------------------------------------------------------------------------------------


def test_the_demo_takes_eighteen_pages_and_a_piece_two() -> None:
    """The issue's own bounds; a garland's list in order may add one page."""
    text = files("airwright.job").joinpath("examples", "harbour-festival.toml").read_text("utf-8")
    found = read_job(text, SPECS).job
    assert found is not None
    plan = make_plan(found)
    data = data_of(plan)
    assert pdf.page_count(data) <= 18
    heads = Counter(
        text.split("\n")[0].removeprefix("Harbour festival ") for text in pages_of(data)
    )
    for piece in plan.in_scope:
        assert heads[piece.name] <= 2 + (piece.spec.kind in ("garland", "wall")), piece.name
    assert pdf.outside(data, SIDE, TOP, BOTTOM) == []
    assert pdf.overlapping(data) == []


ODD = ("endless", "scripts", "markup", "alone")


@pytest.mark.parametrize("case", ODD)
def test_everything_stands_inside_the_margins_and_nothing_over_another(case: str) -> None:
    data = data_of(CASES[case]())
    assert pdf.outside(data, SIDE, TOP, BOTTOM) == []
    assert pdf.overlapping(data) == []


def test_a_chart_of_many_layers_keeps_to_its_page() -> None:
    data = data_of(tall())
    assert pdf.outside(data, SIDE, TOP, BOTTOM) == []
    assert pdf.overlapping(data) == []


def test_forty_pieces_have_a_sheet_each() -> None:
    plan = CASES["forty"]()
    data = data_of(plan)
    first = "".join(pages_of(data)[:3])
    for piece in plan.in_scope:
        assert pdf.run_together(piece.name) in pdf.run_together(first)
    assert len(pages_of(data)) <= 40 * 2 + 8


def test_any_script_prints_in_names_and_shades() -> None:
    (paper,) = make(request_for(plan_with([ARABIC, CJK, HEBREW]), TODAY))
    assert paper.findings == ()


def bare(count: int) -> Assembly:
    """The first balloons of a piece, and nothing round them."""
    whole = example_plan().piece("Swirl column").assembly
    keep = slice(0, count)
    return replace(
        whole,
        **{
            name: getattr(whole, name)[keep]
            for name in ("centre", "radius", "axis", "stock", "shade", "layer", "role")
        },
        cluster=np.full(count, -1, dtype=np.int32),
        slot=np.full(count, -1, dtype=np.int32),
        clusters=(),
        hardware=(),
        strands=(),
        fabrics=(),
        steps=(),
        operations=(),
        layers=0,
        layers_range=None,
        pitch_m=None,
    )


def test_a_piece_of_one_balloon_and_nothing_else() -> None:
    plan = plan_with(["Lone"])
    piece = plan.pieces[0]
    from airwright.plan.planning import plan_piece

    lone = plan_piece(piece.spec, bare(1), piece.place, plan.context.catalog)
    alone = replace(plan, pieces=(lone,))
    data = data_of(alone)
    assert said("Lone", data)
    assert make_sheet_of(alone, TODAY).pieces[0].balloons == 1
    assert pdf.outside(data, SIDE, TOP, BOTTOM) == []


def test_metric_jobs_are_wholly_metric() -> None:
    plan = plan_with(["One"], studio=studio_with(house={"units": System.METRIC}))
    data = data_of(plan)
    assert pdf.page_size_mm(data) == pytest.approx((210, 297), abs=0.1)
    assert said("24.1 cm", data)
    assert not re.search(r"\d (in|ft|lb|mph)\b", pdf.whole_text(data))


def test_equal_inputs_give_equal_bytes_and_others_another_fingerprint() -> None:
    first, second = (make(request_for(example_plan(), TODAY))[0] for _ in range(2))
    assert first == second
    later = make(request_for(example_plan(), TODAY + dt.timedelta(days=1)))[0]
    assert later.fingerprint != first.fingerprint
