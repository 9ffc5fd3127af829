"""News of what was changed, told to whoever listens once it is kept.

In one process its listeners are told after the commit; on a PostgreSQL server the transaction
itself says so (NOTIFY), and every machine that listens there is told by the server. Other processes
at the same SQLite file are noticed by the file's own counter of changes.
"""

from __future__ import annotations

import logging
import sqlite3
import threading
from collections.abc import Callable
from contextlib import closing, suppress
from typing import Final

from airwright.store.database import Database
from airwright.store.news import ALL, CHANNEL, News, from_json

log = logging.getLogger("airwright.store.watch")

LOOK_EVERY_S: Final = 0.5
"""How often a SQLite file is asked whether another process changed it [s]."""

AGAIN_S: Final = 2.0
"""How long after a lost connection the server is asked again [s]."""


class Watch:
    """Has news told of what this process changes, and of what others do until it is stopped.

    Args:
        database: open.
        tell: called in any thread, soon after each commit; must neither block nor raise.
    """

    def __init__(self, database: Database, tell: Callable[[News], None]) -> None:
        self.database = database
        self.tell = tell
        database.listeners.append(tell)
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
