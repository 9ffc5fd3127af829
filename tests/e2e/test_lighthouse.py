"""Lighthouse in the machine's own Chromium: first page, jobs list and bench.

Performance is measured without Lighthouse's make-believe slow network and processor: a desk
stands on the machine it is used on. Accessibility, best practices and whatever of performance
is the page's own making (weight, compression, caching, layout that jumps) hold on any machine
and are asserted in every run. The score of performance is a matter of seconds on this machine, and
no test asserts seconds: it is printed (`-s`).
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import urllib.request
from pathlib import Path
from typing import Any

import pytest

from tests.e2e.conftest import GL, RunningDesk, Tab
from tests.services import CHROMIUM_ARGS

pytestmark = [pytest.mark.browser, pytest.mark.slow]

HOME = Path(__file__).parents[2] / "tools" / "lighthouse"
PROGRAM = HOME / "node_modules" / "lighthouse" / "cli" / "index.js"
GOAL = 0.95
STRICT = ("accessibility", "best-practices")
HEAVIEST = 500_000
"""Bytes over the wire for a page that is visited first; the bench brings its 3D along."""

JUMP = 0.1
"""Largest layout shift that counts as good (web.dev, Core Web Vitals)."""


@pytest.fixture(scope="module")
def node() -> str:
    found = shutil.which("node")
    if found is None:
        pytest.skip("node is not on this machine (Debian: apt-get install nodejs)")
    if not PROGRAM.is_file():
        pytest.skip("Lighthouse is not installed here (npm ci --prefix tools/lighthouse)")
    return found


def report(node: str, chromium: str, address: str, out: Path) -> dict[str, Any]:
    flags = " ".join(["--headless=new", *CHROMIUM_ARGS, *GL]).replace("--disable-gpu ", "")
    told = subprocess.run(
        [node, str(PROGRAM), address, "--quiet", "--preset=desktop",
         "--throttling-method=provided", f"--chrome-flags={flags}", "--output=json",
         "--only-categories=performance,accessibility,best-practices", f"--output-path={out}"],
        cwd=HOME, env={"PATH": "/usr/bin:/bin", "HOME": str(out.parent), "CHROME_PATH": chromium},
        capture_output=True, text=True, timeout=240, check=False,
    )  # fmt: skip
    assert told.returncode == 0, told.stderr[-1500:]
    found: dict[str, Any] = json.loads(out.read_text())
    return found


def lost(told: dict[str, Any], category: str) -> list[str]:
    """The audits that cost a category points."""
    rows = told["categories"][category]["auditRefs"]
    audits = [(row, told["audits"][row["id"]]) for row in rows if row["weight"]]
    return [
        f"{row['id']} {audit.get('displayValue', '')}"
        for row, audit in audits
        if audit["score"] is not None and audit["score"] < 1
    ]


def own_making(told: dict[str, Any]) -> list[str]:
    """What makes a page slow on any machine."""
    audits = told["audits"]
    wrong = []
    if audits["cumulative-layout-shift"]["numericValue"] > JUMP:
        wrong.append(f"layout jumps by {audits['cumulative-layout-shift']['numericValue']}")
    rows = audits["network-requests"]["details"]["items"]
    weight = sum(row["transferSize"] for row in rows)
    if weight > HEAVIEST:
        wrong.append(f"{weight} bytes come over the wire")
    for row in rows:
        text = row.get("mimeType", "").startswith(("text/", "application/j"))
        if text and row["resourceSize"] > 4000 and row["transferSize"] > 0.8 * row["resourceSize"]:
            wrong.append(f"not compressed: {row['url']}")
    assert rows, "Lighthouse saw no request"
    return wrong + [f"{row['url']} {row['statusCode']}" for row in rows if row["statusCode"] >= 400]


@pytest.mark.parametrize("page", ["first", "jobs", "bench"])
def test_lighthouse_is_content(
    node: str, chromium: str, browser: Any, desk: RunningDesk, tmp_path: Path, page: str
) -> None:
    path = "/"  # as a new desk opens: the tour, and the example in the book
    if page != "first":
        tab = Tab(browser, desk)
        address = tab.new_job()
        tab.page.goto("/")
        if tab.page.locator("text=I know my way").count():
            tab.page.click("text=I know my way")
        tab.close()
        path = "/" if page == "jobs" else f"{address}?piece=0"
    urllib.request.urlopen(desk.address + path, timeout=60).close()
    told = report(node, chromium, desk.address + path, tmp_path / "report.json")
    assert told.get("runtimeError") is None, told["runtimeError"]
    for category in STRICT:
        score = told["categories"][category]["score"]
        assert score >= GOAL, (category, score, lost(told, category))
    assert own_making(told) == []
    speed = told["categories"]["performance"]["score"]
    sys.stdout.write(f"{page}: performance {speed:.2f}, lost in {lost(told, 'performance')}\n")
