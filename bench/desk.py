"""The desk: how long a change, a page and a list take, over HTTP on loopback.

Baseline: `GET /api/alive` on the same connection in the same run, an answer without any work
in it: what network, server and guard cost alone.
"""

from __future__ import annotations

import http.client
import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import tomllib
from pathlib import Path
from typing import Any

SERVE = """
import datetime as dt, sys
from pathlib import Path
from airwright.desk import DeskSettings, serve
serve(DeskSettings(folder=Path(sys.argv[1]), port=int(sys.argv[2]), open_browser=False,
                   workers=0, today=lambda: dt.date(2027, 3, 1)))
"""
JOB = """format = "airwright-job/1"
[job]
title = "Bench"
date = 2027-05-22
guests = "10:00"
strike = "18:00"
[shades]
coral = "#f0705a"
sand = "#e8d5b7"
teal = "#1f7a7a"
white = "#f7f5f0"
"""
COLUMN = """
[[pieces]]
name = "Column {n}"
kind = "column"
height = "7 ft 6 in"
body = ["4 x 11in @ 9.5in"]
shades = ["coral", "sand", "teal", "white"]
"""


class Client:
    """One connection kept open, with the token that writes need."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.link = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self.headers = {"host": f"127.0.0.1:{port}"}
        status, body, cookie = self.ask("GET", "/")
        if status != 200:
            raise RuntimeError(f"the desk answered {status}")
        self.headers["cookie"] = cookie.split(";")[0]
        _, body, _ = self.ask("GET", "/")
        found = re.search(rb'desk-token" content="([0-9a-f]+)"', body)
        if found is None:
            raise RuntimeError("the page holds no token")
        self.headers["x-desk-token"] = found[1].decode()

    def ask(self, method: str, path: str, body: Any = None) -> tuple[int, bytes, str]:
        headers = dict(self.headers)
        data = None
        if body is not None:
            data = json.dumps(body).encode()
            headers["content-type"] = "application/json"
        self.link.request(method, path, data, headers)
        answer = self.link.getresponse()
        return answer.status, answer.read(), answer.getheader("set-cookie") or ""

    def timed(self, method: str, path: str, body: Any = None) -> tuple[float, bytes]:
        """Milliseconds until the whole answer is here."""
        started = time.perf_counter()
        status, data, _ = self.ask(method, path, body)
        took = 1000 * (time.perf_counter() - started)
        if status != 200:
            raise RuntimeError(f"{path} answered {status}: {data[:300]!r}")
        return took, data


def p95(values: list[float]) -> float:
    """The 95th percentile, the larger neighbour."""
    return sorted(values)[min(len(values) - 1, round(0.95 * len(values)))]


def run(quick: bool) -> dict[str, Any]:
    """Measure changes, pages and lists."""
    with tempfile.TemporaryDirectory(prefix="airwright-bench-") as folder:
        crowd = stored(Path(folder), JOB + "".join(COLUMN.format(n=n) for n in range(1, 21)))
        column = stored(Path(folder), JOB + COLUMN.format(n=1))
        garden = stored(Path(folder), JOB + "".join(COLUMN.format(n=n) for n in range(1, 24)))
        _many(Path(folder), 1000)
        port = free_port()
        process = subprocess.Popen(
            [sys.executable, "-c", SERVE, folder, str(port)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=os.environ | {"PYTHONPATH": "src"},
        )
        try:
            client = connected(port)
            runs = 15 if quick else 60
            rows = [
                _changes(client, "change: one column", column, runs, 120.0),
                _changes(client, "change: 1,000 balloons", garden, runs, 400.0),
                _pages(client, "book, 1,000 jobs", "/", runs, 40.0),
                _pages(client, "search, 1,000 jobs", "/?words=pier+7", runs, 40.0),
                _pages(client, "bench page", f"/jobs/{column}?piece=0", runs, 1000.0),
                together(client, port, crowd, 20, 12.0 if quick else 120.0),
            ]
        finally:
            process.terminate()
            process.wait()
    return {
        "title": "The desk over HTTP",
        "baseline": "GET /api/alive on the same connection, in turn with what is measured",
        "rows": rows,
        "note": "A change is a height written into the job file, built, planned, stored "
        "durably and answered with picture, counts, money and findings; every change is new.",
    }


def _changes(client: Client, name: str, job_id: str, runs: int, goal: float) -> dict[str, Any]:
    _, data = client.timed("POST", f"/api/jobs/{job_id}/state", {"have": []})
    told = json.loads(data)
    took, base, have = [], [], [piece["key"] for piece in told["pieces"]]
    for turn in range(runs + 3):
        change = {
            "do": "write",
            "path": ["pieces", 0, "height"],
            "text": f"{2.2 + 0.013 * turn:.3f} m",
        }
        body = {"version": told["version"], "changes": [change], "have": have[-400:]}
        spent, data = client.timed("POST", f"/api/jobs/{job_id}/edits", body)
        told = json.loads(data)
        have += [piece["key"] for piece in told["pieces"] if piece["key"] not in have]
        if turn >= 3:  # the first ones only load libraries
            took.append(spent)
            base.append(client.timed("GET", "/api/alive")[0])
    return row(name, told["totals"]["balloons"], took, base, goal)


def together(client: Client, port: int, job_id: str, people: int, seconds: float) -> dict[str, Any]:
    """Many people change one job at once, each a piece of their own, in turn with a pause.

    Raises:
        RuntimeError: an answer other than 200, or a confirmed change that is not in the job.
    """
    editors = [Editor(port, job_id, at) for at in range(people)]
    base = [client.timed("GET", "/api/alive")[0] for _ in range(20)]
    threads = [threading.Thread(target=e.work, args=(seconds,)) for e in editors]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for editor in editors:
        if editor.problem:
            raise RuntimeError(f"person {editor.at}: {editor.problem}")
    client.link.close()  # left alone for so long, the server has hung up; the next call opens anew
    status, text, _ = client.ask("GET", f"/jobs/{job_id}/job.toml")
    if status != 200:
        raise RuntimeError(f"the job file answered {status}")
    pieces = tomllib.loads(text.decode())["pieces"]
    lost = [e.at for e in editors if pieces[e.at]["height"] != e.wrote]
    if lost:
        raise RuntimeError(f"the last changes of {lost} are not in the job")
    took = [ms for editor in editors for ms in editor.took]
    versions = json.loads(client.timed("POST", f"/api/jobs/{job_id}/state", {"have": []})[1])
    if versions["version"] != 1 + len(took):  # every confirmed change is a version of its own
        raise RuntimeError(f"{len(took)} changes made {versions['version'] - 1} versions")
    return row(f"{people} people on one job, {seconds:g} s", None, took, base, 1000.0)


class Editor:
    """One person at the bench: changes the height of one piece, looks, and changes it again."""

    PAUSE_S = 2.0

    def __init__(self, port: int, job_id: str, at: int) -> None:
        self.client = Client(port)
        self.job_id, self.at = job_id, at
        self.took: list[float] = []
        self.wrote = ""
        self.problem = ""

    def work(self, seconds: float) -> None:
        """Edit until the time is over; what went wrong is kept in `problem`."""
        self.client.link.close()  # the others came in meanwhile; begin with a fresh connection
        try:
            self._edit_until(time.monotonic() + seconds)
        except (RuntimeError, OSError, KeyError, http.client.HTTPException) as problem:
            self.problem = repr(problem)

    def _edit_until(self, end: float) -> None:
        path = f"/api/jobs/{self.job_id}"
        told = json.loads(self.client.timed("POST", f"{path}/state", {"have": []})[1])
        have = [piece["key"] for piece in told["pieces"]]
        turn = 0
        while time.monotonic() < end:
            height = f"{2.0 + 0.001 * (turn * 20 + self.at) % 0.9:.3f} m"
            change = {"do": "write", "path": ["pieces", self.at, "height"], "text": height}
            body = {"version": told["version"], "changes": [change], "have": have[-400:]}
            spent, data = self.client.timed("POST", f"{path}/edits", body)
            told = json.loads(data)
            have += [piece["key"] for piece in told["pieces"] if piece["key"] not in have]
            self.took.append(spent)
            self.wrote = height
            turn += 1
            time.sleep(self.PAUSE_S)


def _pages(client: Client, name: str, path: str, runs: int, goal: float) -> dict[str, Any]:
    took, base = [], []
    for _ in range(runs):
        took.append(client.timed("GET", path)[0])
        base.append(client.timed("GET", "/api/alive")[0])
    return row(name, None, took, base, goal)


def row(
    name: str, balloons: int | None, took: list[float], base: list[float], goal: float
) -> dict[str, Any]:
    """A line of the table: what was measured beside its baseline [ms]."""
    middle, floor = statistics.median(took), statistics.median(base)
    return {
        "what": name,
        "balloons": balloons,
        "runs": len(took),
        "median ms": middle,
        "p95 ms": p95(took),
        "baseline ms": floor,
        "ratio": middle / floor,
        "goal p95 ms": goal,
    }


def stored(folder: Path, text: str) -> str:
    """Put a job into a desk's folder; its id."""
    from airwright.store import default_address, open_database
    from airwright.store.jobs import Head, Jobs

    database = open_database(default_address(folder))
    with database.writing() as session:
        job_id = Jobs(session).add(text, Head("Bench"), "bench").id
    database.close()
    return job_id


def _many(folder: Path, count: int) -> None:
    import datetime as dt

    from airwright.store import default_address, open_database
    from airwright.store.jobs import STAGES, Head, Jobs, Summary

    database = open_database(default_address(folder))
    with database.writing() as session:
        jobs = Jobs(session)
        for number in range(count):
            date = dt.date(2027, 1, 1) + dt.timedelta(days=number % 400)
            head = Head(f"Pier {number}", "Saltmarsh Ferries", "Pier hall", date)
            row = jobs.add(JOB, head, "bench", stage=STAGES[number % len(STAGES)])
            jobs.summarise(
                row.id, 1, Summary(cautions=number % 3, swatches={"shades": [["#f0705a", 12]]})
            )
    database.close()


def connected(port: int) -> Client:
    """A client, once the desk listens."""
    for _ in range(1200):
        try:
            return Client(port)
        except OSError:
            time.sleep(0.1)
    raise RuntimeError("the desk does not answer")


def free_port() -> int:
    """A port that nothing listens on just now."""
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
