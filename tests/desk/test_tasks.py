"""Background work: papers come, a stopped task stops, a killed worker loses nothing."""

from __future__ import annotations

import datetime as dt
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from airwright.desk.seed import demo_text
from airwright.desk.tasks.worker_pool import Workers
from airwright.store import Database, open_database
from airwright.store.files import Files
from airwright.store.jobs import Head, Jobs
from airwright.store.tables import TaskRow
from airwright.store.tasks import LEASE, Tasks
from airwright.store.types import now
from tests.desk.conftest import BOTH, address_for

pytestmark = pytest.mark.slow

WORKER = """
import datetime as dt, sys
from airwright.desk.tasks.worker_pool import Workers
from airwright.store import open_database
if __name__ == "__main__":
    Workers(open_database(sys.argv[1]), lambda: dt.date(2027, 3, 1), 1).serve_here()
"""


@pytest.fixture(params=BOTH)
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[str, Database]]:
    address = address_for(request.param, tmp_path, request)
    database = open_database(address)
    yield address, database
    database.close()


def ordered(database: Database, kind: str, order: dict[str, object]) -> tuple[str, str]:
    with database.writing() as session:
        job_id = Jobs(session).add(demo_text(), Head("Pier"), "Ada").id
        return job_id, Tasks(session).add(job_id, kind, order).id


def wait_for(database: Database, task_id: str, states: tuple[str, ...], seconds: float = 90) -> str:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        with database.reading() as session:
            state = session.get_one(TaskRow, task_id).state
        if state in states:
            return state
        time.sleep(0.1)
    raise AssertionError(f"still {state} after {seconds} s")


def test_papers_come_and_say_whether_they_hold_money(place: tuple[str, Database]) -> None:
    _, database = place
    job_id, task_id = ordered(database, "papers", {"papers": ["proposal", "load_list"]})
    workers = Workers(database, lambda: dt.date(2027, 3, 1), 1)
    workers.start()
    try:
        assert wait_for(database, task_id, ("done", "failed")) == "done"
    finally:
        workers.stop()
    with database.reading() as session:
        files = {file.name: (file.use, file.holds_money) for file in Files(session).of_job(job_id)}
        assert files["proposal.pdf"] == ("client paper", True)
        assert files["load-list.pdf"] == ("crew paper", False)
        assert all(f.content[:5] == b"%PDF-" for f in Files(session).of_job(job_id))


def test_a_job_with_errors_is_refused_in_words(place: tuple[str, Database]) -> None:
    _, database = place
    with database.writing() as session:
        job_id = Jobs(session).add("broken", Head("x"), "Ada").id
        task_id = Tasks(session).add(job_id, "papers", {"papers": []}).id
    workers = Workers(database, lambda: dt.date(2027, 3, 1), 1)
    workers.start()
    try:
        assert wait_for(database, task_id, ("done", "failed")) == "failed"
    finally:
        workers.stop()
    with database.reading() as session:
        assert "errors" in session.get_one(TaskRow, task_id).note


def test_a_worker_killed_in_the_middle_loses_no_task(place: tuple[str, Database]) -> None:
    address, database = place
    _, task_id = ordered(database, "papers", {"papers": ["load_list"]})
    first = subprocess.Popen(
        [sys.executable, "-c", WORKER, address],
        env=os.environ | {"PYTHONPATH": "src"},
        start_new_session=True,
    )
    try:
        wait_for(database, task_id, ("working",))
    finally:
        os.killpg(first.pid, signal.SIGKILL)
        first.wait()
    with database.writing() as session:
        task = session.get_one(TaskRow, task_id)
        assert task.state == "working"
        assert task.beat is not None
        task.beat = now() - 2 * LEASE  # as if the lease had run out meanwhile
    second = subprocess.Popen(
        [sys.executable, "-c", WORKER, address],
        env=os.environ | {"PYTHONPATH": "src"},
        start_new_session=True,
    )
    try:
        assert wait_for(database, task_id, ("done", "failed")) == "done"
    finally:
        os.killpg(second.pid, signal.SIGKILL)
        second.wait()
    with database.reading() as session:
        assert session.get_one(TaskRow, task_id).tries == 2


def started(address: str, told: Path) -> subprocess.Popen[bytes]:
    with told.open("wb") as out:
        return subprocess.Popen(
            [sys.executable, "-c", WORKER, address],
            env=os.environ | {"PYTHONPATH": "src"},
            start_new_session=True,
            stderr=out,
        )


@pytest.mark.postgres
def test_two_workers_share_the_load_and_one_may_be_killed(
    request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    """Nothing is aged by hand here: the lease and the engine's heartbeat really run out."""
    address = address_for("postgresql", tmp_path, request)
    database = open_database(address)
    orders = [ordered(database, "papers", {"papers": ["load_list"]}) for _ in range(6)]
    told = [tmp_path / "first.txt", tmp_path / "second.txt"]
    workers = [started(address, file) for file in told]
    try:
        victim = _killed_while_both_work(database, workers)
        for _, task_id in orders:
            assert wait_for(database, task_id, ("done", "failed"), 150) == "done"
    finally:
        for worker in workers:
            if worker.poll() is None:
                os.killpg(worker.pid, signal.SIGTERM)
            worker.wait(timeout=20)
    with database.reading() as session:
        rows = {task_id: session.get_one(TaskRow, task_id) for _, task_id in orders}
        assert rows[victim].tries == 2  # taken up again, once
        assert all(row.tries == 1 for key, row in rows.items() if key != victim)
        for job_id, _ in orders:
            names = [file.name for file in Files(session).of_job(job_id)]
            assert names.count("load-list.pdf") == 1
            assert len(names) == len(set(names))
        left = session.connection().exec_driver_sql("SELECT count(*) FROM procrastinate_jobs")
        assert left.scalar() == 0
    database.close()
    assert b"Traceback" not in b"".join(file.read_bytes() for file in told)


def _killed_while_both_work(database: Database, workers: list[subprocess.Popen[bytes]]) -> str:
    """Wait until both have a task, kill the first with its children; the id of its task."""
    end = time.monotonic() + 60
    while time.monotonic() < end:
        with database.reading() as session:
            working = session.query(TaskRow).filter_by(state="working").all()
        if len({row.worker.split("-")[-3] for row in working}) == 2:
            os.killpg(workers[0].pid, signal.SIGKILL)
            workers[0].wait()
            with database.reading() as session:
                mine = [
                    row
                    for row in session.query(TaskRow).filter_by(state="working")
                    if row.worker.split("-")[-3] == str(workers[0].pid)
                ]
            assert len(mine) == 1, "it ended its task in the last moment"
            return mine[0].id
        time.sleep(0.05)
    raise AssertionError("the two workers never worked at the same time")


@pytest.mark.postgres
def test_a_worker_told_to_end_gives_its_task_back(
    request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    database = open_database(address := address_for("postgresql", tmp_path, request))
    _, task_id = ordered(database, "papers", {"papers": []})
    first = started(address, tmp_path / "told.txt")
    wait_for(database, task_id, ("working",))
    first.terminate()
    assert first.wait(timeout=20) == 0
    with database.reading() as session:
        row = session.get_one(TaskRow, task_id)
        assert (row.state, row.tries, row.worker) == ("waiting", 0, "")
    second = started(address, tmp_path / "told.txt")
    try:
        wait_for(database, task_id, ("working",), 15)  # at once, no lease has to run out
    finally:
        os.killpg(second.pid, signal.SIGKILL)
        second.wait()
    database.close()


@pytest.mark.postgres
def test_what_nobody_carries_is_sent_again(request: pytest.FixtureRequest, tmp_path: Path) -> None:
    """As after a restored backup: the row waits, and the engine knows nothing of it."""
    database = open_database(address_for("postgresql", tmp_path, request))
    _, task_id = ordered(database, "papers", {"papers": ["load_list"]})
    with database.writing() as session:
        session.connection().exec_driver_sql("DELETE FROM procrastinate_jobs")
    workers = Workers(database, lambda: dt.date(2027, 3, 1), 1)
    workers.start()
    try:
        assert wait_for(database, task_id, ("done", "failed")) == "done"
    finally:
        workers.stop()
    database.close()
