"""A desk in a process of its own and Debian's chromium before it."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.services import CHROMIUM_ARGS, free_port

STATIC = Path(__file__).parents[2] / "src" / "airwright" / "desk" / "static" / "dist"
RUN = """
import datetime as dt, sys
from pathlib import Path
from airwright.desk import DeskSettings, serve
serve(DeskSettings(folder=Path(sys.argv[1]), port=int(sys.argv[2]), open_browser=False,
                   today=lambda: dt.date(2027, 3, 1)))
"""
GL = ("--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader")


class RunningDesk:
    """A desk process; it can be killed and started again on the same data."""

    def __init__(self, folder: Path, program: str = RUN) -> None:
        self.folder = folder
        self.program = program
        self.port = free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.process: subprocess.Popen[bytes] | None = None
        self.start()

    def start(self) -> None:
        log = (self.folder / "log").open("ab")
        self.process = subprocess.Popen(
            [sys.executable, "-c", self.program, str(self.folder), str(self.port)],
            stdout=log,
            stderr=log,
            stdin=subprocess.DEVNULL,
            env=os.environ | {"PYTHONPATH": "src"},
        )
        last = time.monotonic() + 120
        while time.monotonic() < last:
            try:
                urllib.request.urlopen(f"{self.address}/api/alive", timeout=2).close()
                return
            except OSError:
                if self.process.poll() is not None:
                    break
                time.sleep(0.1)
        raise RuntimeError((self.folder / "log").read_text()[-2000:])

    def kill(self) -> None:
        assert self.process is not None
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def stop(self) -> None:
        assert self.process is not None
        if self.process.poll() is None:
            self.process.terminate()
            self.process.wait(timeout=20)


@pytest.fixture(scope="session")
def bundled() -> None:
    """The scripts of the desk, or a skip that says how to make them."""
    if not (STATIC / "desk.css").is_file():
        pytest.skip("the desk's scripts are not bundled (make frontend)")
    missing = [f"{n}.js" for n in ("desk", "design") if not (STATIC / f"{n}.js").is_file()]
    assert missing == []  # bundled, but not what these tests are about


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory, bundled: None) -> Iterator[RunningDesk]:
    running = RunningDesk(tmp_path_factory.mktemp("desk"))
    yield running
    running.stop()


@pytest.fixture(scope="module")
def browser(chromium: str) -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=chromium, args=[*CHROMIUM_ARGS, *GL])
        yield opened
        opened.close()


class Tab:
    """A page that notes every complaint of the console and every request that goes elsewhere."""

    def __init__(self, browser: Any, desk: RunningDesk, width: int = 1440, **more: Any) -> None:
        self.desk = desk
        size = {"width": width, "height": 900}
        self.context = browser.new_context(viewport=size, base_url=desk.address, **more)
        self.page = self.context.new_page()
        self.complaints: list[str] = []
        self.page.on("console", self._heard)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("request", self._asked)

    def _heard(self, message: Any) -> None:
        # That drawing is slow, and drivers' remarks on it, are the machine's, not the page's.
        slow = any(words in message.text for words in ("GL Driver", "rAF timed out"))
        if message.type in ("error", "warning") and not slow:
            self.complaints.append(message.text)

    def _asked(self, request: Any) -> None:
        # The browser reads a PDF with a part of its own.
        own = (self.desk.address, "data:", "blob:", "chrome-extension:", "chrome:")
        if not request.url.startswith(own):
            self.complaints.append(f"left the host: {request.url}")

    def new_job(self) -> str:
        """A copy of the demo job; returns its address."""
        from airwright.desk.seed import demo_text

        self.page.goto("/")
        self.page.set_input_files(
            "input[type=file]",
            {"name": "job.toml", "mimeType": "text/plain", "buffer": demo_text().encode()},
        )
        self.page.click("button:text-is('Import')")
        self.page.wait_for_url(re.compile(r"/jobs/[a-z0-9]+"))
        return str(self.page.url.split("?")[0].removeprefix(self.desk.address))

    def bench(self, address: str) -> None:
        """Open a bench and wait until its decor was drawn."""
        self.page.goto(address)
        self.page.wait_for_selector("body[data-drawn]", timeout=30_000)

    def drawn(self, version: int) -> None:
        # Waiting by selector: a function would need eval, which our pages forbid.
        self.page.wait_for_selector(f"body[data-drawn='{version}']", timeout=30_000)

    def version(self, number: int) -> None:
        """Wait until the panel beside the picture shows this version of the job."""
        self.page.wait_for_selector(f"#side[data-version='{number}']", timeout=30_000)

    def until(self, holds: Callable[[], bool], what: str, within_s: float = 30) -> None:
        """Look again and again until something holds; fails with `what` if it never does."""
        last = time.monotonic() + within_s
        while not holds():
            assert time.monotonic() < last, f"never came: {what}"
            self.page.wait_for_timeout(50)

    def still(self, selector: str) -> bytes:
        """A picture of a part of the page once two in a row are alike: nothing moves any more."""
        found = self.page.locator(selector)
        shots = [found.screenshot()]

        def steady() -> bool:
            shots.append(found.screenshot())
            return bool(shots[-1] == shots[-2])

        self.until(steady, f"{selector} at rest")
        return bytes(shots[-1])

    def close(self) -> None:
        self.context.close()


@pytest.fixture
def tab(browser: Any, desk: RunningDesk) -> Iterator[Tab]:
    """A page that may complain of nothing."""
    opened = Tab(browser, desk)
    yield opened
    complaints = opened.complaints
    opened.close()
    assert complaints == []
