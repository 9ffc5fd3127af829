"""What is changed on a page whose session ended goes out once somebody has signed in again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.e2e.conftest import RunningDesk, Tab
from tests.e2e.test_passkeys import PASSWORD, make_first_account

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture
def tab(browser: Any, desk: RunningDesk) -> Iterator[Tab]:
    """The owner's browser, signed in."""
    opened = Tab(browser, desk)
    if opened.context.request.get("/", max_redirects=0).status == 200:
        make_first_account(opened.page)
    else:
        sign_in(opened.page)
    yield opened
    opened.close()


def sign_in(page: Any) -> None:
    page.goto("/sign-in")
    page.fill("[name=login]", "ada")
    page.fill("[name=password]", PASSWORD)
    page.click("main form button")
    page.wait_for_url("**:*/")


def sign_out_elsewhere(tab: Tab) -> None:
    """In another tab; this one keeps its page, and with it the token of the old session."""
    other = tab.context.new_page()
    other.goto("/account")
    other.click("text=Sign out")
    other.wait_for_url("**/sign-in")
    other.close()


def test_a_change_of_the_design_waits_for_a_sign_in(tab: Tab) -> None:
    page, job = tab.page, tab.new_job()
    tab.bench(f"{job}?piece=0")
    sign_out_elsewhere(tab)
    page.get_by_label("Height", exact=True).fill("7 ft")
    page.keyboard.press("Tab")
    page.wait_for_selector(".said >> text=Your change is kept")
    with tab.context.expect_page() as opened:
        page.click(".said a")
    sign_in(opened.value)
    opened.value.close()
    tab.version(2)
    assert page.get_by_label("Height", exact=True).input_value() == "7 ft"
    assert 'height  = "7 ft"' in tab.context.request.get(f"{job}/job.toml").text()
    assert page.inner_text(".said") == ""


def test_hours_of_the_day_wait_for_a_sign_in(tab: Tab) -> None:
    page, job = tab.page, tab.new_job()
    page.goto(f"{job}/day")
    sign_out_elsewhere(tab)
    page.click("button:text-is('+ 15 min')")
    page.wait_for_selector("[data-net] >> text=Sign in again to send")
    sign_in(page)
    page.goto(f"{job}/day")
    page.wait_for_url("**/day?said=saved")
    assert page.locator(".day-hours li").count() == 1
