"""Changing a job so that nobody's work is lost, and telling what the change comes to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session

from airwright.desk.access import Actor, RequestContext
from airwright.desk.editing.answer import answer
from airwright.desk.editing.builder import Builder, Evaluation
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import AnyChange, Clear, Edit, Put
from airwright.desk.editing.fair_lock import TooMany
from airwright.desk.editing.merging import SamePlace, carried_over
from airwright.desk.editing.writing import resolved
from airwright.desk.state import Desk
from airwright.store import Overtaken, StoreError, Unavailable
from airwright.store.jobs import Head, Jobs
from airwright.store.studio import Designs, StudioFile
from airwright.store.tables import JobRow

FREE_TRIES = 3
"""Times a change is worked out without holding the job, when other machines are faster."""


@dataclass(frozen=True, slots=True, eq=False)
class Changed:
    """A job after a change.

    Attributes:
        row: as stored.
        look: what it comes to.
        merged: whether somebody else's changes were there as well.
    """

    row: JobRow
    evaluation: Evaluation
    undo: str | None
    redo: str | None
    merged: bool = False


class Clash(Overtaken):
    """Two people changed the same piece; nothing of the second change was written."""


class Crowded(Unavailable):
    """Too many people are at one job for a change to get its turn; nothing was written."""

    def __init__(self) -> None:
        super().__init__(
            "Too many people are changing this job just now; your change was not made.",
            "It is still in the field: send it again in a moment.",
        )


@contextmanager
def turn(desk: Desk, job_id: str) -> Iterator[None]:
    """Hold a job against the others of this process, in the order they came. Raises Crowded."""
    try:
        with desk.job_locks.turn(job_id):
            yield
    except TooMany as problem:
        raise Crowded from problem


def change(desk: Desk, actor: Actor, job_id: str, edit: Edit) -> Changed:
    """Make changes in a job, beside those that others made meanwhile.

    Raises:
        EditError: a change cannot be made.
        Clash: somebody else changed the same piece first.
        Crowded: no turn came.
        Missing: the job is gone.
    """

    def make(session: Session, row: JobRow) -> _Draft:
        changes, merged = _carried(Jobs(session), row, edit)
        text, label = apply(
            row.text, resolved(row.text, changes), lambda key: Designs(session).get(key).text
        )
        return _Draft(text, label, merged)

    return _changed(desk, actor, job_id, make)


def choose_option(desk: Desk, actor: Actor, job_id: str, name: str) -> None:
    """Write into the job's file which option the client took; "" for none after all."""
    path: list[str | int] = ["job", "chosen"]
    with desk.database.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = desk.builder.evaluate(row.text, StudioFile(session).get()[0])
    job = evaluation.job
    chosen = job.job.chosen if job else None
    change_made: AnyChange | None = None
    if name and job is not None and name in [option.name for option in job.options]:
        change_made = Put(do="put", path=path, value=name)
    elif not name and chosen is not None:
        change_made = Clear(do="clear", path=path)
    if change_made is not None:
        change(desk, actor, job_id, Edit(version=row.version, changes=[change_made], have=[]))


def rewrite(
    desk: Desk, actor: Actor, job_id: str, write: Callable[[str], str], label: str
) -> Changed:
    """Change a job's file by a function of its text, beside what others do.

    Args:
        desk, actor, job_id: where, who and what.
        write: the text as it stands → the new text; may be called again when others were faster.
        label: what was changed, for the undo button.

    Raises:
        Crowded, Missing: as for `change`; and what `write` raises.
    """
    return _changed(desk, actor, job_id, lambda _, row: _Draft(write(row.text), label))


def _changed(desk: Desk, actor: Actor, job_id: str, make: _Make) -> Changed:
    with turn(desk, job_id):
        for _ in range(FREE_TRIES):
            with desk.database.reading() as session:
                made = _made(desk, session, job_id, make, locked=False)
            try:
                with desk.database.writing() as session:
                    return _written(session, actor, made)
            except Overtaken:
                continue  # another machine at the same database
        # They leave no gap: hold the job in the database while the change is worked out.
        with desk.database.writing() as session:
            return _written(session, actor, _made(desk, session, job_id, make, locked=True))


@dataclass(frozen=True, slots=True)
class _Draft:
    """A job's new text."""

    text: str
    label: str
    merged: bool = False


_Make = Callable[[Session, JobRow], _Draft]


@dataclass(frozen=True, slots=True, eq=False)
class _Made:
    """A change worked out, not yet written."""

    job_id: str
    base: int
    text: str
    label: str
    evaluation: Evaluation
    merged: bool


def _made(desk: Desk, session: Session, job_id: str, make: _Make, *, locked: bool) -> _Made:
    row = Jobs(session).get(job_id, locked=locked)
    draft = make(session, row)
    evaluation = desk.builder.evaluate(draft.text, StudioFile(session).get()[0])
    return _Made(job_id, row.version, draft.text, draft.label, evaluation, draft.merged)


def _written(session: Session, actor: Actor, made: _Made) -> Changed:
    jobs = Jobs(session)
    row = jobs.change(
        made.job_id, made.base, made.text, made.evaluation.head(), made.label, actor.name
    )
    if row.stage == "call" and made.evaluation.pieces:
        row.stage = "drawn"
    jobs.summarise(made.job_id, row.version, made.evaluation.summary())
    undo, redo = jobs.neighbours(row)
    return Changed(row, made.evaluation, undo, redo, made.merged)


def _carried(jobs: Jobs, row: JobRow, edit: Edit) -> tuple[list[AnyChange], bool]:
    if edit.version == row.version:
        return edit.changes, False
    base = jobs.version(row.id, edit.version)
    try:
        return carried_over(base.text, row.text, edit), True
    except SamePlace as problem:
        who = jobs.version(row.id, row.version).actor
        raise Clash(
            row.version,
            f"{who} changed {problem.what} while you did. Theirs stands; yours is not lost: "
            "it is still in the field.",
        ) from problem


def step(desk: Desk, job_id: str, *, forward: bool) -> Changed:
    """Undo or redo one change. Raises Crowded, Missing."""
    with turn(desk, job_id):
        with desk.database.writing() as session:
            jobs = Jobs(session)
            row, _ = jobs.redo(job_id) if forward else jobs.undo(job_id)
            studio_text = StudioFile(session).get()[0]
        return _settled(desk, row, studio_text)


def _settled(desk: Desk, row: JobRow, studio_text: str) -> Changed:
    """Bring the columns of lists up to what a text comes to."""
    evaluation = desk.builder.evaluate(row.text, studio_text)
    with desk.database.writing() as session:
        jobs = Jobs(session)
        fresh = jobs.get(row.id, locked=True)
        if fresh.version == row.version:
            head = evaluation.head()
            fresh.title, fresh.client, fresh.venue = head.title, head.client, head.venue
            fresh.date, fresh.currency = head.date, head.currency
            jobs.summarise(row.id, row.version, evaluation.summary())
        undo, redo = jobs.neighbours(fresh)
    return Changed(row, evaluation, undo, redo)


def replace_text(desk: Desk, actor: Actor, job_id: str, version: int, text: str) -> Changed:
    """A whole new file for a job, typed or read in. Raises Overtaken, Crowded, Missing."""
    with turn(desk, job_id):
        with desk.database.reading() as session:
            studio_text = StudioFile(session).get()[0]
        evaluation = desk.builder.evaluate(text, studio_text)
        with desk.database.writing() as session:
            jobs = Jobs(session)
            row = jobs.change(
                job_id, version, text, evaluation.head(), "The file as typed", actor.name
            )
            jobs.summarise(job_id, row.version, evaluation.summary())
            undo, redo = jobs.neighbours(row)
        return Changed(row, evaluation, undo, redo)


def start(
    builder: Builder, jobs: Jobs, studio_text: str, text: str, actor: str, **kind: Any
) -> tuple[JobRow, Evaluation]:
    """A new job from a file."""
    evaluation = builder.evaluate(text, studio_text)
    head: Head = evaluation.head()
    row = jobs.add(text, head, actor, **kind)
    jobs.summarise(row.id, row.version, evaluation.summary())
    return row, evaluation


def to_response(context: RequestContext, changed: Changed, have: list[str]) -> dict[str, Any]:
    """A changed job for the browser, without what this person may not see."""
    actor = context.actor
    return {
        "version": changed.row.version,
        "undo": changed.undo,
        "redo": changed.redo,
        "merged": changed.merged,
        **answer(changed.evaluation, have, price=actor.sees_price, cost=actor.sees_cost),
    }


LIKELY = 3
"""Jobs at the top of the book that are looked at before anybody asks."""

LIGHT = 3_000
"""Jobs with more balloons than this wait until somebody opens them."""


def warm_likely(desk: Desk) -> None:
    """Look at the jobs most likely to be opened first; a mishap is nobody's business yet."""
    with suppress(StoreError):
        with desk.database.reading() as session:
            jobs = Jobs(session)
            first = jobs.search(today=desk.settings.today(), limit=LIKELY)
            texts = [jobs.get(row.id).text for row in first if row.balloons <= LIGHT]
            studio_text = StudioFile(session).get()[0]
        for text in texts:
            desk.builder.evaluate(text, studio_text)
