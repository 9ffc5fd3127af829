"""What the crash tests kill: processes that write with the desk's own code and say over a pipe
when they begin a change and when it is confirmed. Forked off a server that has loaded all this
already, so that each lives within hundredths of a second instead of seconds."""

from __future__ import annotations

import datetime as dt
import random
from multiprocessing.connection import Connection
from pathlib import Path

from airwright.desk import DeskSettings, serve
from airwright.store import back_up, open_database
from airwright.store.jobs import Head, Jobs
from airwright.store.ticks import Ticked, Ticks
from airwright.store.types import now

TODAY = dt.date(2027, 3, 1)
BEGUN, CONFIRMED = "begun", "confirmed"


def write_changes(pipe: Connection, address: str, job_id: str, seed: int) -> None:
    """Change a job's text and tick a line, both in one transaction, again and again."""
    dice = random.Random(seed)
    database = open_database(address)
    with database.reading() as session:
        base = Jobs(session).get(job_id).version
    head = Head("Pier")
    while True:
        pipe.send((BEGUN, base + 1))
        text = f"text {base + 1} " + "x" * dice.randrange(100, 40_000)
        with database.writing() as session:
            base = Jobs(session).change(job_id, base, text, head, f"c{base + 1}", "w").version
            Ticks(session).merge(job_id, [Ticked(f"item {base}", True, now(), "w")])
        pipe.send((CONFIRMED, base))


def write_backups(pipe: Connection, address: str, file: str) -> None:
    """Write one backup over the other."""
    database = open_database(address)
    number = 0
    while True:
        number += 1
        pipe.send((BEGUN, number))
        back_up(database, Path(file))
        pipe.send((CONFIRMED, number))


def keep_desk(pipe: Connection, folder: str) -> None:
    """The whole desk on a free port, which it says."""
    settings = DeskSettings(
        folder=Path(folder), port=0, open_browser=False, workers=0, sample=False,
        today=lambda: TODAY,
    )  # fmt: skip
    serve(settings, lambda address: pipe.send((BEGUN, int(address.rstrip("/").rsplit(":", 1)[1]))))
