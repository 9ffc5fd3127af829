"""The chart of a piece, painted by mouse and by keys."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from tests.e2e.conftest import Tab

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_the_chart_is_painted_by_mouse_and_by_keys(tab: Tab) -> None:
    job = tab.new_job()
    tab.bench(f"{job}?piece=0")
    page = tab.page
    page.click(".segment >> text=Chart")
    page.click(".palette >> text=white")
    cell = page.locator("[data-cell='0-0']")
    assert "coral" in str(cell.get_attribute("aria-label"))
    cell.click()
    tab.version(2)
    page.locator("[data-cell='0-0']").focus()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    tab.version(3)
    chart = tomllib.loads(tab.context.request.get(f"{job}/job.toml").text())["pieces"][0]["chart"]
    assert chart[0][0] == chart[1][1] == "white"
    assert len(chart) == 9


def test_a_chart_is_filled_lined_mirrored_and_picked_from(tab: Tab) -> None:
    def chart() -> Any:
        return tomllib.loads(tab.context.request.get(f"{job}/job.toml").text())["pieces"][0][
            "chart"
        ]

    job = tab.new_job()
    tab.bench(f"{job}?piece=0")
    page = tab.page
    price = page.inner_text("[data-fact=price]")
    page.click(".segment >> text=Chart")
    page.click(".palette >> text=white")
    page.click(".chart-tools >> text=Line")
    page.hover("[data-cell='0-1']")
    page.mouse.down()
    for layer in (1, 2, 3):
        page.hover(f"[data-cell='{layer}-1']")
    page.mouse.up()
    tab.version(2)
    assert [row[1] for row in chart()[:4]] == ["white"] * 4
    page.click(".chart-tools >> text=Pick shade")
    page.click("[data-cell='8-0']")
    picked = page.get_attribute(".palette [aria-checked=true]", "data-shade")
    assert picked == chart()[8][0]
    page.click(".palette >> text=teal")
    page.click(".chart-tools >> text=Fill")
    page.click("[data-cell='2-1']")
    tab.version(3)
    assert [row[1] for row in chart()[:4]] == ["teal"] * 4
    # By keys, on both sides: what is painted on the left is painted on the right.
    page.click(".palette >> text=coral")
    page.click(".chart-tools >> text=Paint")
    page.click(".chart-tools >> text=Mirror")
    page.locator("[data-cell='4-1']").focus()
    page.keyboard.press("Enter")
    tab.version(4)
    assert chart()[4][1] == chart()[4][3] == "coral"
    assert page.inner_text("[data-fact=price]") == price


def test_two_quick_strokes_are_both_kept(tab: Tab) -> None:
    job = tab.new_job()
    tab.bench(f"{job}?piece=0")
    page = tab.page
    page.click(".segment >> text=Chart")
    page.click(".palette >> text=white")
    held: list[Any] = []
    page.route("**/edits", lambda route: route.continue_() if held else held.append(route))
    first, second = page.locator(".chart-row").first.locator("button:not([title=white])").all()[:2]
    cells = [one.get_attribute("data-cell") for one in (first, second)]
    page.click(f"[data-cell='{cells[0]}']")
    tab.until(lambda: len(held) == 1, "the first stroke on its way")
    page.click(f"[data-cell='{cells[1]}']")
    held[0].continue_()
    tab.version(3)
    chart = tomllib.loads(tab.context.request.get(f"{job}/job.toml").text())["pieces"][0]["chart"]
    painted = [chart[int(layer)][int(slot)] for layer, slot in (str(c).split("-") for c in cells)]
    assert painted == ["white", "white"]
