"""Killed in the middle of writing, again and again: what was confirmed is there, whole."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from airwright.store import open_database
from airwright.store.jobs import Jobs

KILLS = int(os.environ.get("AIRWRIGHT_KILLS", "25"))
"""How often the writer is killed; the nightly run says 200."""

WRITER = """
import sys
from airwright.store import open_database
from airwright.store.jobs import Head, Jobs
from airwright.store.ticks import Ticked, Ticks
from airwright.store.types import now
database = open_database(sys.argv[1], migrate=False)
head = Head("Pier")
with database.reading() as session:
    row = Jobs(session).search(today=__import__("datetime").date(2027, 3, 1))[0]
    job_id, base = row.id, row.version
print("ready", flush=True)
while True:
    number = base + 1
    with database.writing() as session:
        text = f"text {number} " + "x" * 20000
        row = Jobs(session).change(job_id, base, text, head, f"c{number}", "w")
        Ticks(session).merge(job_id, [Ticked(f"item {number}", True, now(), "w")])
    base = row.version
    print(base, flush=True)
"""


@pytest.mark.slow
@pytest.mark.timeout(120 + 6 * KILLS)
def test_nothing_confirmed_is_lost(tmp_path: Path) -> None:
    address = f"sqlite:///{tmp_path / 'desk.db'}"
    database = open_database(address)
    from airwright.store.jobs import Head

    with database.writing() as session:
        job_id = Jobs(session).add("text 1", Head("Pier"), "Ada").id
    dice = random.Random(20270522)
    confirmed = 1
    for _ in range(KILLS):
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, address],
            stdout=subprocess.PIPE,
            text=True,
            env=os.environ | {"PYTHONPATH": "src"},
        )
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n"
        time.sleep(dice.uniform(0.005, 0.15))
        writer.send_signal(signal.SIGKILL)
        said = [int(line) for line in writer.communicate()[0].split()]
        confirmed = max([confirmed, *said])
        with sqlite3.connect(tmp_path / "desk.db") as raw:
            assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        with database.reading() as session:
            row = Jobs(session).get(job_id)
            assert row.version >= confirmed
            assert row.version <= confirmed + 1
            assert row.text.startswith(f"text {row.version}")
            assert Jobs(session).version(job_id, row.version).text == row.text
            ticks = session.connection().exec_driver_sql("SELECT count(*) FROM ticks").scalar()
            assert ticks == row.version - 1
            confirmed = row.version
    assert confirmed > KILLS
    database.close()
