"""Opening, migrating, and one transaction at a time."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy.exc import DBAPIError

from airwright.store import Database, StoreError, Unavailable, open_database
from airwright.store.database import missing_file
from airwright.store.migrating import HEAD, alembic_config
from airwright.store.queue import STEP_MARK
from airwright.store.studio import Facts
from airwright.store.tables import Base
from tests.desk.conftest import address_for


def _ours(_thing: Any, name: str | None, *_: Any) -> bool:
    return not str(name).startswith(("procrastinate_", "idx_procrastinate_"))


def test_migrations_lead_to_the_tables_of_the_code(database: Database) -> None:
    with database.engine.connect() as connection:
        opts = {"compare_type": True, "include_object": _ours}
        context = MigrationContext.configure(connection, opts=opts)
        assert compare_metadata(context, Base.metadata) == []


def test_the_newest_migration_is_the_one_the_code_names(database: Database) -> None:
    with database.engine.connect() as connection:
        assert ScriptDirectory.from_config(alembic_config(connection)).get_heads() == [HEAD]
        assert MigrationContext.configure(connection).get_current_revision() == HEAD


def test_a_database_of_a_newer_version_is_said_plainly(database: Database, address: str) -> None:
    with database.writing() as session:
        session.connection().exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(StoreError, match="newer"):
        open_database(address)


def test_a_database_that_stands_at_the_newest_needs_no_migration_tool(tmp_path: Path) -> None:
    address = f"sqlite:///{tmp_path / 'desk.db'}"
    open_database(address).close()
    run = "import sys; from airwright.store import open_database; open_database(sys.argv[1])\n"
    run += "sys.exit('alembic' in sys.modules)"
    subprocess.run([sys.executable, "-c", run, address], check=True)


def test_opening_twice_changes_nothing(database: Database, address: str) -> None:
    with database.writing() as session:
        Facts(session).put("colour", "teal")
    again = open_database(address)
    with again.reading() as session:
        assert Facts(session).get("colour") == "teal"
    again.close()


def test_a_failed_transaction_leaves_nothing(database: Database) -> None:
    def half_done() -> None:
        with database.writing() as session:
            Facts(session).put("half", "done")
            session.flush()
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        half_done()
    with database.reading() as session:
        assert Facts(session).get("half") is None


def test_writers_wait_for_each_other(database: Database) -> None:
    with database.writing() as session:
        Facts(session).put("count", "0")

    def add_one() -> None:
        for _ in range(10):
            with database.writing() as session:
                if not database.is_sqlite:
                    session.connection().exec_driver_sql("LOCK TABLE facts IN EXCLUSIVE MODE")
                facts = Facts(session)
                facts.put("count", str(int(facts.get("count") or 0) + 1))

    threads = [threading.Thread(target=add_one) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with database.reading() as session:
        assert Facts(session).get("count") == "40"


@pytest.mark.parametrize(
    "address",
    [
        "",
        "nonsense",
        "mysql://x/y",
        "sqlite://",
        "postgresql+psycopg://nobody@127.0.0.1:1/none",
        "postgresql+psycopg://u@h:port/x",
        "postgresql://u@nowhere.invalid/x",
    ],
)
def test_a_wrong_address_is_said_plainly(address: str) -> None:
    with pytest.raises(StoreError) as caught:
        open_database(address)
    assert caught.value.what
    assert caught.value.mend


def test_a_file_that_is_no_database_is_said_plainly(tmp_path: Path) -> None:
    wrong = tmp_path / "desk.db"
    wrong.write_text("this is a shopping list, not a database" * 50)
    with pytest.raises(StoreError):
        open_database(f"sqlite:///{wrong}")


@pytest.mark.postgres
def test_desks_that_start_together_prepare_the_tables_once(
    request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    address = address_for("postgresql", tmp_path, request)
    with ThreadPoolExecutor(5) as pool:
        desks = list(pool.map(open_database, [address] * 5))
    with desks[0].reading() as session:
        mark = "SELECT obj_description('procrastinate_jobs'::regclass, 'pg_class')"
        told = session.connection().exec_driver_sql(mark).scalar()
        assert str(told).startswith(STEP_MARK)
        assert str(told).endswith(".sql")
    for desk in desks:
        desk.close()


@pytest.mark.postgres
def test_the_engines_later_scripts_are_run_once(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A newer engine brings two scripts; running either twice would fail."""
    address = address_for("postgresql", tmp_path, request)
    open_database(address).close()
    (tmp_path / "00.00.01_01_old.sql").write_text("SELECT 1 / 0")  # long done: not run again
    (tmp_path / "99.00.00_01_pre.sql").write_text("CREATE TABLE step_one (n int)")
    (tmp_path / "99.00.00_50_post.sql").write_text(
        "ALTER TABLE step_one RENAME TO step_two; INSERT INTO step_two VALUES (7)"
    )
    monkeypatch.setattr("procrastinate.schema.migrations_path", tmp_path)
    for _ in range(2):
        database = open_database(address)
        with database.reading() as session:
            assert session.connection().exec_driver_sql("SELECT n FROM step_two").all() == [(7,)]
        database.close()


def test_a_folder_that_cannot_be_made_is_said_plainly(tmp_path: Path) -> None:
    (tmp_path / "note").write_text("a file where a folder should be")
    with pytest.raises(StoreError, match="no folder for"):
        open_database(f"sqlite:///{tmp_path / 'note' / 'desk.db'}")


def test_only_a_file_that_is_not_there_is_missing(tmp_path: Path) -> None:
    file = tmp_path / "desk.db"
    assert missing_file(f"sqlite:///{file}") == file
    file.touch()
    assert missing_file(f"sqlite:///{file}") is None
    assert missing_file("postgresql+psycopg://u@h/x") is None
    assert missing_file("nonsense") is None


def test_a_file_that_another_program_holds_is_out_of_reach_for_now(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("airwright.store.database.BUSY_MS", 50)
    database = open_database(f"sqlite:///{tmp_path / 'desk.db'}")
    with sqlite3.connect(tmp_path / "desk.db", isolation_level=None) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(Unavailable), database.writing() as session:
            Facts(session).put("colour", "teal")
        other.execute("ROLLBACK")
    with database.writing() as session:
        Facts(session).put("colour", "teal")
    database.close()


def test_mistakes_of_ours_are_not_called_an_outage(database: Database) -> None:
    with pytest.raises(DBAPIError), database.reading() as session:
        session.connection().exec_driver_sql("SELECT * FROM nowhere")
