"""What a running desk holds: database, builder, key, workers."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from typing import Any

from starlette.requests import Request

from airwright.desk.config import DeskSettings
from airwright.desk.editing.builder import Builder
from airwright.desk.editing.fair_lock import FairLock
from airwright.desk.limits import Limits
from airwright.desk.news import Bus
from airwright.store import Database
from airwright.store.studio import Facts


@dataclass(eq=False)
class Desk:
    """One running desk.

    Attributes:
        settings: how it was started.
        database: open.
        builder: looks at jobs.
        key: signs form tokens; kept in the database, so that all machines share it.
        workers: the background, if this process has one.
        backups: makes backups by themselves, if this process does.
        mailer: sends queued mail, if this process does.
        job_locks: people at one job, in the order they came.
        limits: how much one visitor may ask.
        news: what changed, for pages that are open.
    """

    settings: DeskSettings
    database: Database
    builder: Builder
    key: str
    workers: Any = None
    mailer: Any = None
    backups: Any = None
    job_locks: FairLock = field(default_factory=FairLock)
    limits: Limits = field(default_factory=Limits)
    news: Bus = field(default_factory=Bus)


def desk_key(database: Database) -> str:
    """The desk's own secret, made at the first start."""
    with database.writing() as session:
        facts = Facts(session)
        key = facts.get("key")
        if key is None:
            key = secrets.token_hex(32)
            facts.put("key", key)
    return key


def desk_of(request: Request) -> Desk:
    """The desk a request came to."""
    desk: Desk = request.app.state.desk
    return desk
