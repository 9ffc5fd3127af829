"""Nothing stands outside the margins or over something else, however odd the job."""

from __future__ import annotations

from functools import cache
from importlib import import_module

import pytest
import typst

from airwright.papers.common.page import page_for
from airwright.papers.common.request import request_for
from airwright.papers.sizing_card.render import BOTTOM_MM, SIDE_MM, TOP_MM
from tests.papers import pdf_reading as pdf
from tests.papers.plans import MARKUP, TODAY, example_plan, studio_with
from tests.papers.stress import CASES

# Document: margins at the sides, above and below (the foot of the page stands in the last).
MARGINS = {
    "proposal": (20.0, 18.0, 7.0),
    "load_list": (20.0, 18.0, 7.0),
    "sizing_card": (SIDE_MM, TOP_MM, 3.5),
}
MOST_PAGES = {"proposal": 12, "load_list": 5, "sizing_card": 6}


@cache
def made(document: str, case: str) -> bytes:
    request = request_for(CASES[case](), TODAY)
    (paper,) = import_module(f"airwright.papers.{document}").make(request)
    return paper.data


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("document", MARGINS)
def test_everything_stands_inside_the_margins_and_nothing_over_another(
    document: str, case: str
) -> None:
    data = made(document, case)
    side, top, bottom = MARGINS[document]
    assert len(pdf.chars(data)) > 100
    assert pdf.outside(data, side, top, bottom) == []
    assert pdf.overlapping(data) == []
    assert 1 <= pdf.page_count(data) <= MOST_PAGES[document]


def test_bottom_margin_of_the_card_is_wide_enough_for_its_foot() -> None:
    assert BOTTOM_MM >= 10


@pytest.mark.parametrize("document", MARGINS)
def test_stray_markup_prints_as_typed(document: str) -> None:
    text = pdf.run_together(pdf.whole_text(made(document, "markup")))
    assert pdf.run_together(MARKUP) in text


def test_the_detectors_detect() -> None:
    page = "#set page(width: 100mm, height: 60mm, margin: 20mm)\n"
    over = page + "#place(top + left)[Hello there]#place(top + left, dx: 1mm, dy: 0.6mm)[Hello]"
    off = page + "#place(top + left, dx: 55mm)[Beyond]"
    fine = page + "Hello there, all is well with fifty soft ruffles."
    assert pdf.overlapping(typst.compile(over.encode()))
    assert pdf.outside(typst.compile(off.encode()), 20, 20, 20)
    clean = typst.compile(fine.encode())
    assert not pdf.overlapping(clean)
    assert not pdf.outside(clean, 20, 20, 20)


@pytest.mark.parametrize(
    ("house", "size"),
    [
        ({"units": "feet"}, (215.9, 279.4)),
        ({"units": "metric"}, (210.0, 297.0)),
        ({"units": "feet", "paper": "A4"}, (210.0, 297.0)),
        ({"units": "metric", "paper": "Letter"}, (215.9, 279.4)),
    ],
)
def test_paper_follows_the_units_unless_the_studio_says(
    house: dict[str, str], size: tuple[float, float]
) -> None:
    """A4 is 210 x 297 mm (ISO 216); Letter 8.5 x 11 in (ANSI/ASME Y14.1)."""
    from airwright.units import System

    studio = studio_with(house={**house, "units": System(house["units"])})
    page = page_for(studio.studio)
    assert (page.width_mm, page.height_mm) == pytest.approx(size)


def test_equal_inputs_give_equal_bytes() -> None:
    from airwright.papers import load_list, proposal

    for document in (proposal, load_list):
        first = document.make(request_for(example_plan(), TODAY))
        second = document.make(request_for(example_plan(), TODAY))
        assert first == second
