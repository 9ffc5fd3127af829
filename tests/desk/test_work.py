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
from airwright.desk.work.crew import Workers
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
from airwright.desk.work.crew import Workers
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
        files = {file.name: file.holds_money for file in Files(session).of_job(job_id)}
        assert files["proposal.pdf"]
        assert not files["load-list.pdf"]
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
