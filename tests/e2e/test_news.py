"""What somebody else changes shows itself on open pages, and spares what is being typed."""

from __future__ import annotations

import time
from typing import Any

import pytest

from tests.e2e.conftest import RunningDesk, Tab

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def listening(page: Any, address: str) -> None:
    """Open a page and wait until the desk's news reach it."""
    with page.expect_response("**/api/news"):
        page.goto(address)


def test_an_open_page_follows_another_desk(browser: Any, desk: RunningDesk) -> None:
    here, there = Tab(browser, desk), Tab(browser, desk)
    listening(here.page, "/contacts")
    there.page.goto("/contacts/new")
    there.page.fill("[name=name]", "Saltmarsh Ferries")
    there.page.click("form.card button.accent")
    here.page.wait_for_selector("text=Saltmarsh Ferries")

    with here.page.expect_response("**/api/news"):
        here.page.click("text=Saltmarsh Ferries")
    here.page.fill("[name=phone]", "half typed")
    there.page.goto(here.page.url)
    there.page.fill("[name=note]", "calls back")
    there.page.click("form.card button.accent")
    here.page.wait_for_selector("#news-bar:not([hidden])")
    assert here.page.input_value("[name=phone]") == "half typed"
    here.page.click("#news-bar button")
    here.page.wait_for_selector("textarea:text('calls back')")
    assert here.complaints == []


def test_a_desk_with_open_pages_stops(browser: Any, desk: RunningDesk) -> None:
    tab = Tab(browser, desk)
    listening(tab.page, "/contacts")
    began = time.monotonic()
    desk.stop()  # waits 20 s for it
    assert time.monotonic() - began < 20
    assert desk.process is not None
    assert desk.process.returncode is not None
    desk.start()
