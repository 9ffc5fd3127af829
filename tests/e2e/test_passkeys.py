"""A passkey is made and used in a real browser, with the authenticator its tools can play."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.e2e.conftest import RunningDesk

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PASSWORD = "correct pony battery"


@pytest.fixture
def desk(tmp_path: Path, bundled: None) -> Iterator[RunningDesk]:
    """A desk of its own for each test: both begin without accounts."""
    running = RunningDesk(tmp_path)
    yield running
    running.stop()


@pytest.fixture
def page(browser: Any, desk: RunningDesk) -> Iterator[Any]:
    """A browser at the desk's name (no browser makes a passkey for a bare address)."""
    context = browser.new_context(base_url=f"http://localhost:{desk.port}")
    page = context.new_page()
    tools = context.new_cdp_session(page)
    tools.send("WebAuthn.enable")
    options = {"protocol": "ctap2", "transport": "internal", "hasResidentKey": True,
               "hasUserVerification": True, "isUserVerified": True,
               "automaticPresenceSimulation": True}  # fmt: skip
    tools.send("WebAuthn.addVirtualAuthenticator", {"options": options})
    yield page
    context.close()


def make_first_account(page: Any) -> None:
    """The owner's, who is signed in then."""
    page.goto("/team")
    for name, value in (("name", "Ada"), ("login", "ada"), ("password", PASSWORD)):
        page.fill(f"[name={name}]", value)
    page.click("text=Add account")
    page.wait_for_selector("text=Accounts are on")


def test_an_owner_comes_in_by_a_passkey(page: Any) -> None:
    make_first_account(page)
    page.goto("/account")
    page.click("text=Add a passkey")
    page.fill("[data-passkey-name]", "Workshop laptop")
    page.click("button:text-is('Make it')")
    page.wait_for_selector("li:has-text('Workshop laptop')")

    page.click("text=Sign out")
    page.wait_for_url("**/sign-in")
    with page.expect_request("**/sign-in/passkey") as signed:
        page.click("text=Sign in with a passkey")
    page.wait_for_url("**:*/")
    assert page.locator(".shell .who").inner_text() == "Ada"

    # What was signed once opens nothing a second time, nor does anything like it.
    body = signed.value.post_data_json
    page.click("text=Sign out")
    page.wait_for_url("**/sign-in")
    token = page.get_attribute("meta[name=desk-token]", "content")
    head = {"x-desk-token": token, "content-type": "application/json"}
    assert page.request.post("/sign-in/passkey", data=json.dumps(body), headers=head).status == 403
    page.request.post("/sign-in/passkey/options", data="{}", headers=head)
    assert page.request.post("/sign-in/passkey", data=json.dumps(body), headers=head).status == 403
    for wrong in ({}, {"id": 3}, {"id": body["id"]}, {"id": body["id"], "response": {}}):
        page.request.post("/sign-in/passkey/options", data="{}", headers=head)
        answer = page.request.post("/sign-in/passkey", data=json.dumps(wrong), headers=head)
        assert answer.status == 403, wrong
    assert page.request.get("/team", max_redirects=0).status == 303

    # Removed, it is known no more.
    page.click("text=Sign in with a passkey")
    page.wait_for_url("**:*/")
    page.goto("/account")
    page.click("section:has(h2:text-is('Passkeys')) button:text-is('Remove')")
    page.wait_for_selector("text=Saved.")
    page.click("text=Sign out")
    page.wait_for_url("**/sign-in")
    assert page.locator("[data-passkey]").count() == 0


def test_no_passkey_is_offered_where_browsers_make_none(browser: Any, desk: RunningDesk) -> None:
    page = browser.new_context(base_url=desk.address).new_page()
    make_first_account(page)
    page.goto("/account")
    assert page.locator("text=Add a passkey").count() == 0
    assert "only where the desk has a name" in page.locator("main").inner_text()
