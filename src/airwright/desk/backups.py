"""Backups by themselves: once a day, in a process of its own that lets the desk go first."""

from __future__ import annotations

import datetime as dt
import json
import logging
import multiprocessing
import threading
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from airwright.desk.tasks.task_runner import be_nice
from airwright.language import message
from airwright.store import Database, StoreError, open_database
from airwright.store.logbook import Logbook
from airwright.store.rotation import kept, rotate
from airwright.store.studio import Facts
from airwright.store.types import now

log = logging.getLogger("airwright.desk.backups")

EVERY: Final = dt.timedelta(hours=24)
LOOK_EVERY_S: Final = 60.0
AGAIN: Final = dt.timedelta(hours=1)
"""After a backup that failed, the next try."""

FACT: Final = message("last backup")


@dataclass(frozen=True, slots=True)
class LastBackup:
    """The last try: when, what became of it, and what went wrong ("" if nothing)."""

    at: dt.datetime
    file: str
    rows: int
    what: str
    mend: str


def last_backup(facts: Facts) -> LastBackup | None:
    """What is known of the last try."""
    text = facts.get(FACT)
    if text is None:
        return None
    found = json.loads(text)
    return LastBackup(dt.datetime.fromisoformat(found.pop("at")), **found)


def make_backup(address: str, folder: Path, actor: str) -> None:
    """Make one and write down what became of it; run in a process of its own."""
    be_nice()
    database = open_database(address)
    try:
        _made(database, folder, actor)
    finally:
        database.close()


def _made(database: Database, folder: Path, actor: str) -> None:
    moment = now()
    try:
        file, made = rotate(database, folder, moment)
        said = {"file": file.name, "rows": sum(made.rows.values()), "what": "", "mend": ""}
    except StoreError as problem:
        said = {"file": "", "rows": 0, "what": str(problem.what), "mend": str(problem.mend)}
        log.warning("the backup failed: %s", problem.what)
    with database.writing() as session:
        Facts(session).put(FACT, json.dumps({"at": moment.isoformat(), **said}))
        if said["file"]:
            Logbook(session).write("backed up", actor, str(said["file"]))


class Backups:
    """Makes a backup whenever the last one is a day old, until it is stopped.

    Args:
        database: what is backed up.
        folder: where to.
    """

    def __init__(self, database: Database, folder: Path) -> None:
        self.database = database
        self.folder = folder
        self._ending = threading.Event()
        self._now = threading.Event()
        self._thread = threading.Thread(target=self._serve, name="backups", daemon=True)
        self._actor = "Airwright"

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> None:
        """End; a backup under way is broken off and leaves nothing behind."""
        self._ending.set()
        self._now.set()
        if self._thread.is_alive():
            self._thread.join(timeout=10)

    def wish(self, actor: str) -> None:
        """Make one now, on somebody's word."""
        self._actor = actor
        self._now.set()

    def is_due(self) -> bool:
        """Whether the last good one is a day old and the last try not of this hour."""
        with self.database.reading() as session:
            last = last_backup(Facts(session))
        newest = next(iter(kept(self.folder)), None)
        moment = now()
        if last is not None and last.what and abs(moment - last.at) < AGAIN:
            return False
        return newest is None or not dt.timedelta(0) <= moment - newest.made < EVERY

    def _serve(self) -> None:
        while not self._ending.is_set():
            wished = self._now.is_set()
            self._now.clear()
            with suppress(StoreError):
                if wished or self.is_due():
                    self._run()
            self._now.wait(LOOK_EVERY_S)

    def _run(self) -> None:
        actor, self._actor = self._actor, "Airwright"
        address = self.database.engine.url.render_as_string(hide_password=False)
        process = multiprocessing.get_context("spawn").Process(
            target=make_backup, args=(address, self.folder, actor), daemon=True
        )
        process.start()
        while process.is_alive():
            process.join(0.5)
            if self._ending.is_set():
                process.terminate()
                process.join(5)
        for draft in self.folder.glob(".backup-*"):
            draft.unlink(missing_ok=True)
