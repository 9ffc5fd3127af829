"""Links, tasks, files, ticks, settings and actuals."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Iterator
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airwright.store import Database, Missing, Overtaken, open_database
from airwright.store.actuals import Actuals
from airwright.store.files import Files
from airwright.store.jobs import Head, Jobs
from airwright.store.links import Links
from airwright.store.studio import Designs, StudioFile
from airwright.store.tables import ClientLink, TaskRow
from airwright.store.tasks import LEASE, Tasks
from airwright.store.ticks import Ticked, Ticks
from airwright.store.types import now


@pytest.fixture
def job_id(database: Database) -> str:
    with database.writing() as session:
        return Jobs(session).add("x", Head("Pier opening"), "Ada").id


def test_a_link_holds_until_it_ends_or_is_withdrawn(database: Database, job_id: str) -> None:
    with database.writing() as session:
        links = Links(session)
        link, token = links.make(job_id, 14)
        assert links.open_with(token) is link
        assert links.open_with(token[:-1]) is None
        assert links.open_with(token, now() + dt.timedelta(days=15)) is None
        assert token not in session.query(ClientLink).one().token_digest
        links.withdraw(job_id, link.id)
        assert links.open_with(token) is None
        with pytest.raises(Missing):
            links.withdraw("another job", link.id)


def test_one_task_is_claimed_by_one_worker(database: Database, job_id: str) -> None:
    with database.writing() as session:
        Tasks(session).add(job_id, "pack", {"papers": ["proposal"]})
    with database.writing() as session:
        task = Tasks(session).claim("first")
        assert task is not None
        assert task.order == {"papers": ["proposal"]}
    with database.writing() as session:
        assert Tasks(session).claim("second") is None


def test_a_dead_workers_task_is_taken_over_and_his_late_word_ignored(
    database: Database, job_id: str
) -> None:
    with database.writing() as session:
        task_id = Tasks(session).add(job_id, "pack", {}).id
        Tasks(session).claim("dead")
    with database.writing() as session:
        session.get_one(TaskRow, task_id).beat = now() - 2 * LEASE
    with database.writing() as session:
        taken = Tasks(session).claim("alive")
        assert taken is not None
        assert taken.id == task_id
    with database.writing() as session:
        assert not Tasks(session).beat(task_id, "dead", 1, 2, "")
        assert not Tasks(session).finish(task_id, "dead", "done")
        assert Tasks(session).beat(task_id, "alive", 1, 2, "half")
        assert Tasks(session).finish(task_id, "alive", "done")


def test_a_task_that_kills_its_worker_is_given_up(database: Database, job_id: str) -> None:
    with database.writing() as session:
        task_id = Tasks(session).add(job_id, "pack", {}).id
    for _ in range(5):
        with database.writing() as session:
            Tasks(session).claim("w")
            session.get_one(TaskRow, task_id).beat = now() - 2 * LEASE
    with database.reading() as session:
        assert session.get_one(TaskRow, task_id).state == "failed"


def test_a_stopped_task_stops_its_worker(database: Database, job_id: str) -> None:
    with database.writing() as session:
        waiting = Tasks(session).add(job_id, "photo", {}).id
        Tasks(session).stop(waiting)
        running = Tasks(session).add(job_id, "photo", {}).id
        assert Tasks(session).claim("w")
        Tasks(session).stop(running)
        assert not Tasks(session).beat(running, "w", 1, 9, "")
        assert session.get_one(TaskRow, waiting).state == "cancelled"


def test_a_newer_file_takes_the_older_ones_place(database: Database, job_id: str) -> None:
    with database.writing() as session:
        Files(session).put("paper", "proposal.pdf", "application/pdf", b"old", job_id=job_id)
        Files(session).put("paper", "proposal.pdf", "application/pdf", b"new\0", job_id=job_id)
    with database.reading() as session:
        (row,) = Files(session).of_job(job_id)
        assert Files(session).get(row.id, job_id).content == b"new\0"
        with pytest.raises(Missing):
            Files(session).get(row.id, "another job")


WORDS = st.lists(
    st.builds(
        Ticked,
        item=st.sampled_from(["load:pole", "step:1"]),
        ticked=st.booleans(),
        at=st.integers(0, 5).map(lambda s: dt.datetime(2020, 5, 22, 8, 0, s, tzinfo=dt.UTC)),
        actor=st.sampled_from(["Ada", "Bo"]),
    ),
    max_size=4,
    unique_by=lambda word: (word.item, word.at, word.actor),
)


@pytest.fixture(scope="module")
def one_database(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    opened = open_database(f"sqlite:///{tmp_path_factory.mktemp('ticks')}/desk.db")
    yield opened
    opened.close()


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(words=WORDS)
def test_ticks_merge_to_the_same_whatever_order_they_come_in(
    one_database: Database, words: list[Ticked]
) -> None:
    database = one_database
    outcomes = set()
    for order in itertools.islice(itertools.permutations(words), 6):
        with database.writing() as session:
            job_id = Jobs(session).add("x", Head("t"), "Ada").id
            for word in order:
                Ticks(session).merge(job_id, [word])
        with database.reading() as session:
            found = Ticks(session).of_job(job_id)
            outcomes.add(tuple((t.item, t.ticked, t.at, t.actor) for t in found))
    assert len(outcomes) == 1


def test_a_clock_that_runs_fast_has_no_last_word(database: Database, job_id: str) -> None:
    with database.writing() as session:
        fast = Ticked("load:pole", True, now() + dt.timedelta(days=400), "Ada")
        Ticks(session).merge(job_id, [fast])
    with database.writing() as session:
        later = Ticked("load:pole", False, now() + dt.timedelta(seconds=1), "Bo")
        assert Ticks(session).merge(job_id, [later]) == 1


def test_settings_are_not_overwritten_unseen(database: Database) -> None:
    with database.writing() as session:
        assert StudioFile(session).put("a", 0) == 1
    with database.writing() as session:
        assert StudioFile(session).put("b", 1) == 2
    with pytest.raises(Overtaken), database.writing() as session:
        StudioFile(session).put("c", 1)
    with database.reading() as session:
        assert StudioFile(session).get() == ("b", 2)


def test_money_is_kept_to_the_digit(database: Database, job_id: str) -> None:
    with database.writing() as session:
        Actuals(session).add(job_id, "bought", "bags", Decimal("0.10"), "Ada")
        Actuals(session).add(job_id, "bought", "bags", Decimal("12345678901234567.89"), "Ada")
        Designs(session).keep("Column", "column", "x", "USD", Decimal("184.50"), 37, 1.5)
    with database.reading() as session:
        amounts = [row.amount for row in Actuals(session).of_job(job_id)]
        assert sum(amounts) == Decimal("12345678901234567.99")
        assert str(Designs(session).all()[0].price) == "184.50"
