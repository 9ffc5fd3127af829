"""The client's page in a real browser: decor turned round in 3D, fetched only when asked for."""

from __future__ import annotations

from typing import Any

import pytest

from tests.e2e.conftest import RunningDesk, Tab

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.mark.parametrize("width", [390, 1440])
def test_decor_is_turned_round_in_3d(tab: Tab, browser: Any, desk: RunningDesk, width: int) -> None:
    job = tab.new_job()
    tab.page.goto(f"{job}/offer")
    tab.page.click("text=Send as edition 1")
    address = tab.page.input_value("input[data-copy]")
    client = Tab(browser, desk, width)
    page = client.page
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url.rsplit("/", 1)[-1]))
    page.goto(address)
    assert not [name for name in asked if name.endswith(".glb") or "model-viewer" in name]
    page.click("text=Turn it round in 3D >> nth=0")
    viewer = page.locator("model-viewer").first

    def seen(what: str) -> Any:
        return viewer.evaluate(f"viewer => {what}")

    client.until(lambda: seen("viewer.loaded") is True, "the decor in 3D", 120)
    assert "0.glb" in asked
    # As tall as the decor will be [m]: two columns of the demo job with their toppers.
    assert 1.5 < seen("viewer.getDimensions().y") < 3.5
    assert seen("viewer.getAttribute('ar-scale')") == "fixed"
    assert "in 3D" in str(viewer.get_attribute("alt"))
    # Turned by keys, the camera goes round it.
    before = seen("viewer.getCameraOrbit().theta")
    viewer.locator(".userInput").focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    client.until(lambda: seen("viewer.getCameraOrbit().theta") != before, "the decor turned", 30)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert client.complaints == []
    client.close()
