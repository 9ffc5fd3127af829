"""Puts differences found between two texts into a third one, comments and all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from airwright.desk.editing.differences import ROWS, Difference, Place
from airwright.desk.editing.document import copied_table, fresh_name, toml_value

Rows = Mapping[str, list[int | None]]


class NotThere(Exception):
    """A place a difference is about is not in the text."""


def grafted(current: str, wanted: str, changes: Sequence[Difference], rows: Rows) -> str:
    """A text with differences put into it.

    Args:
        current: the text to change.
        wanted: the text the differences lead to; new rows are taken from it with their comments.
        changes: the differences.
        rows: where each row the differences count is in `current`; None where it is gone.

    Raises:
        NotThere: a place is missing, or the outcome would be no TOML.
    """
    try:
        document = tomlkit.parse(current)
        source = tomlkit.parse(wanted)
        names = _names(document, [c for c in changes if c.what == "come"])
        for change in changes:
            if change.what in ("set", "clear"):
                _write(document, change, rows, names)
        _go(document, [c for c in changes if c.what == "go"], rows)
        for change in changes:
            if change.what == "come":
                _come(document, source, change, names)
        for key in {str(c.place[0]) for c in changes if c.what == "order"}:
            _order(document, source, key)
        text = tomlkit.dumps(document)
        tomlkit.parse(text)
    except (TOMLKitError, KeyError, IndexError, TypeError, AttributeError, ValueError) as problem:
        raise NotThere from problem
    return text


def _names(document: Any, changes: Sequence[Difference]) -> dict[str, str]:
    """The name each new piece gets, by the one it came with: others may have taken that."""
    names: dict[str, str] = {}
    for change in changes:
        if change.place[0] == "pieces":
            wanted = str(change.value.get("name", "Piece"))
            names[wanted] = fresh_name(document, wanted)
    return names


def _come(document: Any, source: Any, change: Difference, names: Mapping[str, str]) -> None:
    key = str(change.place[0])
    copy = copied_table(source[key][change.at])
    if key == "pieces":
        copy["name"] = names[str(change.value.get("name", "Piece"))]
    if key not in document:
        document[key] = tomlkit.aot()
        document[key].append(copy)
    else:
        document[key].insert(min(change.at, len(document[key])), copy)


def _write(document: Any, change: Difference, rows: Rows, names: Mapping[str, str]) -> None:
    listed = change.place[0] == "options" and change.place[2:] == ("pieces",)
    if listed and rows["options"][int(change.place[1])] is None:
        return  # the option is gone: nothing is offered in it any more
    place = _now(change.place, rows)
    *way, last = place
    where = document
    for step in way:
        if isinstance(step, str) and step not in where:
            top = where is document
            where[step] = tomlkit.table() if top else tomlkit.inline_table()
        where = where[step]
    if change.what == "clear":
        if last in where:
            del where[last]
        return
    value = change.value
    if listed:
        value = _together(where.get(last, []), change, names)
    where[last] = toml_value(value, last)


def _together(here: Sequence[Any], change: Difference, names: Mapping[str, str]) -> list[str]:
    """Pieces of an option: as they stand, with what this change puts in and takes out."""
    old, new = [str(n) for n in change.old or []], [str(n) for n in change.value]
    stay = [str(name) for name in here if str(name) not in old or str(name) in new]
    added = [names.get(name, name) for name in new if name not in old]
    return list(dict.fromkeys([*stay, *added]))


def _go(document: Any, changes: Sequence[Difference], rows: Rows) -> None:
    spots = [(str(c.place[0]), rows[str(c.place[0])][int(c.place[1])]) for c in changes]
    for key, spot in sorted(((k, s) for k, s in spots if s is not None), reverse=True):
        del document[key][spot]
        if len(document[key]) == 0:
            del document[key]


def _order(document: Any, source: Any, key: str) -> None:
    ranks = {str(row.get("name")): at for at, row in enumerate(source.get(key, []))}
    held = [copied_table(row) for row in document.get(key, [])]
    held.sort(key=lambda row: ranks.get(str(row.get("name")), len(ranks)))
    while len(document[key]):
        del document[key][len(document[key]) - 1]
    for row in held:
        document[key].append(row)


def _now(place: Place, rows: Rows) -> Place:
    if len(place) < 2 or place[0] not in ROWS:
        return place
    spot = rows[str(place[0])][int(place[1])]
    if spot is None:
        raise NotThere
    return (place[0], spot, *place[2:])
