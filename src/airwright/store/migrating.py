"""Bringing a database's tables up to date without losing a row.

SQLite can change most things about a table only by making a new one, copying the rows, dropping the
old one and renaming the new one. With foreign keys on, that drop deletes every row that points to
the table. So they are off while the tables change; before anything is kept, every row must point
to one that is there; and the file as it was stays beside the new one.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, inspect, text

from airwright.language import message
from airwright.store import queue
from airwright.store.errors import StoreError

HEAD = "0006"
"""The newest migration. A database that stands there needs no migration tool, which takes half a
second to load; a test holds this to what the folder of migrations says."""

LOCK_KEY = 20270522
"""Key of the PostgreSQL lock that lets one machine at a time bring the tables up to date."""

FOLDER = Path(__file__).parent / "migrations"


def bring_up(engine: Engine, revision: str = HEAD) -> None:
    """Bring the tables to a step of the migrations: all the way, or not at all.

    Raises:
        StoreError: made by a newer program, no room for the copy, or rows would lose what they
            belong to. The database is as it was.
    """
    if engine.dialect.name == "sqlite":
        _bring_up_file(engine, revision)
        return
    with engine.begin() as connection:
        connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": LOCK_KEY})
        if stands_at(connection) != revision:
            _upgrade(connection, revision)
        queue.prepare(connection)


def stands_at(connection: Connection) -> str | None:
    """The migration a database has come to; None for a new one."""
    if not inspect(connection).has_table("alembic_version"):
        return None
    found = connection.scalar(text("SELECT version_num FROM alembic_version"))
    return None if found is None else str(found)


def is_known(revision: str) -> bool:
    """Whether a step of the migrations is one of ours, or of a newer program."""
    return revision == HEAD or any(FOLDER.glob(f"versions/{revision}_*.py"))


def copy_of(file: Path, revision: str) -> Path:
    """Where the file as it was before a migration is kept: the first free name beside it."""
    names = (
        file.with_name(f"{file.stem}-before-{revision}{f'-{n}' if n else ''}{file.suffix}")
        for n in range(1000)
    )
    return next(name for name in names if not name.exists())


def _bring_up_file(engine: Engine, revision: str) -> None:
    with _foreign_keys_off(engine) as connection, connection.begin():
        stood = stands_at(connection)
        if stood == revision:
            return
        if stood is not None and is_known(stood):
            _keep_copy(Path(str(engine.url.database)), revision)
        _upgrade(connection, revision)
        _refuse_orphans(connection)


@contextmanager
def _foreign_keys_off(engine: Engine) -> Iterator[Connection]:
    # SQLite heeds this setting only outside a transaction, hence before it begins.
    with engine.execution_options(airwright_writes=True).connect() as connection:
        driver: Any = connection.connection.driver_connection
        driver.execute("PRAGMA foreign_keys=OFF")
        try:
            yield connection
        finally:
            driver.execute("PRAGMA foreign_keys=ON")


def _keep_copy(file: Path, revision: str) -> None:
    """Copy the last kept state of a database file, also what still stands in its log."""
    target = copy_of(file, revision)
    try:
        os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        with closing(sqlite3.connect(file)) as source, closing(sqlite3.connect(target)) as copy:
            source.backup(copy)
            found = copy.execute("PRAGMA quick_check").fetchone()[0]
        if found != "ok":
            raise sqlite3.DatabaseError(found)
    except (sqlite3.Error, OSError) as problem:
        target.unlink(missing_ok=True)
        raise StoreError(
            message(
                "The tables must be brought up to date, and {name} cannot be copied first: "
                "{problem}.",
                name=file.name,
                problem=problem,
            ),
            message("Make room on the disk, or mend the file from a backup; nothing was changed."),
        ) from problem


def _refuse_orphans(connection: Connection) -> None:
    rows = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if rows:
        tables = ", ".join(sorted({str(row[0]) for row in rows}))
        raise StoreError(
            message(
                "Bringing the tables up to date would leave {count} rows without what they belong "
                "to ({tables}); nothing was changed.",
                count=len(rows),
                tables=tables,
            ),
            message("Go on with the Airwright of before, and report this."),
        )


def _upgrade(connection: Connection, revision: str) -> None:
    from alembic import command
    from alembic.util import CommandError

    try:
        command.upgrade(alembic_config(connection), revision)
    except CommandError as problem:
        raise StoreError(
            message("This database was made by a newer Airwright than this one."),
            message("Bring Airwright up to date on this machine, or name another database."),
        ) from problem


def alembic_config(connection: Connection) -> Any:
    """The migration tool's settings, bound to an open connection."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(FOLDER))
    config.attributes["connection"] = connection
    return config
