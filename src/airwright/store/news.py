"""What a transaction changed, told to whoever listens once it is kept.

A transaction collects the tables and jobs it touches. In one process its listeners are told after
the commit; on a PostgreSQL server the transaction itself says so (NOTIFY), and every machine that
listens there is told by the server. Other processes at the same SQLite file are noticed by the
file's own counter of changes.
"""

from __future__ import annotations

import json
import logging
import sqlite3
import threading
from collections.abc import Callable, Iterable
from contextlib import closing, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from sqlalchemy import event
from sqlalchemy.orm import ORMExecuteState, Session

if TYPE_CHECKING:
    from airwright.store.database import Database

log = logging.getLogger("airwright.store.news")

CHANNEL: Final = "airwright_news"

LONGEST_WORD: Final = 7000
"""Bytes of one notice; PostgreSQL takes 8000."""

LOOK_EVERY_S: Final = 0.5
"""How often a SQLite file is asked whether another process changed it [s]."""

AGAIN_S: Final = 2.0
"""How long after a lost connection the server is asked again [s]."""

QUIET: Final = frozenset(
    {"knocks", "challenges", "log_entries", "thumbnails", "facts", "job_versions", "sittings"}
)
"""Tables that no page shows, or that change with nothing to be seen."""

DOOR: Final = "door"
"""Told as a table when somebody was signed out or an account changed."""


@dataclass(frozen=True, slots=True)
class News:
    """What changed: tables and jobs; `everything` where it is not known what."""

    tables: frozenset[str] = frozenset()
    jobs: frozenset[str] = frozenset()
    everything: bool = False

    def __or__(self, other: News) -> News:
        """Both together."""
        return News(
            self.tables | other.tables,
            self.jobs | other.jobs,
            self.everything or other.everything,
        )

    def __bool__(self) -> bool:
        """Whether anything changed at all."""
        return self.everything or bool(self.tables or self.jobs)

    def to_json(self) -> str:
        """For a wire; too much of it becomes `everything`."""
        found: dict[str, Any] = {"tables": sorted(self.tables), "jobs": sorted(self.jobs)}
        word = json.dumps(found | {"everything": self.everything}, separators=(",", ":"))
        return word if len(word) <= LONGEST_WORD else ALL.to_json()


ALL: Final = News(everything=True)


def from_json(word: str) -> News:
    """News off the wire; what cannot be read counts as everything."""
    try:
        found = json.loads(word)
        return News(
            frozenset(map(str, found["tables"])),
            frozenset(map(str, found["jobs"])),
            bool(found["everything"]),
        )
    except (ValueError, KeyError, TypeError):
        return ALL


class Collector:
    """Gathers what one transaction changes."""

    def __init__(self, session: Session) -> None:
        self.tables: set[str] = set()
        self.jobs: set[str] = set()
        event.listen(session, "after_flush", self._flushed)
        event.listen(session, "do_orm_execute", self._executed)

    @property
    def news(self) -> News:
        """What was changed so far."""
        return News(frozenset(self.tables - QUIET), frozenset(self.jobs))

    def _flushed(self, session: Session, _context: Any) -> None:
        self._rows(session.new)
        self._rows(row for row in session.dirty if session.is_modified(row))
        self._rows(session.deleted, gone=True)

    def _rows(self, rows: Iterable[Any], *, gone: bool = False) -> None:
        for row in rows:
            name = row.__tablename__
            self.tables.add(name)
            if name == "people" or (name == "sittings" and gone):
                self.tables.add(DOOR)
            job = row.id if name == "jobs" else getattr(row, "job_id", None)
            if isinstance(job, str) and name not in QUIET - {"job_versions"}:
                self.jobs.add(job)

    def _executed(self, state: ORMExecuteState) -> None:
        table = getattr(state.statement, "table", None)
        if table is None or not (state.is_update or state.is_delete or state.is_insert):
            return
        self.tables.add(table.name)
        if table.name == "sittings" and state.is_delete:
            self.tables.add(DOOR)


class Watch:
    """Hears of what others changed, in a thread of its own, until it is stopped.

    Args:
        database: open.
        tell: called with each piece of news, in that thread.
    """

    def __init__(self, database: Database, tell: Callable[[News], None]) -> None:
        self.database = database
        self.tell = tell
        self._ending = threading.Event()
        work = self._file if database.is_sqlite else self._server
        self._thread = threading.Thread(target=work, name="news", daemon=True)

    def start(self) -> None:
        """Begin to listen."""
        self._thread.start()

    def stop(self) -> None:
        """End."""
        self._ending.set()
        if self._thread.is_alive():
            self._thread.join(timeout=5)

    def _file(self) -> None:
        file = str(self.database.engine.url.database)
        seen, ours = None, self.database.commits
        with closing(sqlite3.connect(file, timeout=1)) as line:
            while not self._ending.wait(LOOK_EVERY_S):
                if self.database.is_writing:
                    continue  # a commit of ours that is not counted yet would look like another's
                count = self.database.commits
                with suppress(sqlite3.Error):
                    found = line.execute("PRAGMA data_version").fetchone()[0]
                    if seen is not None and found != seen and count == ours:
                        self.tell(ALL)
                    seen, ours = found, count

    def _server(self) -> None:
        import psycopg

        plain = self.database.engine.url.set(drivername="postgresql")
        address = plain.render_as_string(hide_password=False)
        lost = False
        while not self._ending.is_set():
            try:
                with psycopg.connect(address, autocommit=True, connect_timeout=5) as line:
                    line.execute(f"LISTEN {CHANNEL}")
                    if lost:
                        self.tell(ALL)  # whatever was said meanwhile
                    lost = False
                    while not self._ending.is_set():
                        for notice in line.notifies(timeout=1.0):
                            self.tell(from_json(notice.payload))
            except (psycopg.Error, OSError) as problem:
                if not lost:
                    log.warning("news of other machines are out of reach: %s", problem)
                lost = True
                self._ending.wait(AGAIN_S)
