"""Backup and restore: one file with every row, the same for SQLite and PostgreSQL.

The file is a zip: `manifest.json` with row counts and digests, and one JSON-lines file a table.
It is read in one consistent look, so that it can be made while people work. A backup of an older
Airwright goes into tables of its own time first; these are brought up to date and copied from.
"""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import json
import os
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import IO, Any

from sqlalchemy import LargeBinary, MetaData, Table, Text, func, insert, select
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.store.database import Database, open_database
from airwright.store.errors import StoreError
from airwright.store.migrating import HEAD, bring_up, is_known, stands_at
from airwright.store.tables import Base
from airwright.store.types import now

FORMAT = "airwright-backup/1"
BATCH = 500
"""Rows written or read at once, at most …"""

BATCH_BYTES = 8_000_000
"""… and bytes: a photograph of 5 MB comes alone, not with a hundred others."""


class BackupError(StoreError):
    """A backup that cannot be made, read or trusted."""


@dataclass(frozen=True, slots=True)
class Backup:
    """What a backup file holds: rows by table."""

    made: str
    revision: str
    rows: dict[str, int]


def back_up(database: Database, target: Path) -> Backup:
    """Write everything into one file, then prove that it can be restored.

    Raises:
        BackupError: it could not be written, or what was written does not come back.
    """
    if target.is_dir():
        raise BackupError(
            message("{target} is a folder.", target=target),
            message("Name a file in it, like desk.zip."),
        )
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        handle, draft_name = tempfile.mkstemp(dir=target.parent, prefix=".backup-")
    except OSError as problem:
        raise BackupError(
            message(
                "{target} cannot be written: {strerror}.", target=target, strerror=problem.strerror
            ),
            message("Name another place for it."),
        ) from problem
    os.close(handle)
    draft = Path(draft_name)
    try:
        with database.reading() as session, zipfile.ZipFile(draft, "w", zipfile.ZIP_DEFLATED) as z:
            digests = {table.name: _write_table(session, table, z) for table in _tables()}
            manifest = {
                "format": FORMAT,
                "made": now().isoformat(),
                "revision": stands_at(session.connection()),
                "tables": digests,
            }
            z.writestr("manifest.json", json.dumps(manifest, indent=1))
        made = verify(draft)
        draft.replace(target)
        return made
    except OSError as problem:
        raise BackupError(
            message("The backup could not be written: {strerror}.", strerror=problem.strerror),
            message("Name another place for it."),
        ) from problem
    finally:
        draft.unlink(missing_ok=True)


def verify(source: Path) -> Backup:
    """Restore a backup into a database made for it alone, and compare. Raises BackupError."""
    with _scratch(HEAD) as scratch:
        made = restore(scratch, source)
        with scratch.reading() as session:
            for table in _tables():
                found = session.scalar(select(func.count()).select_from(table)) or 0
                if found != made.rows[table.name]:
                    raise BackupError(
                        message("The backup's {name} do not all come back.", name=table.name),
                        message("Make it again."),
                    )
        return made


def restore(database: Database, source: Path, *, replace: bool = False) -> Backup:
    """Put a backup into a database: all of it, or nothing.

    Args:
        database: where to.
        source: the backup file; one of an older Airwright is brought up to date on the way.
        replace: whether what is there may be thrown away.

    Raises:
        BackupError: no backup, damaged, newer than this program, or the database holds jobs.
    """
    try:
        with zipfile.ZipFile(source) as z:
            manifest = _manifest(z)
            revision, made = manifest["revision"], manifest["made"]
            if revision == HEAD:
                with database.writing() as session:
                    _empty(session, replace=replace)
                    rows = _read_tables(session, _tables(), z, manifest["tables"])
                return Backup(made, revision, rows)
            with _scratch(revision) as scratch:
                _read_at_its_time(scratch, z, manifest["tables"])
                rows = _copy(scratch, database, replace=replace)
            return Backup(made, revision, rows)
    except _DAMAGE as problem:
        raise BackupError(
            message("{name} is no backup of ours, or it is damaged.", name=source.name),
            message("Take another backup."),
        ) from problem
    except OSError as problem:
        raise BackupError(
            message(
                "{source} cannot be read: {strerror}.", source=source, strerror=problem.strerror
            ),
            message("Check the name."),
        ) from problem


_DAMAGE = (
    zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError,  # the archive
    LookupError, ValueError, TypeError, ArithmeticError, AttributeError,  # what stands in it
    SQLAlchemyError,  # rows that the tables do not take
)  # fmt: skip
"""What reading a damaged backup ends in."""


@contextmanager
def _scratch(revision: str) -> Iterator[Database]:
    """An empty database that stands at a step of the migrations, gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="airwright-scratch-") as folder:
        scratch = open_database(f"sqlite:///{folder}/desk.db", revision=revision)
        try:
            yield scratch
        finally:
            scratch.close()


def _read_at_its_time(scratch: Database, z: zipfile.ZipFile, expected: dict[str, Any]) -> None:
    """Read a backup into tables of its own time, then bring these up to date."""
    then = MetaData()
    then.reflect(scratch.engine)
    tables = [table for table in then.sorted_tables if table.name != "alembic_version"]
    with scratch.writing() as session:
        _read_tables(session, tables, z, expected, plain=True)
    bring_up(scratch.engine)


def _copy(source: Database, target: Database, *, replace: bool) -> dict[str, int]:
    rows: dict[str, int] = {}
    with source.reading() as reading, target.writing() as session:
        _empty(session, replace=replace)
        for table in _tables():
            rows[table.name] = 0
            for batch in _batches(reading, table):
                session.execute(insert(table), batch)
                rows[table.name] += len(batch)
    return rows


def _tables() -> list[Table]:
    return list(Base.metadata.sorted_tables)


def _manifest(z: zipfile.ZipFile) -> dict[str, Any]:
    manifest: dict[str, Any] = json.loads(z.read("manifest.json"))
    if manifest["format"] != FORMAT:
        raise ValueError(manifest["format"])
    if not is_known(str(manifest["revision"])):
        raise BackupError(
            message("This backup was made by a newer Airwright."), message("Update, then restore.")
        )
    return manifest


def _empty(session: Session, *, replace: bool) -> None:
    for table in reversed(_tables()):
        if not replace and table.name in ("jobs", "people"):
            held = session.scalar(select(func.count()).select_from(table)) or 0
            if held:
                raise BackupError(
                    message(
                        "This database is not empty: {name}: {held}.", name=table.name, held=held
                    ),
                    message(
                        "Restore into a new one, or add --replace to throw away what is there."
                    ),
                )
        session.execute(table.delete())


def _write_table(session: Session, table: Table, z: zipfile.ZipFile) -> dict[str, Any]:
    digest, count = hashlib.sha256(), 0
    with z.open(f"{table.name}.jsonl", "w", force_zip64=True) as out:
        for batch in _batches(session, table):
            for row in batch:
                line = json.dumps({key: _out(value) for key, value in row.items()})
                data = line.encode() + b"\n"
                digest.update(data)
                out.write(data)
            count += len(batch)
    return {"rows": count, "sha256": digest.hexdigest()}


def _batches(session: Session, table: Table) -> Iterator[list[dict[str, Any]]]:
    """All rows in the order of their keys, a few megabytes at a time, off a server-side cursor."""
    heavy = [column for column in table.columns if isinstance(column.type, LargeBinary | Text)]
    largest = 0
    if heavy:
        longest = select(*(func.coalesce(func.max(func.length(column)), 0) for column in heavy))
        largest = sum(session.execute(longest).one())
    at_once = max(1, min(BATCH, BATCH_BYTES // max(1, largest)))
    query = select(table).order_by(*table.primary_key.columns)
    found = session.execute(query, execution_options={"yield_per": at_once})
    for batch in found.mappings().partitions():
        yield [dict(row) for row in batch]


def _read_tables(
    session: Session,
    tables: list[Table],
    z: zipfile.ZipFile,
    expected: dict[str, Any],
    *,
    plain: bool = False,
) -> dict[str, int]:
    if set(expected) != {table.name for table in tables}:
        raise ValueError("other tables than the backup's time had")
    return {
        table.name: _read_table(session, table, z, expected[table.name], plain=plain)
        for table in tables
    }


def _read_table(
    session: Session, table: Table, z: zipfile.ZipFile, expected: dict[str, Any], *, plain: bool
) -> int:
    digest, count, batch, held = hashlib.sha256(), 0, [], 0
    with z.open(f"{table.name}.jsonl") as lines:
        for line in _lines(lines):
            digest.update(line)
            values = {key: _in(value) for key, value in json.loads(line).items()}
            # Tables as the database describes them know no decimals: these are kept as digits.
            batch.append({k: _digits(v) for k, v in values.items()} if plain else values)
            count += 1
            held += len(line)
            if len(batch) == BATCH or held > BATCH_BYTES:
                session.execute(insert(table), batch)
                batch, held = [], 0
    if batch:
        session.execute(insert(table), batch)
    if (count, digest.hexdigest()) != (expected["rows"], expected["sha256"]):
        raise BackupError(
            message("The {name} in this backup are damaged.", name=table.name),
            message("Take another backup."),
        )
    return count


def _digits(value: Any) -> Any:
    return str(value) if isinstance(value, Decimal) else value


def _lines(stream: IO[bytes]) -> Iterator[bytes]:
    yield from stream


def _out(value: Any) -> Any:
    """JSON knows no bytes, times, dates or decimals: each becomes {"type": text}."""
    if isinstance(value, bytes):
        return {"bytes": base64.b64encode(value).decode()}
    if isinstance(value, dt.datetime):
        return {"instant": value.isoformat()}
    if isinstance(value, dt.date):
        return {"date": value.isoformat()}
    if isinstance(value, dict):
        return {"json": value}
    if value is None or isinstance(value, str | int | float | bool):
        return value
    return {"decimal": str(value)}


def _in(value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    ((kind, inner),) = value.items()
    return _READERS[kind](inner)


_READERS: dict[str, Any] = {
    "bytes": base64.b64decode,
    "instant": dt.datetime.fromisoformat,
    "date": dt.date.fromisoformat,
    "json": lambda value: value,
    "decimal": Decimal,
}
