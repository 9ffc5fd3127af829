"""Hardship at length: kills, power cuts, full disks, clocks that jump, bad lines, wrong input.

    python -m tools.endure --hours 1 --seed 1

What is written in these rounds is written by the desk's own code. After each round the database is
read back: everything that was confirmed must be there, whole, and of the rest all or nothing. The
same seed makes the same rounds; how far a process comes before it is killed is up to the machine.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import random
import signal
import socket
import sqlite3
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any
from unittest.mock import patch

from sqlalchemy import event

from airwright.store import Database, Overtaken, StoreError, Unavailable, open_database
from airwright.store import types as store_types
from airwright.store.jobs import Head, Jobs
from airwright.store.people import SESSION_LASTS, People
from airwright.store.tables import TaskRow
from airwright.store.tasks import DONE, FAILED, LEASE, MOST_TRIES, Tasks
from tools.fuzz import Run

HEAD = Head("Pier")
ROUNDS_A_FILE = 40
"""Rounds after which a new file is begun: checking takes longer the more it holds."""

SECTOR = 512
"""Bytes that a disk writes whole, or not at all."""


@dataclass
class Endurance:
    """A run: how often each hardship was tried, and what it found."""

    seed: int
    counts: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)

    def fault(self, hardship: str, number: int, what: str) -> None:
        """Note a finding, so that it can be made again."""
        self.faults.append(f"seed {self.seed}, {hardship} {number}: {what}")

    def dice(self, hardship: str, number: int) -> random.Random:
        """The same for the same seed, hardship and number."""
        return random.Random(f"{self.seed}:{hardship}:{number}")


def text_of(number: int) -> str:
    """What version `number` of the job says; longer and shorter by turns."""
    return f"text {number} " + random.Random(number).randbytes(20 + number * 7919 % 9000).hex()


def new_file(folder: Path) -> tuple[str, str]:
    """A new database with one job: its address and the job's id."""
    address = f"sqlite:///{folder / 'desk.db'}"
    database = open_database(address)
    with database.writing() as session:
        job_id = Jobs(session).add(text_of(1), HEAD, "w").id
    database.close()
    return address, job_id


def change(database: Database, job_id: str, base: int) -> int:
    """One more version; returns its number."""
    with database.writing() as session:
        return Jobs(session).change(job_id, base, text_of(base + 1), HEAD, "c", "w").version


def missing(address: str, job_id: str, confirmed: int, begun: int) -> str:
    """What is wrong with a database after a hardship; "" if nothing."""
    file = address.removeprefix("sqlite:///")
    if address.startswith("sqlite"):
        with closing(sqlite3.connect(file)) as raw:
            found = raw.execute("PRAGMA quick_check").fetchone()[0]
        if found != "ok":
            return f"the file is damaged: {found}"
    database = open_database(address)
    try:
        with database.reading() as session:
            jobs = Jobs(session)
            row = jobs.get(job_id)
            if not confirmed <= row.version <= begun:
                return f"confirmed {confirmed}, begun {begun}, found {row.version}"
            for number in range(max(1, row.version - 12), row.version + 1):
                if jobs.version(job_id, number).text != text_of(number):
                    return f"version {number} reads otherwise"
            if row.text != text_of(row.version):
                return "the job is not its newest version"
    except StoreError as problem:
        return f"it cannot be read: {problem.what}"
    finally:
        database.close()
    return ""


# ---- kills and power cuts --------------------------------------------------------------------


def _write(pipe: Connection, address: str, job_id: str, *, checkpoints: bool) -> None:
    """Change a job without a pause, saying after each change that it is kept."""
    database = open_database(address)
    if not checkpoints:
        event.listen(database.engine, "checkout", _no_checkpoint)
    log = Path(f"{address.removeprefix('sqlite:///')}-wal")
    with database.reading() as session:
        base = Jobs(session).get(job_id).version
    while True:
        base = change(database, job_id, base)
        pipe.send((base, log.stat().st_size))


def _no_checkpoint(connection: Any, _record: Any, _proxy: Any) -> None:
    connection.execute("PRAGMA wal_autocheckpoint=0")


def killed(
    address: str, job_id: str, dice: random.Random, *, checkpoints: bool = True
) -> tuple[int, int]:
    """Have a process write, kill it; the last version it confirmed, and the log's size then."""
    fork = multiprocessing.get_context("fork")
    ours, theirs = fork.Pipe(duplex=False)
    options = {"checkpoints": checkpoints}
    child = fork.Process(target=_write, args=(theirs, address, job_id), kwargs=options)
    child.start()
    theirs.close()
    last = (0, 0)
    with suppress(EOFError):
        last = ours.recv()
        time.sleep(dice.uniform(0, 0.06))
    assert child.pid is not None
    os.kill(child.pid, signal.SIGKILL)
    child.join()
    with suppress(EOFError, OSError):
        while True:
            last = ours.recv()
    ours.close()
    return last


def kills(run: Endurance, rounds: Iterator[int]) -> None:
    """Processes killed in the middle of writing."""
    for at, folder in _files(rounds, "kills"):
        address, job_id = new_file(folder)
        for number in at:
            confirmed, _ = killed(address, job_id, run.dice("kill", number))
            _judge(run, "kill", number, missing(address, job_id, confirmed, confirmed + 1))


def power_cuts(run: Endurance, rounds: Iterator[int]) -> None:
    """A disk that lost what was not synced: sectors after the last confirmed commit are old."""
    for at, folder in _files(rounds, "cuts"):
        address, job_id = new_file(folder)
        file = folder / "desk.db"
        for number in at:
            dice = run.dice("power cut", number)
            confirmed, synced = killed(address, job_id, dice, checkpoints=False)
            tear(Path(f"{file}-wal"), synced, dice)
            Path(f"{file}-shm").unlink(missing_ok=True)  # it lives in memory
            _judge(run, "power cut", number, missing(address, job_id, confirmed, confirmed + 1))


def tear(log: Path, synced: int, dice: random.Random) -> None:
    """Lose of a file what lies behind `synced`: sectors at random, and the end."""
    data = bytearray(log.read_bytes())
    for start in range(synced, len(data), SECTOR):
        if dice.random() < 0.5:
            data[start : start + SECTOR] = bytes(min(SECTOR, len(data) - start))
    log.write_bytes(data[: dice.randint(min(synced, len(data)), len(data))])


def _files(rounds: Iterator[int], name: str) -> Iterator[tuple[Iterator[int], Path]]:
    for first in rounds:
        with tempfile.TemporaryDirectory(prefix=f"airwright-{name}-") as folder:
            yield _some(first, rounds), Path(folder)


def _some(first: int, rounds: Iterator[int]) -> Iterator[int]:
    yield first
    for number in rounds:
        yield number
        if (number + 1) % ROUNDS_A_FILE == 0:
            return


def _judge(run: Endurance, hardship: str, number: int, wrong: str) -> None:
    run.counts[hardship] += 1
    if wrong:
        run.fault(hardship, number, wrong)


# ---- full disks and clocks -------------------------------------------------------------------


def full_disks(run: Endurance, rounds: Iterator[int]) -> None:
    """No page more can be written, and later there can."""
    for at, folder in _files(rounds, "full"):
        address, job_id = new_file(folder)
        base = 1
        for number in at:
            base, wrong = _filled(address, job_id, base, run.dice("full disk", number))
            _judge(run, "full disk", number, wrong or missing(address, job_id, base, base))


def _filled(address: str, job_id: str, base: int, dice: random.Random) -> tuple[int, str]:
    with closing(sqlite3.connect(address.removeprefix("sqlite:///"))) as raw:
        pages = raw.execute("PRAGMA page_count").fetchone()[0] + dice.randrange(1, 12)
    database = open_database(address)

    def limit(connection: Any, _record: Any, _proxy: Any) -> None:
        connection.execute(f"PRAGMA max_page_count={pages}")

    event.listen(database.engine, "checkout", limit)
    try:
        for _ in range(400):
            base = change(database, job_id, base)
        return base, "the disk never was full"
    except Unavailable as problem:
        return base, "" if "full" in str(problem.what) else f"it said: {problem.what}"
    finally:
        database.close()


def clock_jumps(run: Endurance, rounds: Iterator[int]) -> None:
    """Clocks set ahead and back while workers work and people are signed in."""
    for number in rounds:
        dice = run.dice("clock jump", number)
        with tempfile.TemporaryDirectory(prefix="airwright-clock-") as folder:
            address, job_id = new_file(Path(folder))
            database = open_database(address)
            wrong = _worked_through(database, job_id, dice) or _signed_out(database, dice)
            database.close()
            _judge(run, "clock jump", number, wrong)


@contextmanager
def clock_at(moment: datetime) -> Iterator[None]:
    """The store's clock, stopped at a moment."""
    with (
        patch("airwright.store.tasks.now", lambda: moment),
        patch("airwright.store.people.now", lambda: moment),
    ):
        yield


def _jump(dice: random.Random) -> timedelta:
    return timedelta(seconds=dice.choice((1, 3, 25, 4000, 40_000_000)) * dice.choice((-1, 1)))


def _worked_through(database: Database, job_id: str, dice: random.Random) -> str:
    """Two workers under a clock that jumps; every task must come to its end once."""
    moment = store_types.now()
    with database.writing() as session:
        wanted = {Tasks(session).add(job_id, "pack", {}).id for _ in range(3)}
    ended: Counter[str] = Counter()
    held: dict[str, str] = {}
    for step in range(200):
        calm = step > 40  # by then clocks are set right, and all must come to an end
        moment += timedelta(seconds=LEASE.total_seconds() + 1) if calm else _jump(dice)
        worker = dice.choice(("one", "two"))
        with clock_at(moment), database.writing() as session:
            tasks = Tasks(session)
            mine = held.pop(worker, None)
            if mine is None:
                taken = tasks.claim(worker)
                if taken is not None:
                    held[worker] = taken.id
            elif calm or dice.random() < 0.3:
                ended[mine] += tasks.finish(mine, worker, DONE)
            elif tasks.beat(mine, worker, 0, 1, ""):
                held[worker] = mine
            states = {row.id: (row.state, row.tries) for row in session.query(TaskRow)}
        if all(state in (DONE, FAILED) for state, _ in states.values()):
            break
    stuck = [state for state, _ in states.values() if state not in (DONE, FAILED)]
    early = [1 for state, tries in states.values() if state == FAILED and tries < MOST_TRIES]
    doubled = [task for task in wanted if ended[task] > 1]
    return f"stuck {stuck}, given up early {early}, doubled {doubled}" * bool(
        stuck or early or doubled
    )


def _signed_out(database: Database, dice: random.Random) -> str:
    """A session never outlives its end, whatever the clock did meanwhile."""
    began = store_types.now()
    with clock_at(began), database.writing() as session:
        person = People(session).add("ada", "Ada", "owner", "x")
        token = People(session).start_session(person)
    for _ in range(10):
        moment = began + _jump(dice)
        with clock_at(moment), database.writing() as session:
            found = People(session).login_session(token)
            if found is not None:
                found[0].seen = moment
            if found is not None and moment > began + SESSION_LASTS:
                return f"still signed in after {moment - began}"
    return ""


# ---- bad lines -------------------------------------------------------------------------------


class BadLine:
    """A line to a server that dawdles and breaks."""

    def __init__(self, port: int, dice: random.Random) -> None:
        self.port, self.dice = port, dice
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.address = self.listener.getsockname()[1]
        threading.Thread(target=self._accept, daemon=True).start()

    def close(self) -> None:
        """Take no more calls."""
        self.listener.close()

    def _accept(self) -> None:
        with suppress(OSError):
            while True:
                here, _ = self.listener.accept()
                there = socket.create_connection(("127.0.0.1", self.port))
                left = self.dice.choice((0, 400, 3000, 20_000, 10**9))
                for source, target in ((here, there), (there, here)):
                    args = (source, target, left)
                    threading.Thread(target=self._carry, args=args, daemon=True).start()

    def _carry(self, source: socket.socket, target: socket.socket, left: int) -> None:
        with suppress(OSError):
            while left > 0 and (data := source.recv(4096)):
                time.sleep(self.dice.choice((0, 0, 0, 0.002, 0.02)))
                target.sendall(data[:left])
                left -= len(data)
        for end in (source, target):
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)


def bad_lines(run: Endurance, rounds: Iterator[int]) -> None:
    """A PostgreSQL server behind a line that breaks anywhere; skipped where there is no server."""
    from sqlalchemy.engine import make_url

    from tests.services import find_postgres, postgres_server

    if find_postgres() is None:
        return
    with postgres_server() as server:
        direct = open_database(server.url)
        with direct.writing() as session:
            job_id = Jobs(session).add(text_of(1), HEAD, "w").id
        for number in rounds:
            dice = run.dice("bad line", number)
            line = BadLine(make_url(server.url).port or 5432, dice)
            through = make_url(server.url).set(port=line.address, query={"connect_timeout": "3"})
            wrong = _through(through.render_as_string(hide_password=False), direct, job_id, dice)
            line.close()
            _judge(run, "bad line", number, wrong)
        direct.close()


def _through(address: str, direct: Database, job_id: str, dice: random.Random) -> str:
    """Write over a bad line; what is wrong afterwards, seen over a good one."""
    with direct.reading() as session:
        confirmed = begun = Jobs(session).get(job_id).version
    try:
        database = open_database(address, migrate=False)
    except StoreError:
        return ""  # it never got through, and said so
    for _ in range(dice.randrange(2, 12)):
        try:
            begun = confirmed + 1
            confirmed = change(database, job_id, confirmed)
        except (Unavailable, Overtaken):
            break  # it may be kept or not; both are told truly by the next look
    database.close()
    with direct.writing() as session:  # waits for what the server still has in hand
        row = Jobs(session).get(job_id, locked=True)
        if not confirmed <= row.version <= begun:
            return f"confirmed {confirmed}, begun {begun}, found {row.version}"
        if Jobs(session).version(job_id, row.version).text != text_of(row.version):
            return f"version {row.version} reads otherwise"
    return ""


# ---- the run ---------------------------------------------------------------------------------


def wrong_input(run: Endurance, rounds: Iterator[int]) -> None:
    """Wrong files, settings and edits."""
    fuzz = Run(run.seed)
    for number in rounds:
        fuzz.one(number)
        run.counts["wrong input"] += 1
    run.faults += fuzz.failures


HARDSHIPS: dict[str, tuple[float, Callable[[Endurance, Iterator[int]], None]]] = {
    "kills": (0.30, kills),
    "power cuts": (0.15, power_cuts),
    "full disks": (0.05, full_disks),
    "clock jumps": (0.10, clock_jumps),
    "bad lines": (0.10, bad_lines),
    "wrong input": (0.30, wrong_input),
}
"""Each hardship and its share of the time."""


def within(seconds: float, first: int = 0) -> Iterator[int]:
    """Numbers of rounds until the time is over."""
    end, number = time.monotonic() + seconds, first
    while time.monotonic() < end:
        yield number
        number += 1


def main(arguments: list[str] | None = None) -> int:
    """Endure for some hours; 1 when anything was found."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--hours", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--first", type=int, default=0, help="number of the first round")
    asked = parser.parse_args(arguments)
    run = Endurance(asked.seed)
    for name, (share, hardship) in HARDSHIPS.items():
        hardship(run, within(3600 * asked.hours * share, asked.first))
        sys.stderr.write(f"{name} done\n")
    told = {"hours": asked.hours, "seed": asked.seed, "rounds": run.counts, "faults": run.faults}
    sys.stdout.write(json.dumps(told, indent=1) + "\n")
    return 1 if run.faults else 0


if __name__ == "__main__":
    sys.exit(main())
