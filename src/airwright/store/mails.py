"""The queue of mail: what waits, what went, what came back."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from sqlalchemy import func, or_, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.store.errors import Missing
from airwright.store.offer_tables import MailRow
from airwright.store.types import now

DRAFT, WAITING, SENDING = "draft", "waiting", "sending"
SENT, FAILED, BOUNCED = "sent", "failed", "bounced"

RETRIES = tuple(dt.timedelta(minutes=m) for m in (1, 5, 15, 60, 240))
"""Waits between tries; after the last one it is given up."""

LEASE = dt.timedelta(minutes=3)
"""A mail that somebody began to send this long ago, without a word since, waits again."""


@dataclass(frozen=True, slots=True)
class NewMail:
    """A mail as it was looked at; `message` is what goes over the line.

    `key` is of its cause where nobody wrote it by hand; `draft` leaves it until somebody says so.
    """

    kind: str
    recipient: str
    subject: str
    message_id: str
    message: bytes
    job_id: str | None = None
    key: str | None = None
    draft: bool = False


class Mails:
    """Mail, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def put(self, new: NewMail, actor: str) -> MailRow:
        """Into the queue."""
        row = MailRow(
            job_id=new.job_id,
            kind=new.kind,
            recipient=new.recipient[:254],
            subject=new.subject[:300],
            message_id=new.message_id[:200],
            message=new.message,
            state=DRAFT if new.draft else WAITING,
            next_try=None if new.draft else now(),
            made=now(),
            made_by=actor[:120],
            key=new.key,
        )
        self.session.add(row)
        self.session.flush()
        return row

    def put_once(self, new: NewMail, actor: str) -> bool:
        """Into the queue, unless its cause made a letter already; whether it is new."""
        if new.key is not None and self.knows(new.key):
            return False
        try:
            with self.session.begin_nested():
                self.put(new, actor)
        except IntegrityError:  # another desk at the same database was faster
            return False
        return True

    def knows(self, key: str) -> bool:
        """Whether a cause made a letter already."""
        return self.session.scalar(select(MailRow.id).where(MailRow.key == key)) is not None

    def keys(self, beginning: str) -> set[str]:
        """Keys of letters that were made by themselves, by how they begin."""
        query = select(MailRow.key).where(MailRow.key.startswith(beginning, autoescape=True))
        return {key for key in self.session.scalars(query) if key is not None}

    def drafts(self) -> list[MailRow]:
        """Letters that wait for somebody to look at them, oldest first."""
        query = select(MailRow).where(MailRow.state == DRAFT)
        return list(self.session.scalars(query.order_by(MailRow.made)))

    def count(self, state: str) -> int:
        """How many mails are in a state."""
        query = select(func.count()).select_from(MailRow).where(MailRow.state == state)
        return self.session.scalar(query) or 0

    def unsent(self, limit: int = 60) -> list[MailRow]:
        """What did not go out yet, or came back, newest first."""
        states = (DRAFT, WAITING, SENDING, FAILED, BOUNCED)
        query = select(MailRow).where(MailRow.state.in_(states))
        return list(self.session.scalars(query.order_by(MailRow.made.desc()).limit(limit)))

    def overtaken(self, mail_id: str, said: str) -> None:
        """A draft that is no longer needed: it stays on the list, and says why it did not go."""
        row = self.get(mail_id)
        if row.state == DRAFT:
            row.state, row.said = FAILED, said[:1000]

    def get(self, mail_id: str) -> MailRow:
        """One mail. Raises Missing."""
        row = self.session.get(MailRow, mail_id)
        if row is None:
            raise Missing("mail")
        return row

    def of_job(self, job_id: str, limit: int = 30) -> list[MailRow]:
        """A job's mails, newest first."""
        query = select(MailRow).where(MailRow.job_id == job_id)
        return list(self.session.scalars(query.order_by(MailRow.made.desc()).limit(limit)))

    def claim(self) -> MailRow | None:
        """Take the oldest mail whose turn has come; one that a dead process held counts."""
        due = or_(
            (MailRow.state == WAITING) & (MailRow.next_try <= now()),
            (MailRow.state == SENDING) & (MailRow.next_try < now() - LEASE),
        )
        query = select(MailRow).where(due).order_by(MailRow.next_try).limit(1)
        row = self.session.scalar(query.with_for_update(skip_locked=True))
        if row is not None:
            row.state, row.next_try = SENDING, now()
            row.tries += 1
        return row

    def went(self, mail_id: str) -> None:
        """The server took it."""
        row = self.get(mail_id)
        row.state, row.sent, row.said, row.next_try = SENT, now(), "", None

    def did_not_go(self, mail_id: str, said: str, *, for_good: bool) -> None:
        """The server refused it or was away: try later, or give up."""
        row = self.get(mail_id)
        row.said = said[:1000]
        if for_good or row.tries > len(RETRIES):
            row.state, row.next_try = BOUNCED if for_good else FAILED, None
        else:
            row.state, row.next_try = WAITING, now() + RETRIES[row.tries - 1]

    def again(self, mail_id: str) -> MailRow:
        """Send a draft, or try a mail again that was given up."""
        row = self.get(mail_id)
        if row.state in (DRAFT, FAILED, BOUNCED, WAITING):
            row.state, row.tries, row.next_try = WAITING, 0, now()
        return row

    def stop(self, mail_id: str) -> MailRow:
        """Do not send it after all."""
        row = self.get(mail_id)
        if row.state in (DRAFT, WAITING):
            row.state, row.next_try, row.said = FAILED, None, message("Stopped by hand.")
        return row

    def bounced(self, message_id: str, said: str) -> MailRow | None:
        """A mail came back; None when it is none of ours."""
        query = select(MailRow).where(MailRow.message_id == message_id.strip())
        row = self.session.scalar(query)
        if row is not None:
            row.state, row.said = BOUNCED, said[:1000]
        return row
