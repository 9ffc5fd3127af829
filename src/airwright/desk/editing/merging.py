"""Several people at one job: a change made from an older text, beside what others did since.

Changes of different fields go together. Where somebody else changed the same field, or took out
the piece it belongs to, nothing is written and both values are told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from airwright.desk.editing.differences import (
    ROWS,
    Difference,
    Place,
    differences,
    overlap,
    readable,
    same_rows,
    value_at,
)
from airwright.desk.editing.regrafting import NotThere, grafted
from airwright.language import message

MOST_BETWEEN = 60
"""Versions between a change's text and the job's; older pages are asked to load again."""


@dataclass(frozen=True, slots=True)
class Step:
    """One version of a job on the way from the text a change was made from to the present one.

    Attributes:
        number: the version.
        text: the file in it.
        actor: who made it.
        own: whether the same hand made it; its fields may be changed again.
    """

    number: int
    text: str
    actor: str
    own: bool


@dataclass(frozen=True, slots=True)
class Rival:
    """Somebody else's change of the same thing.

    Attributes:
        what: the field or piece, in words.
        actor: who was first.
        theirs: the value that stands, as text; None where the thing is gone or is no value.
        mine: the value that was refused.
        can_keep: whether the refused change could be made over theirs.
    """

    what: str
    actor: str
    theirs: str | None
    mine: str | None
    can_keep: bool


class SamePlace(Exception):
    """Both changed the same thing."""

    def __init__(self, rivals: Sequence[Rival]) -> None:
        super().__init__(rivals[0].what)
        self.rivals = tuple(rivals)


@dataclass(frozen=True, slots=True)
class _Since:
    """What happened since a text: where its rows are now, and what others touched."""

    rows: Mapping[str, list[int | None]]
    touched: tuple[tuple[Place, str], ...]


def carried_over(base: str, wanted: str, steps: Sequence[Step]) -> str:
    """A change made from an older text, made in the present one.

    Args:
        base: the text the change was made from.
        wanted: that text with the change in it.
        steps: every version since, oldest first; the last is the present one.

    Raises:
        SamePlace: somebody else changed the same field or took its piece out.
    """
    current = steps[-1].text
    if current == base:
        return wanted
    before, after = readable(base), readable(wanted)
    if before is None or after is None or readable(current) is None:
        raise SamePlace([_whole(steps)])
    changes = differences(before, after)
    since = _since(before, steps)
    rivals = [rival for change in changes if (rival := _rival(change, before, since, steps))]
    if rivals:
        raise SamePlace(rivals)
    try:
        return grafted(current, wanted, changes, since.rows)
    except NotThere as problem:
        raise SamePlace([_whole(steps)]) from problem


def _whole(steps: Sequence[Step]) -> Rival:
    actor = next((s.actor for s in reversed(steps) if not s.own), steps[-1].actor)
    return Rival(message("the job file"), actor, None, None, can_keep=False)


def _since(before: Mapping[str, Any], steps: Sequence[Step]) -> _Since:
    rows: dict[str, list[int | None]] = {key: list(range(len(before.get(key, [])))) for key in ROWS}
    touched: list[tuple[Place, str]] = []
    tables = before
    for step in steps:
        later = readable(step.text)
        if later is None:
            raise SamePlace([_whole(steps)])
        if not step.own:
            for change in differences(tables, later):
                place = _as_before(change.place, rows)
                if change.what not in ("come", "order") and place and not _is_list(place):
                    touched.append((place, step.actor))
        for key in ROWS:
            here = same_rows(tables.get(key, []), later.get(key, []))
            rows[key] = [None if at is None else here[at] for at in rows[key]]
        tables = later
    return _Since(rows, tuple(touched))


def _as_before(place: Place, rows: Mapping[str, list[int | None]]) -> Place | None:
    """A place counted as in the first text; None for a row that came later."""
    if len(place) < 2 or place[0] not in ROWS:
        return place
    at = next((own for own, now in enumerate(rows[str(place[0])]) if now == place[1]), None)
    return None if at is None else (place[0], at, *place[2:])


def _is_list(place: Place) -> bool:
    """Pieces in an option: both people's changes of that list go together."""
    return place[0] == "options" and place[2:] == ("pieces",)


def _rival(
    change: Difference, before: Mapping[str, Any], since: _Since, steps: Sequence[Step]
) -> Rival | None:
    if change.what in ("come", "order") or _is_list(change.place):
        return None
    row = len(change.place) > 1 and change.place[0] in ROWS
    here = since.rows[str(change.place[0])][int(change.place[1])] if row else None
    gone = row and here is None
    if gone and change.what == "go":
        return None  # both took it out
    theirs = [(place, who) for place, who in since.touched if overlap(place, change.place)]
    if not theirs and not gone:
        return None
    current = readable(steps[-1].text) or {}
    actor = theirs[-1][1] if theirs else steps[-1].actor
    place = (change.place[0], here, *change.place[2:]) if row else change.place
    standing = None if gone else value_at(current, place)
    if not gone and change.what == "set" and standing == change.value:
        return None  # both want the same
    return Rival(
        what=message("{what} (taken out)", what=words_of(change.place, before))
        if gone
        else words_of(change.place, before),
        actor=actor,
        theirs=None if gone or change.what == "go" else shown(standing),
        mine=None if change.what == "go" else shown(change.value),
        can_keep=not gone,
    )


def words_of(place: Place, tables: Mapping[str, Any]) -> str:
    """A place in words: "Swirl column: height"."""
    if place[0] in ROWS and len(place) > 1:
        name = value_at(tables, (*place[:2], "name"))
        head = str(name)[:80] if name else f"{place[0]} {place[1]}"
        rest = " ".join(str(step) for step in place[2:]).replace("_", " ")
        return f"{head}: {rest}" if rest else head
    return " ".join(str(step) for step in place).replace("_", " ")


def shown(value: Any) -> str | None:
    """A value as a person reads it."""
    if value is None:
        return None
    if isinstance(value, list):
        text = ", ".join(str(shown(entry)) for entry in value)
    elif isinstance(value, Mapping):
        text = ", ".join(f"{key} {shown(entry)}" for key, entry in value.items())
    else:
        text = str(value)
    return text[:200]
