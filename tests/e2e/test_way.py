"""A half arch at the desk: added from the gallery, its way dragged and moved by keys."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests.e2e.conftest import RunningDesk, Tab

pytestmark = [pytest.mark.browser, pytest.mark.slow]

POINT = "circle[data-way-point]"


@pytest.fixture
def tab(browser: Any, desk: RunningDesk) -> Iterator[Tab]:
    opened = Tab(browser, desk)
    yield opened
    complaints = opened.complaints
    opened.close()
    assert complaints == []


def add_half_arch(tab: Tab) -> None:
    tab.bench(tab.new_job())
    tab.page.click("#piece-add")
    tab.page.locator(".gallery-card", has_text="Half arch").first.click()
    tab.page.wait_for_selector(POINT)


def spot(tab: Tab, point: int) -> tuple[str, str]:
    """What the fields of a point say."""
    found = []
    for key in ("x", "z"):
        field = tab.page.locator(f'[data-path$=\'"points", {point}, "{key}"]\']')
        found.append(str(field.input_value()))
    return found[0], found[1]


def test_a_point_is_dragged_in_the_front_view(tab: Tab) -> None:
    add_half_arch(tab)
    point = tab.page.locator(POINT).nth(4)
    point.scroll_into_view_if_needed()
    before = spot(tab, 4)
    box = point.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    tab.page.mouse.move(x, y)
    tab.page.mouse.down()
    tab.page.mouse.move(x + 12, y - 8, steps=4)
    tab.page.mouse.up()
    tab.version(3)
    after = spot(tab, 4)
    assert after[0] != before[0]
    assert re.fullmatch(r"-?(\d+ ft)? ?(\d+ in)?", after[0])


def test_a_point_is_moved_by_keys_and_taken_out(tab: Tab) -> None:
    add_half_arch(tab)
    many = tab.page.locator(POINT).count()
    before = spot(tab, 2)
    tab.page.locator(POINT).nth(2).focus()
    tab.page.keyboard.press("ArrowLeft")
    tab.version(3)
    assert spot(tab, 2)[0] != before[0]
    tab.page.locator(POINT).nth(3).focus()
    tab.page.keyboard.press("Delete")
    tab.page.wait_for_function(
        "([point, many]) => document.querySelectorAll(point).length === many",
        arg=[POINT, many - 1],
    )
