"""Rows for every table and column of a database, whatever step of the migrations it stands at."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    Date,
    DateTime,
    Float,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    insert,
    select,
)
from sqlalchemy.types import JSON, Boolean

ROWS = 3
"""Rows a table."""

MOMENT = dt.datetime(2027, 5, 22, 6, 30, 0, 250_000, tzinfo=dt.UTC)

Rows = dict[str, list[tuple[Any, ...]]]


def tables_of(connection: Connection) -> list[Table]:
    """Our tables as the database itself describes them, parents first."""
    found = MetaData()
    found.reflect(connection)
    ours = [t for t in found.sorted_tables if not t.name.startswith("procrastinate_")]
    return [table for table in ours if table.name != "alembic_version"]


def fill(connection: Connection) -> None:
    """Put rows with a value in every column into every table."""
    keys: dict[str, list[Any]] = {}
    for table in tables_of(connection):
        rows = [dict(_row(table, number, keys)) for number in range(1, ROWS + 1)]
        connection.execute(insert(table), rows)
        first = next(iter(table.primary_key.columns))
        keys[table.name] = [row[first.name] for row in rows]


def content(connection: Connection, tables: list[Table]) -> Rows:
    """All rows of these tables and columns, in the order of their keys."""
    return {
        table.name: [
            tuple(row)
            for row in connection.execute(select(table).order_by(*table.primary_key.columns))
        ]
        for table in tables
    }


def _row(table: Table, number: int, keys: dict[str, list[Any]]) -> Iterator[tuple[str, Any]]:
    for column in table.columns:
        reference = next(iter(column.foreign_keys), None)
        if reference is not None and reference.column.table is table:
            yield column.name, None
        elif reference is not None:
            yield column.name, keys[reference.column.table.name][number - 1]
        else:
            yield column.name, _value(column, number)


def _value(column: Column[Any], number: int) -> Any:
    kind = column.type
    if isinstance(kind, LargeBinary):
        return bytes(range(256)) * number
    if isinstance(kind, JSON):
        return {"coral": ["#f0705a", number], "ähm": None}
    if isinstance(kind, Boolean):
        return bool(number % 2)
    if isinstance(kind, DateTime):
        return MOMENT + dt.timedelta(days=number)
    if isinstance(kind, Date):
        return MOMENT.date() + dt.timedelta(days=number)
    if isinstance(kind, Float):
        return number + 0.25
    if isinstance(kind, Integer):
        return number
    assert isinstance(kind, String), kind
    if kind.length == 40:  # amounts are kept as their digits, in as many letters as this
        return f"{number}2.30"
    text = f"{number} {column.name} ßñ漢 '\"\\\n"
    return text if kind.length is None else text[: kind.length]
