"""The studio file: its fields, its tables, and changing it without losing a comment."""

from __future__ import annotations

import json
import re
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from airwright.desk.editing.edits import EditError
from airwright.desk.editing.tables import document_of
from airwright.desk.editing.writing import studio_table, value_of
from airwright.desk.studio_changes import checked
from airwright.job.records import FieldSpec
from airwright.language import message


def with_fields(text: str, fields: dict[str, str]) -> str:
    """The studio file with fields of the form written into it, not yet `checked`.

    Raises:
        EditError: a field that is no setting, or a file that cannot be read.
    """
    document = document_of(text)
    for path_text, words in fields.items():
        table_name, key = _path(path_text)
        record = studio_table().get(f"{table_name}.{key}")
        if record is None:
            raise EditError(message("There is no such setting."), message("Load the page again."))
        words = words.replace("\r\n", "\n").strip()
        if words == "":
            if table_name in document and key in document[table_name]:
                del document[table_name][key]
            continue
        if table_name not in document:
            document[table_name] = tomlkit.table()
        document[table_name][key] = _value(record, words)
    return tomlkit.dumps(document)


def _value(record: FieldSpec, words: str) -> Any:
    # A percentage is what people type, with its sign or without; the file holds the share.
    number = re.fullmatch(r"(\d{1,3}(?:[.,]\d+)?)\s*(%?)", words)
    if number is not None and record.type == "number":
        if number[2] and not record.is_share:
            return words  # the reader says that no percentage fits here
        value = float(number[1].replace(",", "."))
        if number[2] or (record.is_share and value > 1):
            return round(value / 100, 6)
    return value_of(record, words)


def _path(text: str) -> tuple[str, str]:
    try:
        path = json.loads(text)
        table, key = path
    except (ValueError, TypeError) as problem:
        raise EditError(
            message("There is no such setting."), message("Load the page again.")
        ) from problem
    if not isinstance(table, str) or not isinstance(key, str):
        raise EditError(message("There is no such setting."), message("Load the page again."))
    return table, key


def with_measured(text: str, cluster: str, clusters: str, height: str) -> str:
    """One more measured stack. Raises EditError."""
    row = tomlkit.table()
    row["cluster"], row["height"] = cluster, height
    row["clusters"] = int(clusters) if clusters.isdecimal() else clusters
    return checked(_appended(text, "measured", row))


def with_weighed(text: str, size: str, count: str, mass: str) -> str:
    """One more weighing. Raises EditError."""
    row = tomlkit.table()
    row["size"], row["mass"] = size, mass
    row["count"] = int(count) if count.isdecimal() else count
    return checked(_appended(text, "weighed", row))


def without_row(text: str, table: str, index: int) -> str:
    """The file without one measured or weighed row. Raises EditError."""
    document = document_of(text)
    rows = document.get(table, [])
    if table not in ("measured", "weighed") or not 0 <= index < len(rows):
        raise EditError(
            message("This line is not there any more."), message("Load the page again.")
        )
    del rows[index]
    if len(rows) == 0:
        del document[table]
    return checked(tomlkit.dumps(document))


def _appended(text: str, name: str, row: Any) -> str:
    try:
        document = document_of(text)
        if name not in document:
            document[name] = tomlkit.aot()
        document[name].append(row)
        return tomlkit.dumps(document)
    except TOMLKitError as problem:
        raise EditError(
            message("The studio file cannot be read."), message("Fix it under File.")
        ) from problem
