"""The database server goes away in the middle of work and comes back: the desk says so plainly
and goes on by itself; a worker keeps what it made and delivers it."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from bs4 import BeautifulSoup
from sqlalchemy.orm import Session

from airwright.desk.seed import demo_text
from airwright.desk.tasks.worker_pool import Workers
from airwright.store.errors import Unavailable
from airwright.store.files import Files
from airwright.store.jobs import Head, Jobs
from airwright.store.tasks import Tasks
from tests.desk.conftest import House
from tests.desk.test_tasks import wait_for
from tests.services import PostgresServer, postgres_server

pytestmark = [pytest.mark.postgres, pytest.mark.slow]


@pytest.fixture
def server() -> Iterator[PostgresServer]:
    """A server of this test's own, to be stopped and started."""
    with postgres_server() as running:
        yield running


def test_the_desk_says_so_and_goes_on_when_the_server_is_back(server: PostgresServer) -> None:
    house = House(server.url)
    job_id, visitor = house.job(), house.visitor()
    edits = f"/api/jobs/{job_id}/edits"
    change = {"do": "put", "path": ["pieces", 0, "height"], "value": "7 ft"}
    visitor.page(f"/jobs/{job_id}")
    server.stop()
    for path in ("/", f"/jobs/{job_id}", f"/jobs/{job_id}/day", f"/jobs/{job_id}/job.toml"):
        assert visitor.get(path).status_code == 503, path
    page = BeautifulSoup(visitor.get("/").text, "html.parser")
    assert "does not answer" in page.get_text()
    assert "Try again" in page.get_text()
    told = visitor.send(edits, {"version": 1, "changes": [change]})
    assert told.status_code == 503
    assert told.headers["retry-after"]
    assert set(told.json()) == {"what", "mend"}
    server.start()
    assert visitor.get("/").status_code == 200
    again = visitor.send(edits, {"version": 1, "changes": [change]})
    assert again.status_code == 200
    assert again.json()["version"] == 2
    house.desk.database.close()


@pytest.mark.timeout(700)
def test_a_worker_keeps_what_it_makes_and_delivers_it(
    server: PostgresServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    house = House(server.url)
    database = house.desk.database
    writing, missed = database.writing, threading.Event()

    @contextmanager
    def noticing() -> Iterator[Session]:
        try:
            with writing() as session:
                yield session
        except Unavailable:
            missed.set()
            raise

    monkeypatch.setattr(database, "writing", noticing)
    with database.writing() as session:
        job_id = Jobs(session).add(demo_text(), Head("Pier"), "Ada").id
        task_id = Tasks(session).add(job_id, "papers", {"papers": ["load_list"]}).id
    workers = Workers(database, lambda: dt.date(2027, 3, 1), 1)
    workers.start()
    try:
        wait_for(database, task_id, ("working",))
        server.stop()
        assert missed.wait(60), "the worker never missed a beat"
        server.start()
        assert wait_for(database, task_id, ("done", "failed"), 300) == "done"
        with database.writing() as session:  # and it takes new work
            later = Tasks(session).add(job_id, "papers", {"papers": ["make_sheet"]}).id
        assert wait_for(database, later, ("done", "failed"), 300) == "done"
    finally:
        workers.stop()
    with database.reading() as session:
        assert {file.name for file in Files(session).of_job(job_id)} >= {"load-list.pdf"}
    database.close()
