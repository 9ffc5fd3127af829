"""Counting on the phone: a photograph of a bar code finds its goods, in a real browser."""

from __future__ import annotations

import io
import re
from typing import Any

import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import expect

from tests.e2e.conftest import RunningDesk, Tab

pytestmark = [pytest.mark.browser, pytest.mark.slow]

CODE = "4006381333931"
"""The example of an EAN-13 in many descriptions of GS1's symbol; its check digit is 1."""

LEFT = ("0001101", "0011001", "0010011", "0111101", "0100011", "0110001", "0101111", "0111011",
        "0110111", "0001011")  # fmt: skip
PARITY = ("LLLLLL", "LLGLGG", "LLGGLG", "LLGGGL", "LGLLGG", "LGGLLG", "LGGGLL", "LGLGLG", "LGLGGL",
          "LGGLGL")  # fmt: skip
"""Bars of the digits and which of them are mirrored by the first digit (ISO/IEC 15420)."""


def bars(code: str) -> str:
    right = [pattern.translate(str.maketrans("01", "10")) for pattern in LEFT]
    mirrored = [pattern[::-1] for pattern in right]
    half = "".join(
        (LEFT if kind == "L" else mirrored)[int(digit)]
        for digit, kind in zip(code[1:7], PARITY[int(code[0])], strict=True)
    )
    return f"101{half}01010{''.join(right[int(digit)] for digit in code[7:])}101"


def photograph(code: str) -> bytes:
    picture = Image.new("RGB", (420, 220), "#e9e4da")
    draw = ImageDraw.Draw(picture)
    draw.rectangle((30, 20, 390, 200), fill="white")
    for at, bar in enumerate(bars(code)):
        if bar == "1":
            draw.rectangle((68 + at * 3, 40, 70 + at * 3, 180), fill="#20242a")
    out = io.BytesIO()
    picture.rotate(4, expand=True, fillcolor="#e9e4da").save(out, "PNG")
    return out.getvalue()


def test_a_photographed_bar_code_finds_its_goods(browser: Any, desk: RunningDesk) -> None:
    tab = Tab(browser, desk, 390)
    page = tab.page
    page.goto("/stock")
    page.get_by_label("Item").fill("11in round balloon")
    page.get_by_label("Shade").fill("coral")
    page.get_by_label("Pieces").fill("40")
    page.get_by_role("button", name="Put it there").click()
    page.goto("/stock/count")
    shown = {"name": "code.png", "mimeType": "image/png", "buffer": photograph(CODE)}
    page.get_by_label("Scan with the camera").set_input_files(shown)
    page.wait_for_url(re.compile(CODE))
    page.get_by_role("button", name="Remember").click()
    expect(page.locator(".count-list li")).to_have_count(1)
    page.get_by_label("Counted").fill("38")
    page.get_by_role("button", name="Save").click()
    page.goto("/stock")
    expect(page.locator("tbody tr").first).to_contain_text("38")
    blank = Image.new("RGB", (200, 100), "white")
    out = io.BytesIO()
    blank.save(out, "PNG")
    page.goto("/stock/count")
    empty = {"name": "blank.png", "mimeType": "image/png", "buffer": out.getvalue()}
    page.get_by_label("Scan with the camera").set_input_files(empty)
    expect(page.locator("#scan-said")).to_contain_text("No bar code was found")
    assert tab.complaints == []
    tab.close()
