"""Opening, migrating, and one transaction at a time."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from airwright.store import Database, StoreError, open_database
from airwright.store.studio import Facts
from airwright.store.tables import Base


def _ours(_thing: Any, name: str | None, *_: Any) -> bool:
    return not str(name).startswith(("procrastinate_", "idx_procrastinate_"))


def test_migrations_lead_to_the_tables_of_the_code(database: Database) -> None:
    with database.engine.connect() as connection:
        opts = {"compare_type": True, "include_object": _ours}
        context = MigrationContext.configure(connection, opts=opts)
        assert compare_metadata(context, Base.metadata) == []


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
    ["", "nonsense", "mysql://x/y", "sqlite://", "postgresql+psycopg://nobody@127.0.0.1:1/none"],
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
