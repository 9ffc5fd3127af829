"""A file's raw tables, for reading, and the document that keeps its comments, for writing."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from airwright.desk.editing.edits import EditError
from airwright.job.reading import read_toml
from airwright.language import message

LONGEST_KEPT = 200_000
"""Longer texts are parsed anew each time, so that few large files cannot fill the memory."""


class NoTables(ValueError):
    """A text that is no TOML, or holds what cannot be read."""


def tables_of(text: str) -> Mapping[str, Any]:
    """The tables of a TOML text; for reading only. Raises NoTables."""
    return _kept(text) if len(text) <= LONGEST_KEPT else _tables(text)


@lru_cache(maxsize=100)
def _kept(text: str) -> Mapping[str, Any]:
    return _tables(text)


def _tables(text: str) -> Mapping[str, Any]:
    _, tables, trouble = read_toml(text, largest=max(len(text), 1))
    if trouble is not None and text.strip():
        raise NoTables(trouble.code)
    return tables


def document_of(text: str) -> Any:
    """A text as a document that keeps its comments. Raises EditError."""
    try:
        tables_of(text)  # refuses at once what the other parser would chew on
        return tomlkit.parse(text)
    except (TOMLKitError, ValueError, RecursionError) as problem:
        raise EditError(
            message("The file cannot be read as it stands."), message("Fix it under File first.")
        ) from problem
