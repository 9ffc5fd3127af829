"""Jobs: versions without end, nobody's change lost, lists in the right order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.store import Database, Missing, Overtaken, open_database
from airwright.store.jobs import Head, Jobs, Summary

TODAY = dt.date(2027, 5, 1)
HEAD = Head("Pier opening", "Saltmarsh Ferries", "Pier hall", dt.date(2027, 5, 22))


def started(database: Database, text: str = "one", head: Head = HEAD) -> str:
    with database.writing() as session:
        return Jobs(session).add(text, head, "Ada").id


def undone(jobs: Jobs, job_id: str, actor: str, *, forward: bool = False) -> str | None:
    """Take back one person's last change as the desk does it; its label."""
    row = jobs.get(job_id)
    steps = jobs.own_steps(row, actor)
    step = steps.redo if forward else steps.undo
    if step is None:
        return None
    parent = jobs.version(job_id, step.number).parent
    assert parent is not None
    before = jobs.version(job_id, parent).text
    jobs.change(job_id, row.version, before, HEAD, "back", actor, undoes=step.number)
    return step.label


def test_undo_and_redo_walk_through_every_change(database: Database) -> None:
    job_id = started(database)
    for base, text in ((1, "two"), (2, "three")):
        with database.writing() as session:
            Jobs(session).change(job_id, base, text, HEAD, f"made {text}", "Ada")
    with database.writing() as session:
        jobs = Jobs(session)
        assert undone(jobs, job_id, "Ada") == "made three"
        assert jobs.get(job_id).text == "two"
        assert undone(jobs, job_id, "Bo") is None
        assert undone(jobs, job_id, "Ada") == "made two"
        assert jobs.get(job_id).text == "one"
        assert undone(jobs, job_id, "Ada") is None
        assert undone(jobs, job_id, "Ada", forward=True) == "made two"
        assert jobs.get(job_id).text == "two"


def test_a_change_after_undo_loses_no_version(database: Database) -> None:
    job_id = started(database)
    with database.writing() as session:
        Jobs(session).change(job_id, 1, "two", HEAD, "two", "Ada")
    with database.writing() as session:
        undone(Jobs(session), job_id, "Ada")
    with database.writing() as session:
        Jobs(session).change(job_id, 3, "other", HEAD, "other", "Bo")
    with database.reading() as session:
        labels = [v.label for v in Jobs(session).history(job_id)]
        assert labels == ["other", "back", "two", "Started"]
        assert Jobs(session).texts(job_id, 2, 4) == ["two", "other"]


@pytest.fixture(scope="module")
def one_database(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    opened = open_database(f"sqlite:///{tmp_path_factory.mktemp('undo')}/desk.db")
    yield opened
    opened.close()


@settings(max_examples=20, deadline=None)
@given(steps=st.lists(st.sampled_from(["change", "undo", "redo"]), max_size=14))
def test_undo_is_the_inverse_of_change(one_database: Database, steps: list[str]) -> None:
    """Against a plain list with a cursor, as every text editor's undo is described."""
    database = one_database
    job_id = started(database, "0")
    model, cursor = ["0"], 0
    for number, step in enumerate(steps, start=1):
        with database.writing() as session:
            jobs = Jobs(session)
            if step == "change":
                jobs.change(job_id, jobs.get(job_id).version, str(number), HEAD, "x", "Ada")
                model, cursor = [*model[: cursor + 1], str(number)], cursor + 1
            elif step == "undo":
                undone(jobs, job_id, "Ada")
                cursor = max(0, cursor - 1)
            else:
                undone(jobs, job_id, "Ada", forward=True)
                cursor = min(len(model) - 1, cursor + 1)
            assert jobs.get(job_id).text == model[cursor]


def test_a_change_from_an_old_version_is_refused_and_changes_nothing(database: Database) -> None:
    job_id = started(database)
    with database.writing() as session:
        Jobs(session).change(job_id, 1, "hers", HEAD, "hers", "Ada")
    with pytest.raises(Overtaken) as caught, database.writing() as session:
        Jobs(session).change(job_id, 1, "his", HEAD, "his", "Bo")
    assert caught.value.current == 2
    with database.reading() as session:
        assert Jobs(session).get(job_id).text == "hers"


def test_a_summary_of_an_old_version_is_dropped(database: Database) -> None:
    job_id = started(database)
    with database.writing() as session:
        Jobs(session).change(job_id, 1, "two", HEAD, "two", "Ada")
        Jobs(session).summarise(job_id, 1, Summary(errors=9))
        Jobs(session).summarise(job_id, 2, Summary(balloons=44))
    with database.reading() as session:
        row = Jobs(session).get(job_id)
        assert (row.errors, row.balloons) == (0, 44)


def test_attention_comes_first_then_the_date(database: Database) -> None:
    def job(title: str, days: int | None, **values: object) -> None:
        date = None if days is None else TODAY + dt.timedelta(days=days)
        with database.writing() as session:
            row = Jobs(session).add("x", Head(title, date=date), "Ada")
            for name, value in values.items():
                setattr(row, name, value)

    job("undated", None)
    job("quiet later", 30)
    job("quiet sooner", 2)
    job("settled with errors", -90, stage="settled", errors=3)
    job("wrong", 60, errors=1)
    job("forgotten", -3)
    job("no deposit", 10, stage="booked")
    job("deposit paid", 9, stage="booked", deposit_paid=dt.datetime.now(dt.UTC))
    job("no deposit, far", 100, stage="booked")
    job("risky", 50, cautions=2)
    with database.reading() as session:
        found = [row.title for row in Jobs(session).search(today=TODAY)]
    assert found == [
        # cautions alone move nothing: every job has some
        "wrong", "forgotten", "no deposit", "quiet sooner", "deposit paid", "quiet later",
        "risky", "no deposit, far", "undated", "settled with errors",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "hits"),
    [
        ("", 3),
        ("pier", 2),
        ("PIER ferries", 1),
        ("100%", 1),
        ("%", 1),
        ("_", 0),
        ("'; drop table jobs", 0),
    ],
)
def test_search_takes_words_as_they_are(database: Database, words: str, hits: int) -> None:
    for title, client in (("Pier opening", "Ferries"), ("Pier ball", ""), ("100% cotton", "")):
        started(database, head=Head(title, client))
    with database.reading() as session:
        assert Jobs(session).count(words) == hits
        assert len(Jobs(session).search(words, today=TODAY)) == hits


def test_a_removed_job_takes_its_versions_along(database: Database) -> None:
    job_id = started(database)
    with database.writing() as session:
        Jobs(session).remove(job_id)
    with database.reading() as session:
        with pytest.raises(Missing):
            Jobs(session).get(job_id)
        with pytest.raises(Missing):
            Jobs(session).version(job_id, 1)
