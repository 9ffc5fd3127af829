"""Coming in, and the lasting log as people read it."""

from __future__ import annotations

from sqlalchemy.orm import Session

from airwright.desk.access import RequestContext
from airwright.desk.accounts import start_session
from airwright.desk.proof import tried
from airwright.desk.team.contexts import LogLine
from airwright.desk.team.forms import LOG_WORDS
from airwright.store.logbook import KINDS, Logbook
from airwright.store.people import People
from airwright.store.tables import JobRow

LOG_PAGE = 100
"""Entries a page of the log shows."""


def enter(context: RequestContext, login: str, password: str) -> str | None:
    """The token of a new session, or None for a wrong login or password.

    Raises:
        Refused: too many wrong passwords; the cure says how long to wait.
    """
    person = tried(context.desk, login, password, context.address)
    if person is None:
        return None
    with context.writing() as session:
        return start_session(context, session, People(session).get(person.id))


def log_lines(session: Session, kind: str, page: int) -> tuple[tuple[LogLine, ...], bool]:
    """One page of the log, newest first, and whether older entries follow."""
    wanted = next((k for k in KINDS if k == kind), None)
    rows = Logbook(session).latest(wanted, limit=LOG_PAGE + 1, offset=page * LOG_PAGE)
    lines = []
    for row in rows[:LOG_PAGE]:
        job = None if row.job_id is None else session.get(JobRow, row.job_id)
        lines.append(
            LogLine(
                row.at,
                LOG_WORDS.get(row.kind, row.kind),
                row.actor,
                row.address,
                row.subject or ("" if job is None else job.title),
                "" if job is None else f"/jobs/{job.id}",
            )
        )
    return tuple(lines), len(rows) > LOG_PAGE
