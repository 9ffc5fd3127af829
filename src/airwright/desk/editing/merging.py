"""Two people at one job: changes to different pieces go together, the same piece is asked about."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from airwright.desk.editing.edits import (
    AnyChange,
    Clear,
    Edit,
    Put,
    Swap,
    Write,
    pieces_touched,
)
from airwright.desk.editing.tables import NoTables, tables_of


class SamePlace(Exception):
    """Both changed the same thing.

    Attributes:
        what: which piece or table, in words.
    """

    def __init__(self, what: str) -> None:
        super().__init__(what)
        self.what = what


def carried_over(base: str, current: str, edit: Edit) -> list[AnyChange]:
    """The changes of an edit made from `base`, for use on `current`.

    Pieces are told apart by name. An edit goes through when no piece or table it touches was
    changed between the two texts.

    Raises:
        SamePlace: somebody changed the same piece or table.
    """
    before, after = _tables(base), _tables(current)
    names = _names(before)
    here = {name: at for at, name in enumerate(_names(after))}
    for change in edit.changes:
        if isinstance(change, Swap) and before.get("pieces") != after.get("pieces"):
            raise SamePlace("the pieces")
        for at in pieces_touched(change):
            if at >= len(names):
                continue  # a piece that this very edit makes
            name = names[at]
            if name not in here:
                raise SamePlace(f'"{name}", which was taken out or renamed')
            if _piece(before, name) != _piece(after, name):
                raise SamePlace(f'"{name}"')
        if not isinstance(change, Put | Write | Clear) or change.path[0] == "pieces":
            continue
        if _at(before, change.path) != _at(after, change.path):
            raise SamePlace(" ".join(str(step) for step in change.path))
    order = [here.get(name) for name in names]
    return [_shifted(change, order) for change in edit.changes]


def _shifted(change: AnyChange, order: list[int | None]) -> AnyChange:
    for at in pieces_touched(change):
        new = order[at] if at < len(order) else None
        if new is None or new == at:
            continue
        if isinstance(change, Put | Write | Clear):
            return change.model_copy(update={"path": [change.path[0], new, *change.path[2:]]})
        return change.model_copy(update={"piece": new})
    return change


def _tables(text: str) -> Mapping[str, Any]:
    try:
        return tables_of(text)
    except NoTables:
        return {"": text}


def _rows(tables: Mapping[str, Any]) -> list[dict[str, Any]]:
    rows = tables.get("pieces", [])
    if not isinstance(rows, list):
        return []
    return [row if isinstance(row, dict) else {} for row in rows]


def _names(tables: Mapping[str, Any]) -> list[str]:
    return [str(row.get("name", at)) for at, row in enumerate(_rows(tables))]


def _piece(tables: Mapping[str, Any], name: str) -> Any:
    return next((row for row in _rows(tables) if str(row.get("name")) == name), None)


def _at(tables: Any, path: list[str | int]) -> Any:
    for step in path:
        try:
            tables = tables[step]
        except (KeyError, IndexError, TypeError):
            return None
    return tables
