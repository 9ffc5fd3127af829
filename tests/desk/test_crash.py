"""Killed in the middle of writing, again and again: what was confirmed is there, whole.

The processes that are killed write with the desk's own code and do nothing but write
(`crash_writers`), so that a random moment is one in the middle of it. After each kill
the database is checked by SQLite itself and read back; nothing confirmed may be missing, and of
what was not confirmed all or nothing may be there.
"""

from __future__ import annotations

import http.client
import json
import multiprocessing
import os
import random
import sqlite3
import threading
import time
import tomllib
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.context import ForkServerContext
from pathlib import Path
from typing import Any

import pytest

from airwright.desk.seed import demo_text
from airwright.store import Database, open_database, restore, verify
from airwright.store.jobs import Head, Jobs
from bench.desk import Client, connected
from tests.desk.crash_writers import CONFIRMED, keep_desk, write_backups, write_changes

KILLS = int(os.environ.get("AIRWRIGHT_KILLS", "200"))
"""How often something is killed: most are writers, some write backups, some are whole desks."""

DESKS = max(KILLS // 40, 1)
BACKUPS = max(KILLS // 20, 1)
PER_FILE = 50
"""Kills after which writers go on in a new file: checking it takes longer the more it holds."""

pytestmark = [pytest.mark.slow, pytest.mark.timeout(300 + 6 * KILLS)]


@pytest.fixture(scope="module")
def nursery() -> ForkServerContext:
    """Forks processes that have everything loaded and nothing opened."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.desk.crash_writers"])
    return context


def killed(
    nursery: ForkServerContext,
    target: Callable[..., None],
    *args: Any,
    after_s: float,
    meanwhile: Callable[[int], None] = lambda _: None,
    busy: Callable[[], bool] = lambda: True,
) -> list[tuple[str, int]]:
    """Start a process, kill it some time after it is busy, and return all it said.

    Args:
        nursery, target, args: what is started.
        after_s: how long it may work after its first word, and after `busy` [s].
        meanwhile: told what its first word said, in a thread of its own.
        busy: whether it is at what it is to be killed at.
    """
    ours, theirs = nursery.Pipe(duplex=False)
    process = nursery.Process(target=target, args=(theirs, *args))
    process.start()
    theirs.close()
    try:
        said = [_first(ours)]
        helper = threading.Thread(target=meanwhile, args=(said[0][1],))
        helper.start()
        end = time.monotonic() + 60
        while not busy():
            assert time.monotonic() < end, "it never got busy"
            time.sleep(0.01)
        time.sleep(after_s)
    finally:
        process.kill()
        process.join()
    helper.join()
    with suppress(EOFError):
        while True:
            said.append(ours.recv())
    ours.close()
    assert process.exitcode == -9  # it was at work until then, and did not end by a mishap
    return said


def _first(pipe: Connection) -> tuple[str, int]:
    assert pipe.poll(120), "it never began"
    word, number = pipe.recv()
    return str(word), int(number)


def check_whole(file: Path) -> None:
    """SQLite's own check of every page, index and key."""
    with sqlite3.connect(file) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert raw.execute("PRAGMA foreign_key_check").fetchall() == []
    raw.close()


def new_job(file: Path, text: str) -> tuple[Database, str]:
    database = open_database(f"sqlite:///{file}")
    with database.writing() as session:
        return database, Jobs(session).add(text, Head("Pier"), "Ada").id


def test_nothing_confirmed_is_lost(tmp_path: Path, nursery: ForkServerContext) -> None:
    dice = random.Random(20270522)
    kills = KILLS - DESKS - BACKUPS
    for start in range(0, kills, PER_FILE):
        file = tmp_path / f"desk{start}.db"
        database, job_id = new_job(file, "text 1")
        confirmed = 1
        for kill in range(start, min(start + PER_FILE, kills)):
            said = killed(
                nursery, write_changes, f"sqlite:///{file}", job_id, kill,
                after_s=dice.uniform(0.0, 0.12),
            )  # fmt: skip
            confirmed = max([confirmed, *(n for word, n in said if word == CONFIRMED)])
            check_whole(file)
            confirmed = check_job(database, job_id, confirmed)
        database.close()
        assert confirmed > PER_FILE / 4


def check_job(database: Database, job_id: str, confirmed: int) -> int:
    """Row, versions and ticks agree; at most the change that was under way came on top."""
    with database.reading() as session:
        jobs = Jobs(session)
        row = jobs.get(job_id)
        assert confirmed <= row.version <= confirmed + 1
        assert row.text.startswith(f"text {row.version}")
        assert jobs.version(job_id, row.version).text == row.text
        count = session.connection().exec_driver_sql
        assert count("SELECT count(*) FROM ticks").scalar() == row.version - 1
        assert count("SELECT count(*) FROM job_versions").scalar() == row.version
        return row.version


def test_a_backup_is_whole_or_the_one_before(tmp_path: Path, nursery: ForkServerContext) -> None:
    dice, file = random.Random(7), tmp_path / "kept.zip"
    database, _ = new_job(tmp_path / "desk.db", demo_text())
    for _ in range(BACKUPS):
        killed(
            nursery, write_backups, f"sqlite:///{tmp_path / 'desk.db'}", str(file),
            after_s=dice.uniform(0.0, 1.5),
        )  # fmt: skip
        check_whole(tmp_path / "desk.db")
        if file.exists():
            assert verify(file).rows["jobs"] == 1
    database.close()
    if file.exists():
        again = open_database(f"sqlite:///{tmp_path / 'again.db'}")
        restore(again, file)
        again.close()


@dataclass
class Person:
    """Somebody who changes the note of one piece until the desk is gone."""

    job_id: str
    piece: int
    confirmed: int = 0
    changes: int = 0
    tried: str = ""
    stands: str = ""
    wrong: list[str] = field(default_factory=list)

    def edit(self, port: int) -> None:
        client = connected(port)
        with suppress(OSError, http.client.HTTPException):  # this is how a desk's end looks
            version = self._asked(client, "state", {"have": []})
            while version:
                self.tried = f"{port} {version}"
                path = ["pieces", self.piece, "note"]
                change = {"do": "put", "path": path, "value": self.tried}
                version = self._asked(client, "edits", {"version": version, "changes": [change]})
                if version:
                    self.confirmed, self.stands = max(self.confirmed, version), self.tried
                    self.changes += 1

    def _asked(self, client: Client, what: str, body: object) -> int:
        status, answer, _ = client.ask("POST", f"/api/jobs/{self.job_id}/{what}", body)
        if status != 200:
            self.wrong.append(answer.decode()[:300])
            return 0
        return int(json.loads(answer)["version"])


def test_a_desk_killed_at_work_keeps_what_it_confirmed(
    tmp_path: Path, nursery: ForkServerContext
) -> None:
    dice, file = random.Random(11), tmp_path / "desk.db"
    database, job_id = new_job(file, demo_text())
    people = [Person(job_id, piece) for piece in (0, 1)]

    def all_edit(port: int) -> None:
        threads = [threading.Thread(target=person.edit, args=(port,)) for person in people]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()

    for _ in range(DESKS):
        for person in people:
            person.changes = 0
        killed(
            nursery, keep_desk, str(tmp_path), after_s=dice.uniform(0.0, 0.3), meanwhile=all_edit,
            busy=lambda: all(person.changes or person.wrong for person in people),
        )  # fmt: skip
        check_whole(file)
        with database.reading() as session:
            row = Jobs(session).get(job_id)
        assert [person.wrong for person in people] == [[], []]
        confirmed = max(person.confirmed for person in people)
        assert confirmed <= row.version <= confirmed + len(people)
        pieces = tomllib.loads(row.text)["pieces"]
        for person in people:
            assert pieces[person.piece].get("note", "") in (person.stands, person.tried)
            person.stands = pieces[person.piece].get("note", "")
    database.close()
    assert all(person.confirmed > DESKS for person in people)
