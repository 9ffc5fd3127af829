"""Every test of the store runs on both databases, against real servers."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy

from airwright.store import Database, open_database

BOTH = ["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)]


@pytest.fixture(params=BOTH)
def address(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of a new, empty database."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'desk.db'}"
        return
    server = request.getfixturevalue("postgres_url")
    name = f"test_{uuid.uuid4().hex[:12]}"
    admin = sqlalchemy.create_engine(server, isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.execute(sqlalchemy.text(f"CREATE DATABASE {name}"))
    yield server.rsplit("/", 1)[0] + f"/{name}"
    with admin.connect() as connection:
        connection.execute(sqlalchemy.text(f"DROP DATABASE {name} WITH (FORCE)"))
    admin.dispose()


@pytest.fixture
def database(address: str) -> Iterator[Database]:
    opened = open_database(address)
    yield opened
    opened.close()
