"""What a transaction changed: the tables and jobs it touches, collected as it goes along."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import event
from sqlalchemy.orm import ORMExecuteState, Session

CHANNEL: Final = "airwright_news"

LONGEST_WORD: Final = 7000
"""Bytes of one notice; PostgreSQL takes 8000."""

QUIET: Final = frozenset(
    {"knocks", "challenges", "log_entries", "thumbnails", "facts", "job_versions", "sittings"}
)
"""Tables that no page shows, or that change with nothing to be seen."""

DOOR: Final = "door"
"""Told as a table when somebody was signed out or an account changed."""


@dataclass(frozen=True, slots=True)
class News:
    """What changed: tables and jobs; `everything` where it is not known what."""

    tables: frozenset[str] = frozenset()
    jobs: frozenset[str] = frozenset()
    everything: bool = False

    def __or__(self, other: News) -> News:
        """Both together."""
        return News(
            self.tables | other.tables,
            self.jobs | other.jobs,
            self.everything or other.everything,
        )

    def __bool__(self) -> bool:
        """Whether anything changed at all."""
        return self.everything or bool(self.tables or self.jobs)

    def to_json(self) -> str:
        """For a wire; too much of it becomes `everything`."""
        found: dict[str, Any] = {"tables": sorted(self.tables), "jobs": sorted(self.jobs)}
        word = json.dumps(found | {"everything": self.everything}, separators=(",", ":"))
        return word if len(word) <= LONGEST_WORD else ALL.to_json()


ALL: Final = News(everything=True)


def from_json(word: str) -> News:
    """News off the wire; what cannot be read counts as everything."""
    try:
        found = json.loads(word)
        return News(
            frozenset(map(str, found["tables"])),
            frozenset(map(str, found["jobs"])),
            bool(found["everything"]),
        )
    except (ValueError, KeyError, TypeError):
        return ALL


class Collector:
    """Gathers what one transaction changes."""

    def __init__(self, session: Session) -> None:
        self.tables: set[str] = set()
        self.jobs: set[str] = set()
        event.listen(session, "after_flush", self._flushed)
        event.listen(session, "do_orm_execute", self._executed)

    @property
    def news(self) -> News:
        """What was changed so far."""
        return News(frozenset(self.tables - QUIET), frozenset(self.jobs))

    def _flushed(self, session: Session, _context: Any) -> None:
        self._rows(session.new)
        self._rows(row for row in session.dirty if session.is_modified(row))
        self._rows(session.deleted, gone=True)

    def _rows(self, rows: Iterable[Any], *, gone: bool = False) -> None:
        for row in rows:
            name = row.__tablename__
            self.tables.add(name)
            if name == "people" or (name == "sittings" and gone):
                self.tables.add(DOOR)
            job = row.id if name == "jobs" else getattr(row, "job_id", None)
            if isinstance(job, str) and name not in QUIET - {"job_versions"}:
                self.jobs.add(job)

    def _executed(self, state: ORMExecuteState) -> None:
        table = getattr(state.statement, "table", None)
        if table is None or not (state.is_update or state.is_delete or state.is_insert):
            return
        self.tables.add(table.name)
        if table.name == "sittings" and state.is_delete:
            self.tables.add(DOOR)
