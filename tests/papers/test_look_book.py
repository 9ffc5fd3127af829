"""The look book: what it says is what was planned, whole, on paper and on the page."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from decimal import Decimal
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.job import Studio
from airwright.job.examples import designs_path
from airwright.papers.common.document import Paper
from airwright.papers.common.page import A4, LETTER
from airwright.papers.common.pictures import Picture
from airwright.papers.look_book import (
    Look,
    LookBook,
    book_of,
    make_looks,
    plan_looks,
    read_designs,
)
from airwright.papers.look_book.render import GAP_MM, look_book, mosaic, price_menu
from airwright.papers.look_book.web import WebPicture, web_page
from airwright.papers.look_book.words import look_words, small_print
from airwright.units import System
from tests.papers.pdf_reading import chars, page_count, page_size_mm, run_together, texts
from tests.services import CHROMIUM_ARGS

TODAY = dt.date(2027, 3, 1)
HOSTILE = '<script>alert("1")</script> #import "x" & $'
SQUARE = (
    b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3">'
    b'<rect width="4" height="3" fill="#c0d0d0"/></svg>'
)


@cache
def planned() -> tuple[Look, ...]:
    with designs_path() as folder:
        designs, troubles = read_designs(folder)
        assert troubles == ()
        looks, more = plan_looks(designs[:3], Studio())
    assert more == ()
    return looks


@cache
def book() -> LookBook:
    return book_of(planned(), Studio(), TODAY)


@cache
def made() -> dict[str, Paper]:
    return {paper.path: paper for paper in make_looks(book(), planned(), Studio(), {})}


def pictures(count: int, aspect: float = 4 / 3) -> list[Picture]:
    return [Picture(f"look-{n}.svg", SQUARE, aspect, f"Look {n}") for n in range(count)]


def many(count: int, **changes: Any) -> LookBook:
    looks = tuple(replace(book().looks[n % 3], **changes) for n in range(count))
    return replace(book(), looks=looks)


# ---- the shipped designs and their figures -------------------------------------------


def test_every_shipped_design_is_read_and_labelled_as_invented() -> None:
    with designs_path() as folder:
        designs, troubles = read_designs(folder)
    assert troubles == ()
    assert 4 <= len(designs) <= 16
    assert len({design.job.pieces[0].kind for design in designs}) >= 4
    assert all("Invented example." in design.job.job.note for design in designs)


def test_prices_are_the_plans_own_and_from_is_the_lowest() -> None:
    for look, offer in zip(planned(), book().looks, strict=True):
        assert [s.price for s in offer.sizes] == [s.option.pieces_price for s in look.sizes]
        assert offer.lowest == min(s.price for s in offer.sizes)
        assert [s.name for s in offer.sizes] == ["Small", "Medium", "Large"]
        assert offer.sizes[1].balloons == look.usual.option.balloons


def test_larger_costs_no_less_and_holds_no_fewer() -> None:
    for offer in book().looks:
        balloons = [size.balloons for size in offer.sizes]
        prices = [size.price for size in offer.sizes]
        assert balloons == sorted(balloons)
        assert prices == sorted(prices)


def test_lead_time_is_supplies_and_making() -> None:
    longer = book_of(planned(), Studio(), TODAY, supply_days=20)
    for offer, later in zip(book().looks, longer.looks, strict=True):
        assert later.days - offer.days == 13
        assert offer.days > book().supply_days  # nothing is made in no time


def test_a_design_that_cannot_grow_is_offered_in_the_sizes_it_has() -> None:
    with designs_path() as folder:
        (design,) = (d for d in read_designs(folder)[0] if d.path.stem == "harbour-lights")
    tall = design.job.pieces[0].model_copy(update={"height": 3.9})  # 13 ft at the most
    design = replace(design, job=design.job.model_copy(update={"pieces": (tall,)}))
    looks, troubles = plan_looks([design], Studio())
    assert [size.name for size in looks[0].sizes] == ["Small", "Medium"]
    assert [t.finding.code for t in troubles] == ["size-left-out"]


# ---- paper -------------------------------------------------------------------------------


def test_a_cover_and_a_page_a_look() -> None:
    data = made()["look-book.pdf"].data
    pages = texts(data)
    assert len(pages) == 1 + len(book().looks)
    for offer, page in zip(book().looks, pages[1:], strict=True):
        said = run_together(page)
        assert run_together(offer.name) in said
        for size in look_words(offer, System.FEET)["sizes"]:
            for part in (size["price"], size["tall"], size["wide"], size["balloons"]):
                assert run_together(part) in said
        for swatch in offer.swatches:
            assert swatch.name in page
    assert "Invented" in pages[0]


def test_small_print_says_what_comes_on_top_and_only_that() -> None:
    from airwright.job.charges import Delivery, SetUp, TakeDown

    assert "Delivery, set-up and take-down come on top" in small_print(book())[0]
    near = Studio(delivery=Delivery(rule="none"), set_up=SetUp(show="in the pieces"))
    assert "Take-down comes on top" in small_print(book_of(planned(), near, TODAY))[0]
    folded = near.model_copy(update={"take_down": TakeDown(rule="none")})
    assert "on top" not in small_print(book_of(planned(), folded, TODAY))[0]


@pytest.mark.parametrize("page", [A4, LETTER], ids=["A4", "Letter"])
@pytest.mark.parametrize("count", [1, 2, 6, 13, 30, 60])
def test_the_price_menu_is_one_page(page: Any, count: int) -> None:
    paper = price_menu(many(count), pictures(count), page, System.FEET)
    assert page_count(paper.data) == 1
    assert page_size_mm(paper.data) == pytest.approx((page.width_mm, page.height_mm), abs=0.1)
    said = run_together(texts(paper.data)[0])
    for offer in book().looks[: min(count, 3)]:
        assert run_together(offer.name) in said
        assert said.count(run_together(look_words(offer, System.FEET)["sizes"][2]["price"])) >= 1


@pytest.mark.parametrize("count", [1, 5, 12, 13, 40])
@pytest.mark.parametrize("aspect", [0.75, 1.0, 2.0])
def test_the_book_has_its_pages_whatever_the_number_and_shape(count: int, aspect: float) -> None:
    paper = look_book(many(count), pictures(count, aspect), LETTER, System.FEET)
    assert page_count(paper.data) == count + (2 if count > 12 else 1)
    for page in range(page_count(paper.data)):
        wide, high = page_size_mm(paper.data, page)
        for char in (c for c in chars(paper.data) if c.page == page) if count == 1 else ():
            assert 0 <= char.box[0] < char.box[2] <= wide
            assert 0 <= char.box[1] < char.box[3] <= high


def test_odd_names_print_literally_and_keep_their_place() -> None:
    odd = many(4, name=HOSTILE + " " + "endless" * 30, note="海辺のアーチ " * 20)
    paper = look_book(odd, pictures(4), A4, System.METRIC)
    assert page_count(paper.data) == 5
    assert "script" in texts(paper.data)[1]
    assert page_count(price_menu(odd, pictures(4), A4, System.METRIC).data) == 1


def test_tax_is_named_where_there_is_one() -> None:
    taxed = replace(book(), tax_name="VAT", tax_rate=Decimal("0.19"))
    said = run_together(texts(price_menu(taxed, pictures(3), A4, System.METRIC).data)[0])
    assert "VATof19%" in said
    assert "VAT" not in texts(made()["price-menu.pdf"].data)[0]


def test_equal_input_gives_equal_bytes() -> None:
    again = {p.path: p.data for p in make_looks(book(), planned(), Studio(), {})}
    assert again == {path: paper.data for path, paper in made().items()}


@pytest.mark.closed_form
@given(
    st.lists(st.floats(0.4, 2.5), min_size=1, max_size=6), st.floats(80, 200), st.floats(60, 250)
)
def test_a_mosaic_shows_all_once_and_stays_within_its_area(
    aspects: list[float], wide: float, high: float
) -> None:
    rows = mosaic(aspects, wide, high)
    assert [n for row in rows for n in range(row["first"], row["first"] + row["count"])] == list(
        range(len(aspects))
    )
    tall = sum(row["high"] for row in rows) + GAP_MM * (len(rows) - 1)
    assert tall <= high + 1e-6
    for row in rows:
        across = sum(aspects[row["first"] : row["first"] + row["count"]]) * row["high"]
        assert across + GAP_MM * (row["count"] - 1) <= wide + 1e-6


@pytest.mark.closed_form
def test_two_like_squares_stand_beside_each_other_on_a_wide_page() -> None:
    (row,) = mosaic([1.0, 1.0], 2 * 50 + GAP_MM, 60)
    assert row == {"first": 0, "count": 2, "high": pytest.approx(50)}


# ---- the page ------------------------------------------------------------------------------


class Parsed(HTMLParser):
    """Tags with their attributes, and the text between them."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.said: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.said.append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.tags if name == tag]


def page_text() -> str:
    return made()["index.html"].data.decode()


def test_the_page_asks_nobody_and_runs_nothing() -> None:
    page = Parsed(page_text())
    assert page.all("script") == []
    wanted = [a.get("src") or a.get("href") or "" for _, a in page.tags]
    wanted += re.findall(r"url\(\"?([^\")]+)", page_text())
    for address in filter(None, wanted):
        assert not re.match(r"(?:[a-z]+:)?//", address), address
        local = address.split("#")[0]
        if local and not local.startswith("data:"):
            assert local in made(), f"{address} is not written"


def test_every_look_stands_on_the_page_with_its_figures() -> None:
    page = Parsed(page_text())
    said = run_together("".join(page.said))
    assert len(page.all("article")) == len(book().looks)
    for offer in book().looks:
        words = look_words(offer, System.FEET)
        for part in (
            words["name"],
            words["from"],
            words["days"],
            *(s["name"] for s in words["swatches"]),
        ):
            assert run_together(part) in said
    for image in page.all("img"):
        assert image["alt"]
        assert int(image["width"] or 0) > 0
        assert int(image["height"] or 0) > 0
    anchors = {a["id"] for a in page.all("article")}
    assert {a["href"] for a in page.all("a") if (a["href"] or "").startswith("#")} == {
        f"#{anchor}" for anchor in anchors
    }


def test_odd_names_stay_words_on_the_page() -> None:
    shown = WebPicture('a".svg', HOSTILE, 4, 3, False)
    page = Parsed(
        web_page(many(1, name=HOSTILE, note=HOSTILE), [shown], System.FEET)[0].data.decode()
    )
    assert page.all("script") == []
    assert HOSTILE in page.said
    assert page.all("img")[0]["alt"] == HOSTILE


@pytest.mark.browser
@pytest.mark.parametrize("wide", [390, 820, 1440])
def test_nothing_sticks_out_in_a_browser(wide: int, tmp_path: Path, chromium: str) -> None:
    from playwright.sync_api import sync_playwright

    for path, paper in made().items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_bytes(paper.data)
    asked: list[str] = []
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=list(CHROMIUM_ARGS))
        page = browser.new_page(viewport={"width": wide, "height": 900})
        page.on("request", lambda request: asked.append(request.url))
        page.goto((tmp_path / "index.html").as_uri())
        across = page.evaluate("document.documentElement.scrollWidth")
        loaded = page.evaluate(
            "Promise.all([...document.images].map(i => (i.loading = 'eager', i.decode())))"
            ".then(() => [...document.images].every(i => i.naturalWidth > 0))"
        )
        fonts = page.evaluate("document.fonts.ready.then(f => [...f].map(x => x.status))")
        browser.close()
    assert across <= wide
    assert loaded
    assert "loaded" in fonts
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
