"""Pictures of the desk for the docs: a desk with the demo festival, photographed in Chromium.

    python -m tools.docs.desk_pictures

Not part of `make docs-pages`, because it needs a browser; run it when pages of the desk change.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path
from typing import Any

OUT = Path(__file__).resolve().parents[2] / "docs" / "pictures"
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
)
SERVE = """
import datetime as dt, sys
from pathlib import Path
from airwright.desk import DeskSettings, serve
serve(DeskSettings(folder=Path(sys.argv[1]), port=int(sys.argv[2]), open_browser=False,
                   workers=0, today=lambda: dt.date(2027, 3, 1)))
"""
DESKTOP = {"width": 1280, "height": 800}
PHONE = {"width": 390, "height": 780}


def main() -> None:
    """Take all pictures."""
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        raise SystemExit("chromium is not on this machine (Debian: apt-get install chromium)")
    with tempfile.TemporaryDirectory(prefix="airwright-docs-") as folder:
        port = _free_port()
        desk = subprocess.Popen([sys.executable, "-c", SERVE, folder, str(port)])
        try:
            address = f"http://127.0.0.1:{port}"
            _answers(address)
            with sync_playwright() as play:
                browser = play.chromium.launch(executable_path=chromium, args=FLAGS)
                _take(browser, address)
                browser.close()
        finally:
            desk.terminate()
            desk.wait()


def _take(browser: Any, address: str) -> None:
    page = browser.new_context(viewport=DESKTOP, base_url=address).new_page()
    job = _festival(page)
    page.goto("/")
    if page.locator("text=I know my way").count():
        page.click("text=I know my way")
    _keep(page, "desk-book")
    page.goto(f"{job}?piece=0")
    page.wait_for_selector("body[data-drawn]", timeout=60_000)
    page.wait_for_timeout(4000)  # the fine frame
    _keep(page, "desk-bench")
    page.click(".segment >> text=Floor")
    page.wait_for_selector(".floor-balloons")
    _keep(page, "desk-floor")
    page.goto(f"{job}/offer")
    page.wait_for_load_state("load")
    _keep(page, "desk-offer")
    phone = browser.new_context(
        viewport=PHONE, base_url=address, color_scheme="dark", device_scale_factor=1.5
    ).new_page()
    phone.goto("/enquiry")
    _keep(phone, "desk-call")
    phone.goto(f"{job}/day")
    _keep(phone, "desk-day")


def _festival(page: Any) -> str:
    """The demo festival, read in; its address."""
    from airwright.job.examples import example_text

    page.goto("/")
    text = example_text("harbour-festival").encode()
    file = {"name": "festival.toml", "mimeType": "text/plain", "buffer": text}
    page.set_input_files("input[type=file]", file)
    page.click("button >> text=Import")
    page.wait_for_url(re.compile(r"/jobs/[a-z0-9]+"))
    return str(page.url.split("?")[0])


def _keep(page: Any, name: str) -> None:
    from PIL import Image

    shot = Image.open(io.BytesIO(page.screenshot()))
    shot.convert("RGB").save(OUT / f"{name}.webp", quality=82, method=6)


def _answers(address: str) -> None:
    for _ in range(300):
        try:
            urllib.request.urlopen(f"{address}/api/alive", timeout=2).close()
            return
        except OSError:
            time.sleep(0.1)
    raise SystemExit("the desk does not answer")


def _free_port() -> int:
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


if __name__ == "__main__":
    main()
