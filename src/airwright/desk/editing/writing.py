"""What the text typed into a form field means in the job file, by the record of its key."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from airwright.decor.pieces import SPECS
from airwright.desk.editing.differences import value_at
from airwright.desk.editing.edits import AnyChange, Clear, EditError, Put, Write
from airwright.desk.editing.tables import NoTables, tables_of
from airwright.job.records import FieldSpec, job_records, studio_records
from airwright.language import message
from airwright.money.reading import read_sum
from airwright.units import System

_WHOLE = re.compile(r"[+-]?\d{1,15}")
_NUMBER = re.compile(r"[+-]?\d{1,15}([.,]\d{1,10})?")


def resolved(text: str, changes: list[AnyChange], system: System = System.FEET) -> list[AnyChange]:
    """The same changes with every `Write` turned into the value it means, or into a `Clear`.

    Args:
        text: the job file.
        changes: as sent.
        system: the studio's units; a bare number is in them.
    """
    if not any(isinstance(change, Write) for change in changes):
        return changes
    try:
        tables = tables_of(text)
    except NoTables as problem:
        raise EditError(
            message("The job file cannot be read as it stands."),
            message("Fix it under File first."),
        ) from problem
    return [_resolve(tables, c, system) if isinstance(c, Write) else c for c in changes]


def _resolve(tables: Mapping[str, Any], change: Write, system: System) -> Put | Clear:
    words = change.text.replace("\r\n", "\n").strip()
    record = record_at(tables, change.path)
    if words == "":
        return Clear(do="clear", path=change.path) if _is_there(tables, change.path) else _nothing()
    if record is not None and record.path in SUMS:
        return Put(do="put", path=change.path, value=_sum(words))
    if record is not None and (record.kind is not None or record.type in _BALLOONS):
        words = decimal_points(words)
    if record is not None and _NUMBER.fullmatch(words):
        words = with_unit(record, words, value_at(tables, change.path), system)
    return Put(do="put", path=change.path, value=value_of(record, words))


SUMS = frozenset(
    ("job.budget", "pieces.price", "options.package_price", "options.amount_off",
     "charges.delivery", "charges.set_up", "charges.take_down", "charges.permits")
)  # fmt: skip
"""Keys of the job file that hold a sum of money, typed like any other ("1.500,50")."""
_BALLOONS = ("cluster", "balloon")
_DECIMAL_COMMA = re.compile(r"(?<![\d.,])(\d+),(\d{1,2})(?![\d.,])")


def decimal_points(words: str) -> str:
    """Text of a quantity with its decimal commas as points: "4,5 m" is "4.5 m".

    A comma before three digits ("1,200 mm") may part thousands and stays for the reader to ask.
    """
    return _DECIMAL_COMMA.sub(r"\1.\2", words)


def _sum(words: str) -> int | float | str:
    amount = read_sum(words)
    if amount is None:
        return words  # the reader says what is wrong with it
    return int(amount) if amount == amount.to_integral_value() else float(amount)


_METRIC = {"ft": "m", "in": "cm", "mi": "km"}
_FEET = {metric: feet for feet, metric in _METRIC.items()}
_USUAL = {
    System.FEET: {"temperature": "F", "speed": "mph", "volume": "ft3", "duration": "h"},
    System.METRIC: {"temperature": "C", "speed": "m/s", "volume": "m3", "duration": "h"},
}
_FAR = ("drive",)
_SYMBOL = re.compile(r"[\d.,\s]*?(km|cm|mm|m|mi|ft|in)\b")


def with_unit(record: FieldSpec, words: str, current: object, system: System) -> str:
    """A bare number with the unit meant: that of the value it replaces, else the studio's.

    "7" for a height that was "6 ft" is 7 ft; for a new one of a metric studio, 7 m.
    """
    if record.type in _USUAL[system]:
        return f"{words} {_USUAL[system][record.type]}"
    if record.type != "length":
        return words
    held = _SYMBOL.match(current) if isinstance(current, str) else None
    if held is not None:
        return f"{words} {held[1]}"
    named = _SYMBOL.match(record.example)
    unit = "mi" if record.name in _FAR else named[1] if named else "ft"
    return f"{words} {(_METRIC if system is System.METRIC else _FEET).get(unit, unit)}"


def _nothing() -> Put | Clear:
    raise NothingToDo


class NothingToDo(EditError):
    """An empty field that was empty before."""

    def __init__(self) -> None:
        super().__init__(message("Nothing was changed."), message("Type something first."))


def _is_there(tables: Any, path: list[str | int]) -> bool:
    for step in path:
        try:
            tables = tables[step]
        except (KeyError, IndexError, TypeError):
            return False
    return True


def record_at(tables: Mapping[str, Any], path: list[str | int]) -> FieldSpec | None:
    """The record of a path's key; None for keys of the user's own (a shade's name)."""
    words = [step for step in path if isinstance(step, str)]
    if words[0] == "pieces":
        index = path[1] if len(path) > 1 and isinstance(path[1], int) else -1
        rows = tables.get("pieces", [])
        if not 0 <= index < len(rows) or not isinstance(rows[index], dict):
            raise EditError(
                message("This piece is not there any more."), message("Pick another piece.")
            )
        return _table(str(rows[index].get("kind"))).get(".".join(words))
    return _table("job file").get(".".join(words))


@cache
def _table(heading: str) -> dict[str, FieldSpec]:
    return {row.path: row for row in job_records(SPECS).get(heading, ())}


@cache
def studio_table() -> dict[str, FieldSpec]:
    """Records of the studio file by path."""
    return {row.path: row for row in studio_records()}


def value_of(record: FieldSpec | None, words: str) -> Any:
    """A field's text as the value the file holds; text that fits nothing stays text.

    The reader then says what is wrong with it, in its place and with its cure.
    """
    if record is None:
        return words
    if record.type == "whole number" and _WHOLE.fullmatch(words):
        return int(words)
    if record.type == "number" and _NUMBER.fullmatch(words):
        plain = words.replace(",", ".")
        return float(plain) if "." in plain else int(plain)
    if record.type == "yes or no" and words in ("true", "false"):
        return words == "true"
    if record.type.startswith("list"):
        return [line.strip() for line in words.split("\n") if line.strip()]
    return words
