"""The part of a job file that a change is about, cut out so that only it is parsed and rewritten.

Parsing with comments kept takes ten times as long as plain parsing, and a change is nearly
always about one piece. The cut is made by looking at lines that look like headings, which a text
can feign (in a string, in an array). So it only stands if plain parsing says that the part holds
exactly its own table before and after, and that everything else came to the same.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from airwright.desk.editing.edits import AnyChange, Clear, Mirror, Paint, Put
from airwright.desk.editing.tables import tables_of

_HEADING = re.compile(r"^[ \t]*(\[\[?)[ \t]*([A-Za-z0-9_-]+)([ \t\w.-]*)\]\]?[ \t]*(?:#.*)?$", re.M)

OWN_TABLES = ("job", "venue", "shades")


@dataclass(frozen=True, slots=True)
class Section:
    """Text from `start` to `end` that holds one table of the file and nothing else.

    Attributes:
        table: its name at the top of the file.
        piece: which piece, where the table is one of the pieces.
        changes: the changes, with the piece counted as the only one.
    """

    start: int
    end: int
    table: str
    piece: int | None
    changes: list[AnyChange]

    def is_clean(self, text: str) -> bool:
        """Whether the part holds its own table and nothing else."""
        return _holds(text[self.start : self.end], self.table, self._own(tables_of(text)))

    def put_back(self, text: str, part: str) -> str | None:
        """The file with its part rewritten, or None where that would change anything else."""
        whole = text[: self.start] + part + text[self.end :]
        try:
            before, after = tables_of(text), tables_of(whole)
        except (ValueError, RecursionError):
            return None
        clean = _holds(part, self.table, self._own(after))
        return whole if clean and self._others(before) == self._others(after) else None

    def _own(self, tables: Mapping[str, Any]) -> Any:
        held = tables.get(self.table)
        if self.piece is None:
            return held
        return held[self.piece : self.piece + 1] if isinstance(held, list) else None

    def _others(self, tables: Mapping[str, Any]) -> list[tuple[str, Any]]:
        rest = [(key, value) for key, value in tables.items() if key != self.table]
        if self.piece is not None:
            held = tables[self.table]
            rest.append((self.table, [*held[: self.piece], None, *held[self.piece + 1 :]]))
        return rest


def section_of(text: str, changes: list[AnyChange]) -> Section | None:
    """The part of a file that changes are about, or None where it is not a single one."""
    about = {_about(change) for change in changes}
    if len(about) != 1 or (only := about.pop()) is None:
        return None
    table, piece = only
    try:
        tables_of(text)
    except (ValueError, RecursionError):
        return None
    headings = [(m.start(), m[1] == "[[", m[2], m[3].strip()) for m in _HEADING.finditer(text)]
    array = piece is not None
    starts = [
        at
        for at, (_, is_array, name, rest) in enumerate(headings)
        if name == table and not rest and is_array == array
    ]
    which = piece or 0
    if which >= len(starts) or (not array and len(starts) != 1):
        return None
    first = starts[which]
    later = headings[first + 1 :]
    end = next(
        (spot for spot, is_array, name, rest in later if name != table or (is_array and not rest)),
        len(text),
    )
    part = Section(headings[first][0], end, table, piece, [_alone(c) for c in changes])
    return part if part.is_clean(text) else None


def _holds(part: str, table: str, value: Any) -> bool:
    try:
        return tomllib.loads(part) == {table: value}
    except (ValueError, RecursionError):
        return False


def _about(change: AnyChange) -> tuple[str, int | None] | None:
    if isinstance(change, Mirror | Paint):
        return "pieces", change.piece
    if not isinstance(change, Put | Clear) or len(change.path) < 2:
        return None
    table, step = change.path[0], change.path[1]
    if table in OWN_TABLES and isinstance(step, str):
        return str(table), None
    if table != "pieces" or not isinstance(step, int) or step < 0 or len(change.path) < 3:
        return None
    return None if change.path[2] == "name" else ("pieces", step)  # a name stands in options too


def _alone(change: AnyChange) -> AnyChange:
    if isinstance(change, Mirror | Paint):
        return change.model_copy(update={"piece": 0})
    if isinstance(change, Put | Clear) and change.path[0] == "pieces":
        return change.model_copy(update={"path": ["pieces", 0, *change.path[2:]]})
    return change
