"""Changing a job so that nobody's work is lost, and telling what the change comes to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session
from starlette.responses import Response

from airwright.desk.access import Actor, RequestContext
from airwright.desk.designs import design_text, in_units
from airwright.desk.editing.answer import answer
from airwright.desk.editing.builder import Builder, Evaluation
from airwright.desk.editing.differences import is_rows, readable
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import Add, AnyChange, Clear, Duplicate, Edit, EditError, Put
from airwright.desk.editing.fair_lock import TooMany
from airwright.desk.editing.merging import (
    MOST_BETWEEN,
    Rival,
    SamePlace,
    Step,
    carried_over,
)
from airwright.desk.editing.writing import resolved
from airwright.desk.state import Desk
from airwright.language import joined, message, say, speaking
from airwright.store import Overtaken, Unavailable
from airwright.store.jobs import Head, Jobs, Version
from airwright.store.studio import Designs, StudioFile
from airwright.store.tables import JobRow

FREE_TRIES = 3
"""Times a change is worked out without holding the job, when other machines are faster."""


@dataclass(frozen=True, slots=True, eq=False)
class Changed:
    """A job after a change.

    Attributes:
        row: as stored.
        evaluation: what it comes to.
        merged: whether somebody else's changes were there as well.
        focus: the piece that this change made, by its index.
        made: the version that this change made; None when nothing came of it.
    """

    row: JobRow
    evaluation: Evaluation
    undo: str | None
    redo: str | None
    merged: bool = False
    focus: int | None = None
    made: int | None = None


class Clash(Overtaken):
    """Two people changed the same thing; nothing of the second change was written.

    Attributes:
        rivals: both values, and whose the standing one is.
        others: the versions in the way; a change that names them as its own goes over them.
    """

    def __init__(
        self, current: int, mend: str, rivals: tuple[Rival, ...] = (), others: tuple[int, ...] = ()
    ) -> None:
        super().__init__(current, mend)
        self.rivals = rivals
        self.others = others


class Crowded(Unavailable):
    """Too many people are at one job for a change to get its turn; nothing was written."""

    def __init__(self) -> None:
        super().__init__(
            message("Too many people are changing this job just now; your change was not made."),
            message("It is still in the field: send it again in a moment."),
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
        jobs = Jobs(session)
        studio_text = StudioFile(session).get()[0]
        same = edit.version == row.version
        base = row.text if same else jobs.version(row.id, edit.version).text
        system = desk.builder.studio(studio_text).studio.units
        wanted, label = apply(
            base,
            resolved(base, edit.changes, system),
            lambda key: in_units(design_text(Designs(session), key), system),
        )
        text = wanted if same else _carried(jobs, row, base, wanted, edit)
        return _Draft(text, label, not same, focus=_made_by(edit, base, wanted, text))

    return _changed(desk, actor, job_id, make)


def choose_option(desk: Desk, actor: Actor, job_id: str, name: str) -> None:
    """Write into the job's file which option the client took and when; "" for none after all."""
    path: list[str | int] = ["job", "chosen"]
    day: list[str | int] = ["charges", "ordered"]
    with desk.database.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = desk.builder.evaluate(row.text, StudioFile(session).get()[0])
    job = evaluation.job
    chosen = job.job.chosen if job else None
    changes: list[AnyChange] = []
    if name and job is not None and name in [option.name for option in job.options]:
        today = desk.settings.today()
        changes = [
            Put(do="put", path=path, value=name),
            Put(do="put", path=day, value=today.isoformat()),
        ]
    elif not name and chosen is not None:
        changes = [Clear(do="clear", path=path), Clear(do="clear", path=day)]
    if changes:
        change(desk, actor, job_id, Edit(version=row.version, changes=changes, have=[]))


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
    undoes: int | None = None
    focus: int | None = None


_Make = Callable[[Session, JobRow], _Draft]


@dataclass(frozen=True, slots=True, eq=False)
class _Made:
    """A change worked out, not yet written."""

    job_id: str
    base: int
    text: str
    label: str
    evaluation: Evaluation
    draft: _Draft


def _made(desk: Desk, session: Session, job_id: str, make: _Make, *, locked: bool) -> _Made:
    row = Jobs(session).get(job_id, locked=locked)
    draft = make(session, row)
    evaluation = desk.builder.evaluate(draft.text, StudioFile(session).get()[0])
    return _Made(job_id, row.version, draft.text, draft.label, evaluation, draft)


def _written(session: Session, actor: Actor, made: _Made) -> Changed:
    jobs = Jobs(session)
    row = jobs.change(
        made.job_id,
        made.base,
        made.text,
        made.evaluation.head(),
        made.label,
        actor.name,
        undoes=made.draft.undoes,
    )
    if row.stage == "call" and made.evaluation.pieces:
        row.stage = "drawn"
    jobs.summarise(made.job_id, row.version, made.evaluation.summary())
    undo, redo = next_steps(jobs, row, actor)
    return Changed(
        row,
        made.evaluation,
        undo,
        redo,
        merged=made.draft.merged,
        focus=made.draft.focus,
        made=row.version if row.version != made.base else None,
    )


def next_steps(jobs: Jobs, row: JobRow, actor: Actor) -> tuple[str | None, str | None]:
    """Labels of what undo and redo would take back for a person."""
    steps = jobs.own_steps(row, actor.name)
    undo, redo = steps.undo, steps.redo
    return undo.label if undo else None, redo.label if redo else None


def _carried(jobs: Jobs, row: JobRow, base: str, wanted: str, edit: Edit) -> str:
    """The change in the job as it stands, beside what others did. Raises Clash."""
    own = frozenset(edit.mine)
    return _beside(jobs, row, edit.version, base, wanted, lambda v: v.number in own)


def _beside(
    jobs: Jobs,
    row: JobRow,
    version: int,
    base: str,
    wanted: str,
    is_own: Callable[[Version], bool],
) -> str:
    versions = jobs.since(row, version, MOST_BETWEEN)
    steps = [Step(v.number, v.text, v.actor, is_own(v)) for v in versions]
    try:
        return carried_over(base, wanted, steps)
    except SamePlace as problem:
        rivals = problem.rivals
        said = joined(
            [
                message("{actor} changed {what}", actor=rival.actor, what=rival.what)
                for rival in rivals[:3]
            ],
            "; ",
        )
        raise Clash(
            row.version,
            message("{said} while you did. Theirs stands; yours was not written.", said=said),
            rivals,
            tuple(step.number for step in steps if not step.own),
        ) from problem


def _made_by(edit: Edit, base: str, wanted: str, text: str) -> int | None:
    """Index of the piece that an edit added or duplicated, in the text as written."""
    made = next((c for c in edit.changes if isinstance(c, Add | Duplicate)), None)
    before, after, now = _piece_names(base), _piece_names(wanted), _piece_names(text)
    if made is None or len(after) <= len(before):
        return None
    at = made.piece + 1 if isinstance(made, Duplicate) else len(after) - 1
    if wanted == text:
        return at
    fresh = [spot for spot, name in enumerate(now) if name.startswith(after[at])]
    return fresh[-1] if fresh else None


def _piece_names(text: str) -> list[str]:
    rows = (readable(text) or {}).get("pieces", [])
    return [str(row.get("name", "")) for row in rows] if is_rows(rows) else []


def step(desk: Desk, actor: Actor, job_id: str, *, forward: bool) -> Changed:
    """Undo or redo this person's last change, and leave what others did since.

    Raises:
        EditError: somebody changed the same thing since.
        Crowded, Missing: as for `change`.
    """

    def make(session: Session, row: JobRow) -> _Draft:
        jobs = Jobs(session)
        steps = jobs.own_steps(row, actor.name)
        wanted = steps.redo if forward else steps.undo
        if wanted is None:
            raise NothingToStep
        made = jobs.version(job_id, wanted.number)
        assert made.parent is not None
        before = jobs.version(job_id, made.parent).text
        label = say(
            message("Redone: {label}", label=wanted.label)
            if forward
            else message("Undone: {label}", label=wanted.label)
        )
        if made.number == row.version:
            return _Draft(before, label, undoes=made.number)
        try:
            text = _beside(
                jobs, row, made.number, made.text, before, lambda v: v.actor == actor.name
            )
        except Clash as clash:
            who = clash.rivals[0]
            raise EditError(
                message(
                    "{actor} changed {what} since; your change of it stays.",
                    actor=who.actor,
                    what=who.what,
                ),
                message("Set the value by hand if you want it otherwise."),
            ) from clash
        return _Draft(text, label, merged=True, undoes=made.number)

    try:
        return _changed(desk, actor, job_id, make)
    except NothingToStep:
        with desk.database.reading() as session:
            row = Jobs(session).get(job_id)
            evaluation = desk.builder.evaluate(row.text, StudioFile(session).get()[0])
            undo, redo = next_steps(Jobs(session), row, actor)
        return Changed(row, evaluation, undo, redo)


class NothingToStep(Exception):
    """This person has nothing to undo, or nothing to redo."""


def replace_text(desk: Desk, actor: Actor, job_id: str, version: int, text: str) -> Changed:
    """A whole new file for a job, typed or read in. Raises Overtaken, Crowded, Missing."""
    with turn(desk, job_id):
        with desk.database.reading() as session:
            studio_text = StudioFile(session).get()[0]
        evaluation = desk.builder.evaluate(text, studio_text)
        with desk.database.writing() as session:
            jobs = Jobs(session)
            row = jobs.change(
                job_id, version, text, evaluation.head(), message("The file as typed"), actor.name
            )
            jobs.summarise(job_id, row.version, evaluation.summary())
            undo, redo = next_steps(jobs, row, actor)
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


def to_response(context: RequestContext, changed: Changed, have: list[str]) -> Response:
    """A changed job for the browser, in its language and without what this person may not see."""
    actor = context.actor
    with speaking(context.language):
        told = answer(
            changed.evaluation,
            have,
            price=actor.sees_price,
            cost=actor.sees_cost,
            version=changed.row.version,
            undo=changed.undo,
            redo=changed.redo,
            merged=changed.merged,
            focus=changed.focus,
            made=changed.made,
        )
    return Response(told.as_json(), media_type="application/json")
