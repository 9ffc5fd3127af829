"""The helpers the other tests lean on do what they say."""

from __future__ import annotations

import pytest
import sqlalchemy


@pytest.mark.postgres
def test_postgres_server_answers(postgres_url: str) -> None:
    engine = sqlalchemy.create_engine(postgres_url)
    with engine.connect() as connection:
        version = connection.scalar(sqlalchemy.text("show server_version_num"))
    assert int(version) >= 130000
