"""What changed between two texts of a job file: which keys, which pieces came, went or moved.

Pieces and options are told apart by name; a row that took another name but kept its place is the
same row. Places are lists of keys, with rows counted as they stood before:
`("pieces", 2, "height")`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from airwright.desk.editing.tables import NoTables, tables_of

ROWS = ("pieces", "options")
"""Lists of tables at the top of a file whose rows have names."""

Place = tuple[str | int, ...]
Rows = Sequence[Any]


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that changed.

    Attributes:
        what: a value was set or cleared; a row came (`at` is its new index), went, or was moved.
        place: of the value or row, counted as before; ("pieces",) for a row that came.
        value, old: the new value and the one before.
        at: index of a new row in the later text.
    """

    what: Literal["set", "clear", "come", "go", "order"]
    place: Place
    value: Any = None
    at: int = -1
    old: Any = None


def readable(text: str) -> Mapping[str, Any] | None:
    """The tables of a text; None where it is no TOML, or its rows are no tables."""
    try:
        tables = tables_of(text)
    except NoTables:
        return None
    return tables if all(is_rows(tables.get(key), missing=True) for key in ROWS) else None


def differences(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Difference]:
    """Everything that changed from one set of tables to another."""
    found: list[Difference] = []
    for key in dict.fromkeys([*before, *after]):
        old, new = before.get(key), after.get(key)
        if key in ROWS and is_rows(old, missing=True) and is_rows(new, missing=True):
            found += _rows(key, old or [], new or [])
        else:
            found += _values((key,), before, after)
    return found


def is_rows(value: Any, *, missing: bool = False) -> bool:
    """Whether a value is a list of tables."""
    if value is None:
        return missing
    return isinstance(value, list) and all(isinstance(row, Mapping) for row in value)


def same_rows(before: Rows, after: Rows) -> list[int | None]:
    """For each row before, its index after; None where it is gone."""
    spots: dict[tuple[str, int], int] = dict(_named(after))
    found = [spots.get(key) for key, _ in _named(before)]
    if len(before) == len(after):  # renamed in its place
        taken = {at for at in found if at is not None}
        found = [
            at if at is not None else own if own not in taken else None
            for own, at in enumerate(found)
        ]
    return found


def _named(rows: Rows) -> Iterator[tuple[tuple[str, int], int]]:
    seen: dict[str, int] = {}
    for at, row in enumerate(rows):
        name = str(row.get("name", ""))
        seen[name] = seen.get(name, -1) + 1
        yield (name, seen[name]), at


def _rows(key: str, before: Rows, after: Rows) -> list[Difference]:
    pairs = same_rows(before, after)
    found: list[Difference] = []
    for own, at in enumerate(pairs):
        if at is None:
            found.append(Difference("go", (key, own)))
        else:
            found += _tables((key, own), before[own], after[at])
    kept = [at for at in pairs if at is not None]
    if kept != sorted(kept):
        found.append(Difference("order", (key,)))
    came = sorted(set(range(len(after))) - set(kept))
    return found + [Difference("come", (key,), after[at], at) for at in came]


def _tables(place: Place, before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Difference]:
    return [
        difference
        for key in dict.fromkeys([*before, *after])
        for difference in _values((*place, key), before, after)
    ]


def _values(place: Place, before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Difference]:
    key = str(place[-1])
    if key not in after:
        return [Difference("clear", place)]
    if key not in before:
        return [Difference("set", place, after[key])]
    old, new = before[key], after[key]
    if type(old) is type(new) and old == new:
        return []
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        return _tables(place, old, new)
    return [Difference("set", place, new, old=old)]


def overlap(one: Place, other: Place) -> bool:
    """Whether two places are the same, or one lies within the other."""
    shorter = min(len(one), len(other))
    return one[:shorter] == other[:shorter]


def value_at(tables: Any, place: Sequence[Any]) -> Any:
    """What stands at a place; None where nothing does."""
    for step in place:
        try:
            tables = tables[step]
        except (KeyError, IndexError, TypeError):
            return None
    return tables
