"""Two people clicking and typing at one job faster than the desk answers: nothing goes stale.

Answers wait up to 800 ms, in any order. At the end panel, picture, counts and the stored file
agree, nothing was thrown, and every action was done or refused in words.
`WALKS=5` tries more seeds, `WALK_ACTIONS=300` walks on for longer.
"""

from __future__ import annotations

import logging
import os
import random
import tomllib
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Error

from tests.e2e.conftest import RunningDesk, Tab

pytestmark = [pytest.mark.browser, pytest.mark.slow]

log = logging.getLogger("walk")

WALKS = int(os.environ.get("WALKS", "1"))
ACTIONS = int(os.environ.get("WALK_ACTIONS", "100"))
SLOWEST_S = 0.8
MOST_PIECES = 6
HASTE_MS = 400  # a button that is not there by then was taken away by somebody else

SLOW_DESK = """
import asyncio, datetime as dt, random, sys, threading
from pathlib import Path
import uvicorn
from airwright.desk import DeskSettings, create_app

class Late:
    def __init__(self, app):
        self.app, self.dice, self.lock = app, random.Random(7), threading.Lock()
    async def __call__(self, scope, receive, send):
        path = scope.get("path", "")
        slow = scope["type"] == "http" and ("/api/jobs/" in path or path.endswith("/panel"))
        with self.lock:
            before, after = self.dice.random() / 4, self.dice.random() * 3 / 4
        if not slow:
            return await self.app(scope, receive, send)
        await asyncio.sleep(before * SLOWEST)
        held = []
        async def hold(message):
            held.append(message)
        await self.app(scope, receive, hold)
        await asyncio.sleep(after * SLOWEST)
        for message in held:
            await send(message)

app = create_app(DeskSettings(folder=Path(sys.argv[1]), port=int(sys.argv[2]), workers=0,
                              open_browser=False, today=lambda: dt.date(2027, 3, 1)))
uvicorn.run(Late(app), host="127.0.0.1", port=int(sys.argv[2]), log_level="warning")
""".replace("SLOWEST", str(SLOWEST_S))


@pytest.fixture(scope="module")
def slow_desk(tmp_path_factory: pytest.TempPathFactory, bundled: None) -> Iterator[RunningDesk]:
    running = RunningDesk(tmp_path_factory.mktemp("slow"), SLOW_DESK)
    yield running
    running.stop()


class Walker:
    """One person at the job, who never waits for an answer."""

    def __init__(self, tab: Tab, dice: random.Random) -> None:
        self.tab, self.page, self.dice = tab, tab.page, dice
        self.done = self.refused = 0
        self.strange: list[str] = []
        self.page.on("response", self._answered)

    def _answered(self, answer: Any) -> None:
        if not answer.url.endswith(("/edits", "/undo", "/redo")):
            return
        if answer.status == 200:
            self.done += 1
        elif answer.status in (409, 422):
            self.refused += 1
        else:
            self.strange.append(f"{answer.status} {answer.url}")

    def act(self) -> None:
        weighted: list[tuple[Callable[[], None], int]] = [
            (self.click, 6), (self.double_click, 4), (self.type_one, 6), (self.type_two, 4),
            (self.undo, 5), (self.undo_fast, 2), (self.redo, 2), (self.add, 2),
            (self.duplicate, 2), (self.remove, 3), (self.mirror, 2), (self.move_chip, 2),
        ]  # fmt: skip
        acts = [act for act, weight in weighted for _ in range(weight)]
        try:
            self.dice.choice(acts)()
        except Error as problem:
            if "Timeout" not in str(problem) and "not attached" not in str(problem):
                raise

    def tag(self) -> Any:
        tags = self.page.locator(".piece-tag")
        return tags.nth(self.dice.randrange(max(tags.count(), 1)))

    def click(self) -> None:
        self.tag().click(timeout=HASTE_MS)

    def double_click(self) -> None:
        self.tag().dblclick(timeout=HASTE_MS)

    def field(self, label: str, value: str) -> None:
        found = self.page.get_by_label(label, exact=True).first
        found.fill(value, timeout=HASTE_MS)
        found.press("Tab", timeout=HASTE_MS)

    def type_one(self) -> None:
        self.field("Height", f"{self.dice.randrange(5, 9)} ft")

    def type_two(self) -> None:
        self.field("Count", str(self.dice.randrange(1, 4)))
        self.field("Height", f"{self.dice.randrange(5, 9)} ft")

    def undo(self) -> None:
        self.page.locator(".steps-back button").first.click(timeout=HASTE_MS)

    def undo_fast(self) -> None:
        for _ in range(3):
            self.undo()

    def redo(self) -> None:
        self.page.locator(".steps-back button").nth(1).click(timeout=HASTE_MS)

    def tool(self, word: str) -> None:
        self.page.locator(f".panel-tools button:text-is('{word}')").click(timeout=HASTE_MS)

    def few(self) -> bool:
        return bool(self.page.locator(".piece-tag").count() <= MOST_PIECES)

    def add(self) -> None:
        if self.few():
            self.page.evaluate(
                "document.querySelector('form[data-do=add] button').form.requestSubmit()"
            )

    def duplicate(self) -> None:
        if self.few():
            self.tool("Duplicate")

    def remove(self) -> None:
        if self.page.locator(".piece-tag").count() > 2:
            self.tool("Remove")
            ask = self.page.locator("#ask button[value=yes]")
            if ask.is_visible():
                ask.click(timeout=HASTE_MS)

    def mirror(self) -> None:
        self.tool("Mirror")

    def move_chip(self) -> None:
        self.page.locator(".chip-hold").first.press("ArrowRight", timeout=HASTE_MS)


def settled(tab: Tab, job: str) -> Any:
    """The job's state once panel, figures and picture of a browser show the version that stands."""

    def shows() -> bool:
        version = tab.context.request.get(f"/api{job}/version").json()["version"]
        seen = (
            tab.page.get_attribute("#side", "data-version"),
            tab.page.get_attribute("#tally", "data-version"),
            tab.page.get_attribute("body", "data-drawn"),
        )
        return seen == (str(version),) * 3

    tab.until(shows, "the version that stands, everywhere", 60)
    token = tab.page.get_attribute("meta[name=desk-token]", "content")
    answer = tab.context.request.post(
        f"/api{job}/state", data={"have": []}, headers={"x-desk-token": str(token)}
    )
    return answer.json()


def agrees(tab: Tab, job: str) -> None:
    """Panel, list, picture, figures and the stored file say the same."""
    state, page = settled(tab, job), tab.page
    pieces = tomllib.loads(tab.context.request.get(f"{job}/job.toml").text()).get("pieces", [])
    names = [piece["name"] for piece in pieces]
    assert page.locator(".piece-tag[data-piece] strong").all_inner_texts() == names
    totals = state["totals"]
    assert page.get_attribute("body", "data-balloons") == str(
        sum(p["balloons"] * p["count"] for p in state["pieces"])
    )
    if totals is not None:
        balloons = page.inner_text("[data-fact=balloons]").replace(",", "")
        assert int(balloons) == totals["balloons"]
        price = page.inner_text("[data-fact=price]").strip("$").replace(",", "")
        assert float(price) == float(totals["price"])
    chosen = page.locator(".piece-tag[aria-current]")
    assert chosen.count() == 1
    index = chosen.get_attribute("data-piece")
    shown = page.get_attribute("#side", "data-piece")
    assert (index or "") == shown
    if index is not None:
        piece = pieces[int(index)]
        assert page.get_by_label("Name", exact=True).input_value() == piece["name"]
        if "height" in piece:
            height = page.get_by_label("Height", exact=True).first.input_value()
            assert height == piece["height"]


@pytest.mark.parametrize("seed", range(1, WALKS + 1))
def test_nothing_goes_stale_on_a_random_walk(
    browser: Any, slow_desk: RunningDesk, seed: int, record_property: Callable[[str, str], None]
) -> None:
    dice = random.Random(seed)
    tabs = [Tab(browser, slow_desk), Tab(browser, slow_desk)]
    job = tabs[0].new_job()
    for tab in tabs:
        tab.bench(f"{job}?piece=0")
    walkers = [Walker(tab, dice) for tab in tabs]
    for _ in range(ACTIONS):
        dice.choice(walkers).act()
    for tab in tabs:
        tab.page.keyboard.press("Tab")  # what is still being typed is said, too
    for tab in tabs:  # nobody's change is still on its way
        tab.page.wait_for_selector("#bench[data-asking='0']", timeout=120_000)
    for tab in tabs:
        agrees(tab, job)
    done = sum(walker.done for walker in walkers)
    refused = sum(walker.refused for walker in walkers)
    record_property("walk", f"seed {seed}: {ACTIONS} actions, {done} done, {refused} refused")
    log.info("seed %s: %s actions, %s answered, %s refused in words", seed, ACTIONS, done, refused)
    for tab, walker in zip(tabs, walkers, strict=True):
        assert walker.strange == []
        told = [c for c in tab.complaints if "409" not in c and "422" not in c]
        assert told == []
        tab.close()
    assert done > ACTIONS / 10  # most clicks only choose; a busy machine misses some buttons
