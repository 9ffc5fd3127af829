"""Tidying: what is no longer needed, what it would free, and taking it away.

Nothing that was agreed, invoiced, paid or logged within its time is touched, nor any job's file or
versions; papers that go can be made anew.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from sqlalchemy import ColumnElement, LargeBinary, Text, delete, func, select, update
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from airwright.job.keeping import Keeping
from airwright.store.database import Database
from airwright.store.door_tables import Challenge, Invitation, LogEntry
from airwright.store.offer_tables import Acceptance
from airwright.store.tables import (
    Base,
    ClientLink,
    JobRow,
    LoginSession,
    StoredFile,
    TaskRow,
)
from airwright.store.tasks import CANCELLED, DONE, FAILED

Heap = Literal["archive", "papers", "links", "tasks", "log", "doors", "copies"]

COPIES_DAYS = 30
"""Copies of the file from before a change of its tables are kept so long."""

DOOR_DAYS = 30
"""Used and ended invitations are kept so long."""


@dataclass(frozen=True, slots=True)
class Share:
    """What tidying does to one heap: how many rows or files, and the bytes they take."""

    heap: Heap
    count: int
    size: int


@dataclass(frozen=True, slots=True)
class Space:
    """How much a kind of data takes [bytes]."""

    table: str
    rows: int
    size: int


def would_free(database: Database, rules: Keeping, at: dt.datetime) -> tuple[Share, ...]:
    """What `tidy` would do; nothing is changed."""
    with database.reading() as session:
        return tuple(_shares(session, database, rules, at))


def tidy(database: Database, rules: Keeping, at: dt.datetime) -> tuple[Share, ...]:
    """Take away what is no longer needed; what was done.

    Raises:
        Unavailable: the database is out of reach.
    """
    with database.writing() as session:
        found = tuple(_shares(session, database, rules, at))
        for heap, where in _conditions(rules, at):
            if heap == "archive":
                session.execute(update(JobRow).where(where).values(archived=at))
            else:
                session.execute(delete(_TABLES[heap]).where(where))
        session.execute(delete(LoginSession).where(LoginSession.ends < at))
        session.execute(delete(Challenge).where(Challenge.ends < at))
    for file in old_copies(database, at):
        file.unlink(missing_ok=True)
    return found


def vacuum(database: Database) -> None:
    """Give freed room back to the disk; left for another time while others work (SQLite)."""
    with database.engine.connect() as connection:
        plain = connection.execution_options(isolation_level="AUTOCOMMIT")
        try:
            plain.exec_driver_sql("VACUUM")
        except DBAPIError:
            return  # somebody is reading or writing, or the disk has no room for the copy


def spaces(session: Session) -> tuple[Space, ...]:
    """What each table takes in rows and in the bytes of its large columns, largest first."""
    found = []
    for table in Base.metadata.sorted_tables:
        heavy = [c for c in table.columns if isinstance(c.type, LargeBinary | Text)]
        sums = [func.coalesce(func.sum(func.length(column)), 0) for column in heavy]
        rows, *sizes = session.execute(select(func.count(), *sums).select_from(table)).one()
        found.append(Space(table.name, rows, sum(sizes)))
    return tuple(sorted(found, key=lambda space: -space.size))


def on_disk(database: Database) -> int:
    """Bytes that the whole database takes."""
    with database.reading() as session:
        if not database.is_sqlite:
            return int(session.scalar(select(func.pg_database_size(func.current_database()))) or 0)
    file = Path(str(database.engine.url.database))
    return sum(p.stat().st_size for p in (file, Path(f"{file}-wal")) if p.exists())


def old_copies(database: Database, at: dt.datetime) -> list[Path]:
    """Files that a change of the tables left beside a SQLite file long ago."""
    if not database.is_sqlite:
        return []
    file = Path(str(database.engine.url.database))
    before = (at - dt.timedelta(days=COPIES_DAYS)).timestamp()
    found = file.parent.glob(f"{file.stem}-before-*{file.suffix}")
    return sorted(path for path in found if path.stat().st_mtime < before)


_TABLES: dict[Heap, type[Base]] = {
    "archive": JobRow,
    "papers": StoredFile,
    "links": ClientLink,
    "tasks": TaskRow,
    "log": LogEntry,
    "doors": Invitation,
}


def _conditions(rules: Keeping, at: dt.datetime) -> Iterator[tuple[Heap, ColumnElement[bool]]]:
    def before(days: int) -> dt.datetime:
        return at - dt.timedelta(days=days)

    settled = select(JobRow.id).where(JobRow.stage == "settled")
    agreed = select(Acceptance.link_id).where(Acceptance.link_id.is_not(None))
    if rules.archive:
        yield (
            "archive",
            (JobRow.stage == "settled")
            & JobRow.archived.is_(None)
            & (JobRow.date < before(rules.archive).date()),
        )
    if rules.papers:
        yield (
            "papers",
            StoredFile.use.in_(("paper", "photo"))
            & StoredFile.job_id.in_(settled)
            & (StoredFile.made < before(rules.papers)),
        )
    if rules.links:
        yield (
            "links",
            (ClientLink.ends < before(rules.links)) & ClientLink.id.not_in(agreed),
        )
    if rules.tasks:
        yield (
            "tasks",
            TaskRow.state.in_((DONE, FAILED, CANCELLED)) & (TaskRow.ended < before(rules.tasks)),
        )
    if rules.log:
        yield "log", LogEntry.at < before(rules.log)
    yield "doors", Invitation.ends < before(DOOR_DAYS)


def _shares(
    session: Session, database: Database, rules: Keeping, at: dt.datetime
) -> Iterator[Share]:
    for heap, where in _conditions(rules, at):
        table = _TABLES[heap].__table__
        size = func.coalesce(func.sum(table.c.size), 0) if heap == "papers" else func.sum(0)
        count, bytes_held = session.execute(
            select(func.count(), size).select_from(table).where(where)
        ).one()
        yield Share(heap, count, bytes_held or 0)
    copies = old_copies(database, at)
    yield Share("copies", len(copies), sum(path.stat().st_size for path in copies))
