"""A photo of the client's room is marked by mouse, by keys, and by touch under a loupe."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from tests import rooms
from tests.e2e.conftest import RunningDesk, Tab

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def room(tab: Tab) -> None:
    """The page of a photo that was just sent in."""
    job = tab.new_job()
    page = tab.page
    page.goto(f"{job}/room")
    picture = {"name": "pier_hall.jpg", "mimeType": "image/jpeg", "buffer": rooms.photo()}
    page.set_input_files("input[name=photo]", picture)
    page.click("text=Add photo")
    page.wait_for_url(re.compile("/room/.+"))
    page.wait_for_selector("#corner-3")


def middle(tab: Tab, selector: str) -> tuple[float, float]:
    box = tab.page.locator(selector).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def on_screen(tab: Tab, pixel: list[float]) -> tuple[float, float]:
    box = tab.page.locator("#room-svg > image").bounding_box()
    assert box is not None
    scale = box["width"] / rooms.WIDE
    return box["x"] + pixel[0] * scale, box["y"] + pixel[1] * scale


def drag(tab: Tab, selector: str, pixel: list[float]) -> None:
    tab.page.mouse.move(*middle(tab, selector))
    tab.page.mouse.down()
    tab.page.mouse.move(*on_screen(tab, pixel), steps=3)
    tab.page.mouse.up()


def kept(tab: Tab, name: str) -> Any:
    return json.loads(tab.page.input_value(f"input[name={name}]"))


def test_four_points_and_an_outline_are_dragged_and_checked(tab: Tab) -> None:
    room(tab)
    page = tab.page
    for at, pixel in enumerate(rooms.corners()):
        drag(tab, f"#corner-{at} .room-dot", pixel)
    assert kept(tab, "corners") == [pytest.approx(p, abs=2) for p in rooms.corners()]
    page.click("#room-outline")
    for at, pixel in enumerate(rooms.table()):
        drag(tab, f"#outline-0-{at} .room-dot", pixel)
    page.fill("input[name=width]", "3 m")
    page.fill("input[name=depth]", "2 m")
    page.click("text=Save and check")
    page.wait_for_selector(".room-floor-lines line", state="attached")
    assert "will stand there to about" in page.inner_text(".room-side")
    assert kept(tab, "in_front") == [[pytest.approx(p, abs=2) for p in rooms.table()]]
    drag(tab, "#stand .room-dot", [700.0, 760.0])
    assert kept(tab, "stand") == pytest.approx([700, 760], abs=2)


def test_keys_move_a_point_and_remove_a_corner_of_an_outline(tab: Tab) -> None:
    room(tab)
    page = tab.page
    before = kept(tab, "corners")
    page.locator("#corner-1").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowUp")
    assert kept(tab, "corners")[1] == [before[1][0] + 1, before[1][1] - 20]
    page.click("#room-outline")
    page.locator("#outline-0-2").focus()
    page.keyboard.press("Delete")
    assert len(kept(tab, "in_front")[0]) == 3
    page.click("#room-outline-out")
    assert kept(tab, "in_front") == []


def test_a_finger_sees_under_itself(browser: Any, desk: RunningDesk) -> None:
    tab = Tab(browser, desk, width=390, has_touch=True, is_mobile=True)
    room(tab)
    page = tab.page
    page.locator("#room-svg").scroll_into_view_if_needed()
    touch = tab.context.new_cdp_session(page)

    def finger(kind: str, spot: tuple[float, float] | None) -> None:
        points = [] if spot is None else [{"x": spot[0], "y": spot[1]}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    goal = rooms.corners()[0]
    finger("touchStart", middle(tab, "#corner-0 .room-dot"))
    page.wait_for_selector(".room-loupe")
    finger("touchMove", on_screen(tab, goal))
    tab.until(lambda: kept(tab, "corners")[0] == pytest.approx(goal, abs=5), "the point moved")
    shift = page.get_attribute(".room-loupe image", "transform")
    x, y = kept(tab, "corners")[0]
    assert shift == f"scale(3) translate({-x} {-y})"
    finger("touchEnd", None)
    page.wait_for_selector(".room-loupe", state="detached")
    assert tab.complaints == []
    tab.close()
