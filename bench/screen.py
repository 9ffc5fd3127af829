"""The bench in Chromium: from a height typed in to new counts and price, and to the new picture.

Baseline: in the same page, in turn with what is measured, an answer of the desk without any work in
it (`GET /api/alive`) and the next frame of the page: what browser, network and server cost alone.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from bench.desk import COLUMN, JOB, SERVE, connected, free_port, row, stored

# As Chromium runs where there is no graphics card: it paints pages by itself, and a software
# driver draws WebGL.
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
)  # fmt: skip

WATCH = """
window.times = {};
addEventListener("change", () => { window.times = { from: performance.now() }; }, true);
addEventListener("DOMContentLoaded", () => {
  const note = (name) => { if (times.from) times[name] ??= performance.now() - times.from; };
  const watch = (part, attribute, name) =>
    new MutationObserver(() => note(name)).observe(part, { attributeFilter: [attribute] });
  watch(document.getElementById("tally"), "data-version", "told");
  watch(document.body, "data-drawn", "drawn");
});
"""
ALONE = """async () => {
  const from = performance.now();
  await (await fetch("/api/alive")).json();
  await new Promise(requestAnimationFrame);
  return performance.now() - from;
}"""
PAINTED = """() => new Promise((done) => {
  new PerformanceObserver((list) => {
    for (const entry of list.getEntriesByName("first-contentful-paint")) done(entry.startTime);
  }).observe({ type: "paint", buffered: true });
})"""
REST_MS = 900
"""Between changes: somebody evaluations. The fine frame after a change is done by then."""

WARM = 3
"""Changes before the first that counts: they load libraries and compile shaders."""


def run(quick: bool) -> dict[str, Any]:
    """Measure loads and changes on a page as a decorator has it before her."""
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        raise RuntimeError("chromium is not on this machine (Debian: apt-get install chromium)")
    runs = 8 if quick else 40
    with tempfile.TemporaryDirectory(prefix="airwright-bench-") as folder:
        column = stored(Path(folder), JOB + COLUMN.format(n=1))
        garden = stored(Path(folder), JOB + "".join(COLUMN.format(n=n) for n in range(1, 24)))
        port = free_port()
        desk = subprocess.Popen(
            [sys.executable, "-c", SERVE, folder, str(port)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=os.environ | {"PYTHONPATH": "src"},
        )
        try:
            connected(port)
            with sync_playwright() as play:
                browser = play.chromium.launch(executable_path=chromium, args=FLAGS)
                context = browser.new_context(
                    base_url=f"http://127.0.0.1:{port}", viewport={"width": 1440, "height": 900}
                )
                rows = [
                    *_loads(context, {"book": "/", "bench": f"/jobs/{column}?piece=0"}, runs // 2),
                    *_changes(context, column, "one column", runs, 120.0),
                    *_changes(context, garden, "1,000 balloons", runs, 400.0),
                ]
                browser.close()
        finally:
            desk.terminate()
            desk.wait()
    return {
        "title": "The bench in Chromium",
        "baseline": "GET /api/alive and the next frame, in the same page",
        "rows": rows,
        "note": "Without a graphics card: Chromium draws in software, page and balloons alike. "
        "A picture counts once the graphics have finished it.",
    }


def _loads(context: Any, pages: dict[str, str], runs: int) -> list[dict[str, Any]]:
    """From the address to the first contentful paint, the page's own scripts not cached."""
    rows = []
    for name, path in pages.items():
        took, base = [], []
        for _ in range(runs + 1):
            page = context.new_page()
            page.goto(path)
            took.append(float(page.evaluate(PAINTED)))
            base.append(float(page.evaluate(ALONE)))
            page.close()
        rows.append(row(f"first paint: {name}", None, took[1:], base[1:], 1000.0))
    return rows


def _changes(context: Any, job_id: str, name: str, runs: int, goal: float) -> list[dict[str, Any]]:
    page = context.new_page()
    page.add_init_script(WATCH)
    page.goto(f"/jobs/{job_id}?piece=0")
    page.wait_for_selector("body[data-drawn]", timeout=60_000)
    told, drawn, base = [], [], []
    for turn in range(runs + WARM):
        page.wait_for_timeout(REST_MS)
        version = int(page.get_attribute("body", "data-drawn") or 0)
        page.fill("input[name='height'], input[data-path*='height']", f"{2.2 + 0.013 * turn:.3f} m")
        page.keyboard.press("Tab")
        page.wait_for_selector(f"body[data-drawn='{version + 1}']", timeout=60_000)
        times = page.evaluate("times")
        if turn >= WARM:
            told.append(float(times["told"]))
            drawn.append(float(times["drawn"]))
            base.append(float(page.evaluate(ALONE)))
    balloons = int(page.get_attribute("body", "data-balloons") or 0)
    page.close()
    return [
        row(f"change to counts and price: {name}", balloons, told, base, goal),
        row(f"change to picture: {name}", balloons, drawn, base, goal),
    ]
