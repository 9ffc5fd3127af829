"""The workers of one desk: each claims a task, does it in a process, and says how far it is."""

from __future__ import annotations

import datetime as dt
import logging
import multiprocessing
import os
import signal
import socket
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess

from airwright.desk.tasks.queue_backend import from_engine, from_table
from airwright.desk.tasks.task_runner import Made, Order, run
from airwright.language import message
from airwright.store import Database, Missing, StoreError, Unavailable
from airwright.store.files import Files
from airwright.store.jobs import Jobs
from airwright.store.stock import Stock
from airwright.store.studio import StudioFile
from airwright.store.tasks import CANCELLED, DONE, FAILED, Tasks
from airwright.store.types import new_id
from airwright.store.venue_photos import VenuePhotos

log = logging.getLogger("airwright.desk.tasks")

BEAT_EVERY_S = 1.0

INSIST_S = 120.0
"""How long a worker tries to deliver what it made while the database is away [s]."""


class Workers:
    """Background workers in threads; each piece of work runs in a process of its own.

    Args:
        database: open; its kind decides how tasks come (see `queue_backend`).
        today: the studio's date.
        count: how many tasks at a time.
    """

    def __init__(self, database: Database, today: Callable[[], dt.date], count: int) -> None:
        self.database = database
        self.today = today
        self._wake = threading.Event()
        self._ending = threading.Event()
        self._threads = [
            threading.Thread(target=self._serve, args=(share,), name=f"worker-{at}", daemon=True)
            for at, share in enumerate([1] * count if database.is_sqlite else [count])
        ]

    def start(self) -> None:
        """Begin to work."""
        for thread in self._threads:
            thread.start()

    def wake(self) -> None:
        """There is something to do."""
        self._wake.set()

    def stop(self) -> None:
        """End; what was half done is given back and waits for the next worker."""
        self._ending.set()
        self._wake.set()
        for thread in self._threads:
            if thread.is_alive():
                thread.join(timeout=10)

    def serve_here(self, ready: Callable[[], None] = lambda: None) -> None:
        """Work until Ctrl-C or SIGTERM (`airwright worker`); `ready` is told once it listens."""
        before = signal.signal(signal.SIGTERM, lambda *_: self._ending.set())
        try:
            self.start()
            ready()
            while not self._ending.wait(1.0):
                pass
        except KeyboardInterrupt:
            pass
        finally:
            self.stop()
            signal.signal(signal.SIGTERM, before)

    def _serve(self, count: int) -> None:
        name = f"{socket.gethostname()[:40]}-{os.getpid()}-{new_id()}"
        if self.database.is_sqlite:
            from_table(self._ending, self._wake, lambda: self._take(name, None))
        else:
            # Each task under a name of its own: two tasks of one process are told apart.
            from_engine(
                self.database,
                self._ending,
                count,
                lambda task_id: self._take(f"{name}-{new_id()}", task_id),
            )

    def _take(self, name: str, task_id: str | None) -> bool:
        """Take a task and do it; False when there was none to take."""
        try:
            with self.database.writing() as session:
                tasks = Tasks(session)
                task = tasks.claim(name) if task_id is None else tasks.take(task_id, name)
                claimed = None if task is None else (task.id, task.job_id, task.kind, task.order)
        except StoreError:
            claimed = None
        if claimed is None:
            return False
        try:
            self._do(name, *claimed)
        except Unavailable as problem:
            # Its lease runs out, and whoever reaches the database again takes it up anew.
            log.warning("a task was left to others: %s", problem.what)
        except Exception:
            log.exception("a task failed")
            with suppress(Unavailable):
                self._finish(
                    name, claimed[0], FAILED, message("It failed; the desk's window says why.")
                )
        return True

    def _do(
        self, name: str, task_id: str, job_id: str, kind: str, details: dict[str, object]
    ) -> None:
        try:
            with self.database.reading() as session:
                row = Jobs(session).get(job_id)
                photos = {
                    file.name.removeprefix("photo ").removesuffix(".png"): file.content
                    for file in Files(session).of_job(job_id, "photo")
                }
                order = Order(
                    kind,
                    row.text,
                    StudioFile(session).get()[0],
                    self.today(),
                    dict(details),
                    photos,
                    VenuePhotos(session).content(str(details.get("photo", ""))),
                    Stock(session).shelf().for_job(job_id, self.today()),
                )
                version = row.version
        except Missing:
            return
        made: list[Made] = []
        state, note = self._worked(name, task_id, order, made)
        if state is None:
            if self._ending.is_set():
                with self.database.writing() as session:
                    Tasks(session).release(task_id, name)
            return  # or else somebody else has the task
        deliver = partial(self._deliver, name, task_id, job_id, version, state, note, made)
        self._insist(deliver)

    def _worked(
        self, name: str, task_id: str, order: Order, made: list[Made]
    ) -> tuple[str | None, str]:
        """Have a process do the work and follow it; see `_watch`."""
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe(duplex=False)
        process = context.Process(target=run, args=(theirs, order), daemon=True)
        process.start()
        theirs.close()
        try:
            return self._watch(name, task_id, ours, process, made)
        except BaseException:
            process.kill()
            raise
        finally:
            process.join(timeout=2)
            ours.close()

    def _deliver(
        self,
        name: str,
        task_id: str,
        job_id: str,
        version: int,
        state: str,
        note: str,
        made: list[Made],
    ) -> None:
        with self.database.writing() as session:
            if not Tasks(session).finish(task_id, name, state, note) or state != DONE:
                return
            for file in made:
                Files(session).put(
                    file.use,
                    file.name,
                    file.media,
                    file.content,
                    job_id=job_id,
                    version=version,
                    holds_money=file.use not in ("photo", "room photo", "crew paper"),
                )

    def _insist(self, write: Callable[[], None]) -> None:
        """Write what was worked for, also when the database is away for a while."""
        end = time.monotonic() + INSIST_S
        while True:
            try:
                write()
                return
            except Unavailable:
                if time.monotonic() > end or self._ending.wait(1.0):
                    raise

    def _watch(
        self, name: str, task_id: str, pipe: Connection, process: SpawnProcess, made: list[Made]
    ) -> tuple[str | None, str]:
        """Follow a process to its end; (None, "") when the task is no longer ours."""
        done, total, note, beaten = 0, 0, "", 0.0
        while True:
            if self._ending.is_set():
                process.kill()
                return None, ""
            if time.monotonic() - beaten > BEAT_EVERY_S:
                beaten = time.monotonic()
                # If it is out of reach, it may be back at the next beat; the work goes on.
                with suppress(Unavailable), self.database.writing() as session:
                    tasks = Tasks(session)
                    if not tasks.beat(task_id, name, done, total, note):
                        process.kill()
                        cancelled = tasks.get(task_id).cancel
                        return (CANCELLED, message("Stopped.")) if cancelled else (None, "")
            try:
                if not pipe.poll(0.2):
                    continue
                word = pipe.recv()
            except (EOFError, OSError):
                return FAILED, message("It ended without a word; perhaps memory ran out.")
            if word[0] == "progress":
                _, done, total, note = word
                beaten = 0.0
            elif word[0] == "made":
                made.append(word[1])
            else:
                return (FAILED, word[1]) if word[1] else (DONE, message("Done."))

    def _finish(self, name: str, task_id: str, state: str, note: str) -> None:
        with self.database.writing() as session:
            Tasks(session).finish(task_id, name, state, note)
