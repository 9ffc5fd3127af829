"""A change of tables loses nothing: not a row, not the file as it was, not an older backup."""

from __future__ import annotations

import lzma
import shutil
import sqlite3
from pathlib import Path

import pytest
from sqlalchemy import Table, select

from airwright.store import BackupError, Database, StoreError, back_up, open_database, restore
from airwright.store import migrating as migrating_module
from airwright.store.jobs import Jobs
from airwright.store.migrating import HEAD
from airwright.store.tables import Base
from tests.store.filling import Rows, content, fill, tables_of
from tests.store.keep_release import RELEASES

FIRST = "0001"
KEPT = sorted(folder.name for folder in RELEASES.iterdir())
STEPS = sorted(path.name[:4] for path in migrating_module.FOLDER.glob("versions/[0-9]*.py"))

TITLE_LONGER = """
    with op.batch_alter_table("jobs") as jobs:
        jobs.alter_column("title", type_=sa.String(300), existing_type=sa.String(200))
"""
FAILS_LATE = TITLE_LONGER + '    op.execute("INSERT INTO nowhere VALUES (1)")\n'
LEAVES_ORPHANS = '    op.execute("DELETE FROM jobs")\n'


def next_step(folder: Path, monkeypatch: pytest.MonkeyPatch, body: str, after: str = HEAD) -> str:
    """One more migration behind ours, in a copy of their folder; its name."""
    shutil.copytree(migrating_module.FOLDER, folder)
    (folder / "versions" / "9999_next.py").write_text(
        "import sqlalchemy as sa\nfrom alembic import op\n"
        f"revision = '9999'\ndown_revision = '{after}'\n\ndef upgrade():\n{body}"
    )
    monkeypatch.setattr(migrating_module, "FOLDER", folder)
    return "9999"


def filled(address: str, revision: str) -> tuple[list[Table], Rows]:
    """A database at a step of the migrations with rows in every table; what it holds."""
    database = open_database(address, revision=revision)
    with database.writing() as session:
        fill(session.connection())
    with database.reading() as session:
        tables = tables_of(session.connection())
        held = content(session.connection(), tables)
    database.close()
    assert all(len(rows) == 3 for rows in held.values())
    return tables, held


def held_by(address: str, tables: list[Table], revision: str = HEAD) -> Rows:
    database = open_database(address, revision=revision)
    with database.reading() as session:
        packed = [t for t in tables if t.name == "job_versions" and "text" in t.c]
        found = content(session.connection(), [t for t in tables if t not in packed])
        for table in packed:  # texts are kept small since; they read as they were
            columns = [column for column in table.c if column.name != "text"]
            order = select(*columns).order_by(*table.primary_key.columns)
            rows = [row._asdict() for row in session.execute(order)]
            for row in rows:
                row["text"] = Jobs(session).version(row["job_id"], row["number"]).text
            found[table.name] = [tuple(row[c.name] for c in table.c) for row in rows]
    database.close()
    return found


def test_rebuilding_the_jobs_keeps_every_row(
    address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tried without the care taken here: versions, files, links and ticks were gone on SQLite."""
    tables, before = filled(address, FIRST)
    step = next_step(tmp_path / "migrations", monkeypatch, TITLE_LONGER)
    after = held_by(address, tables, step)
    assert after == before
    database = open_database(address, revision=step)
    if database.is_sqlite:
        with database.writing() as session:  # keys hold again, also on the connection used
            connection = session.connection()
            assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
            connection.exec_driver_sql("DELETE FROM jobs")
            assert connection.exec_driver_sql("SELECT count(*) FROM job_versions").scalar() == 0
            session.rollback()
    database.close()


@pytest.mark.parametrize("revision", STEPS)
def test_every_step_filled_comes_up_to_the_newest(address: str, revision: str) -> None:
    tables, before = filled(address, revision)
    assert held_by(address, tables) == before


def test_the_file_as_it_was_stays_beside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    address = f"sqlite:///{tmp_path / 'desk.db'}"
    tables, before = filled(address, HEAD)
    step = next_step(tmp_path / "migrations", monkeypatch, TITLE_LONGER)
    open_database(address, revision=step).close()
    copy = tmp_path / "desk-before-9999.db"
    assert held_by(f"sqlite:///{copy}", tables) == before
    open_database(address, revision=step).close()
    assert sorted(path.name for path in tmp_path.glob("*.db")) == ["desk-before-9999.db", "desk.db"]


def test_a_new_file_has_no_copy(tmp_path: Path) -> None:
    open_database(f"sqlite:///{tmp_path / 'desk.db'}").close()
    assert [path.name for path in tmp_path.glob("*.db")] == ["desk.db"]


@pytest.mark.parametrize("body", [FAILS_LATE, LEAVES_ORPHANS])
def test_a_step_that_fails_or_orphans_rows_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, body: str
) -> None:
    address = f"sqlite:///{tmp_path / 'desk.db'}"
    tables, before = filled(address, HEAD)
    step = next_step(tmp_path / "migrations", monkeypatch, body)
    with pytest.raises(StoreError) as caught:
        open_database(address, revision=step)
    assert caught.value.mend
    assert held_by(address, tables) == before


def test_without_room_for_the_copy_nothing_is_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = f"sqlite:///{tmp_path / 'desk.db'}"
    tables, before = filled(address, HEAD)
    step = next_step(tmp_path / "migrations", monkeypatch, TITLE_LONGER)
    monkeypatch.setattr(migrating_module, "copy_of", lambda *_: tmp_path / "none" / "desk.db")
    with pytest.raises(StoreError, match="cannot be copied"):
        open_database(address, revision=step)
    assert held_by(address, tables) == before


def everything(database: Database) -> Rows:
    with database.reading() as session:
        return content(session.connection(), Base.metadata.sorted_tables)


@pytest.mark.parametrize("release", KEPT)
def test_what_a_release_left_behind_comes_up(release: str, tmp_path: Path) -> None:
    """Its file opens with every row and column; its backup restores to the same."""
    file = tmp_path / "desk.db"
    file.write_bytes(lzma.decompress((RELEASES / release / "desk.db.xz").read_bytes()))
    with sqlite3.connect(file) as raw:
        before = {
            name: raw.execute(f"SELECT count(*) FROM {name}").fetchone()[0]
            for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        }
    assert before["jobs"] == 4
    opened = open_database(f"sqlite:///{file}")
    found = everything(opened)
    opened.close()
    for name, count in before.items():
        if name != "alembic_version":
            assert len(found[name]) == count, name
    empty = open_database(f"sqlite:///{tmp_path / 'restored.db'}")
    made = restore(empty, RELEASES / release / "backup.zip")
    assert made.revision == release
    assert everything(empty) == found
    empty.close()


def test_an_older_backup_is_no_damaged_one(
    address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A backup made before a table and a column were added restores, on both databases."""
    database = open_database(address)
    with database.writing() as session:
        fill(session.connection())
    before = everything(database)
    back_up(database, tmp_path / "old.zip")
    added = '    op.create_table("notes", sa.Column("id", sa.Integer(), primary_key=True))\n'
    added += TITLE_LONGER
    step = next_step(tmp_path / "migrations", monkeypatch, added)
    for module in ("migrating", "backup"):
        monkeypatch.setattr(f"airwright.store.{module}.HEAD", step)
    monkeypatch.setattr(
        "airwright.store.backup.bring_up", lambda engine: migrating_module.bring_up(engine, step)
    )
    migrating_module.bring_up(database.engine, step)
    made = restore(database, tmp_path / "old.zip", replace=True)
    assert made.revision == HEAD
    assert everything(database) == before
    with pytest.raises(BackupError, match="not empty"):
        restore(database, tmp_path / "old.zip")
    database.close()


def test_any_damage_gets_words(tmp_path: Path) -> None:
    """Each byte of a stretch of a backup changed in turn, and the end cut off anywhere."""
    database = open_database(f"sqlite:///{tmp_path / 'desk.db'}")
    with database.writing() as session:
        fill(session.connection())
    back_up(database, tmp_path / "b.zip")
    before, good = everything(database), (tmp_path / "b.zip").read_bytes()
    spots = range(0, len(good), max(1, len(good) // 150))
    broken = [good[:at] + bytes([good[at] ^ 0x41]) + good[at + 1 :] for at in spots]
    broken += [good[:at] for at in spots]
    refused = 0
    for data in broken:
        (tmp_path / "bad.zip").write_bytes(data)
        try:
            restore(database, tmp_path / "bad.zip", replace=True)
        except BackupError:
            refused += 1
        assert everything(database) == before
    assert refused > len(broken) * 0.8  # what is left changed no row: a date, a flag of the archive
    database.close()
