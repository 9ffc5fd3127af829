"""The lasting log: who came in, what was changed for others, given out, sent and taken away."""

from __future__ import annotations

from typing import Literal, get_args

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.store.door_tables import LogEntry
from airwright.store.types import now

LogKind = Literal[
    "signed in",
    "sign-in failed",
    "signed out",
    "session ended",
    "account made",
    "role changed",
    "password changed",
    "invited",
    "invitation withdrawn",
    "passkey added",
    "passkey removed",
    "settings changed",
    "offer sent",
    "link made",
    "link withdrawn",
    "offer withdrawn",
    "offer accepted",
    "exported",
    "deleted",
    "erased",
    "backed up",
    "tidied",
]
KINDS: tuple[LogKind, ...] = get_args(LogKind)


class Logbook:
    """The log, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def write(
        self,
        kind: LogKind,
        actor: str,
        subject: str = "",
        *,
        address: str = "",
        job_id: str | None = None,
    ) -> None:
        """One more entry. Neither secrets nor links belong into `subject`."""
        self.session.add(
            LogEntry(
                at=now(),
                kind=kind,
                actor=actor[:120],
                subject=subject[:200],
                address=address[:64],
                job_id=job_id,
            )
        )

    def latest(self, kind: LogKind | None = None, *, limit: int, offset: int = 0) -> list[LogEntry]:
        """Entries, newest first."""
        query = select(LogEntry).order_by(LogEntry.at.desc(), LogEntry.id)
        if kind is not None:
            query = query.where(LogEntry.kind == kind)
        return list(self.session.scalars(query.limit(limit).offset(offset)))
