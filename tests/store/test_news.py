"""News of what changed: collected by each transaction, told after it is kept, across machines."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

from sqlalchemy import update

from airwright.store import Database, open_database
from airwright.store.jobs import Head, Jobs, Summary
from airwright.store.news import ALL, DOOR, LONGEST_WORD, News, from_json
from airwright.store.people import People
from airwright.store.tables import JobRow
from airwright.store.ticks import Ticked, Ticks
from airwright.store.types import now
from airwright.store.watch import Watch

HEAD = Head("Pier opening")


class Heard:
    """Collects news, and waits until something was told."""

    def __init__(self) -> None:
        self.news = News()
        self._told = threading.Condition()

    def __call__(self, news: News) -> None:
        with self._told:
            self.news = self.news | news
            self._told.notify_all()

    def until(self, fits: Callable[[News], bool]) -> bool:
        with self._told:
            return self._told.wait_for(lambda: fits(self.news), timeout=30)


@contextmanager
def listening(database: Database) -> Iterator[Heard]:
    heard = Heard()
    watch = Watch(database, heard)
    watch.start()
    try:
        if not database.is_sqlite:  # told once it listens for sure
            for _ in range(100):
                with database.writing() as session:
                    Jobs(session).add("probe", HEAD, "Ada")
                if heard._told.acquire():
                    ready = heard._told.wait_for(lambda: bool(heard.news), timeout=0.2)
                    heard._told.release()
                    if ready:
                        break
        heard.news = News()
        yield heard
    finally:
        watch.stop()


def test_a_transaction_tells_tables_and_jobs(database: Database) -> None:
    with listening(database) as heard:
        with database.writing() as session:
            job_id = Jobs(session).add("one", HEAD, "Ada").id
        assert heard.until(lambda news: job_id in news.jobs and "jobs" in news.tables)
        heard.news = News()
        with database.writing() as session:
            Ticks(session).merge(job_id, [Ticked("load:pole", True, now(), "Bo")])
        assert heard.until(lambda news: job_id in news.jobs)
        assert heard.news.tables == {"ticks"}
        heard.news = News()
        with database.writing() as session:
            Jobs(session).summarise(job_id, 1, Summary(balloons=3))
        assert heard.until(lambda news: "jobs" in news.tables)


def test_what_was_not_kept_is_not_told(database: Database) -> None:
    with listening(database) as heard:
        with suppress(RuntimeError), database.writing() as session:
            lost = Jobs(session).add("one", HEAD, "Ada").id
            raise RuntimeError
        with database.writing() as session:
            kept = Jobs(session).add("two", HEAD, "Ada").id
        assert heard.until(lambda news: kept in news.jobs)
        assert lost not in heard.news.jobs


def test_signing_out_is_told_at_the_door_and_looking_round_is_not(database: Database) -> None:
    with listening(database) as heard:
        with database.writing() as session:
            person = People(session).add("ada", "Ada", "owner", "x")
            token = People(session).start_session(person)
        assert heard.until(lambda news: DOOR in news.tables)
        heard.news = News()
        with database.writing() as session:
            found = People(session).login_session(token)
            assert found is not None
            found[0].seen = now()
        with database.writing() as session:
            Jobs(session).add("one", HEAD, "Ada")
        assert heard.until(lambda news: "jobs" in news.tables)
        assert DOOR not in heard.news.tables
        with database.writing() as session:
            People(session).leave(token)
        assert heard.until(lambda news: DOOR in news.tables)


def test_another_process_is_heard(address: str) -> None:
    """A second engine stands for a second process: they share nothing but the database."""
    here, there = open_database(address), open_database(address)
    with listening(here) as heard:
        with here.writing() as session:  # so that a file's counter has been looked at
            Jobs(session).add("own", HEAD, "Ada")
        assert heard.until(bool)
        for _ in range(60):  # a file is looked at twice a second
            with there.writing() as session:
                job_id = Jobs(session).add("theirs", HEAD, "Bo").id
            heard.news = News()
            if heard.until(lambda news: news.everything or bool(news.jobs)):
                break
        assert heard.news.everything or job_id in heard.news.jobs
    here.close()
    there.close()


def test_news_fit_on_the_wire() -> None:
    news = News(frozenset({"jobs"}), frozenset({"a", "b"}))
    assert from_json(news.to_json()) == news
    many = News(frozenset({"jobs"}), frozenset(str(n) * 9 for n in range(2000)))
    assert len(many.to_json()) <= LONGEST_WORD
    assert from_json(many.to_json()) == ALL
    for broken in ("", "{", "[]", '{"tables": 3}', "null"):
        assert from_json(broken) == ALL


def test_a_change_for_all_rows_names_its_table(database: Database) -> None:
    with listening(database) as heard:
        with database.writing() as session:
            session.execute(update(JobRow).values(errors=0))
        assert heard.until(lambda news: "jobs" in news.tables)
