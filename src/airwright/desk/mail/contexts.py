"""What this area's templates are given."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.page_heads import JobBar
from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class MailLine:
    """A mail in the list."""

    id: str
    kind: str
    recipient: str
    subject: str
    state: str
    said: str
    tries: int
    made: dt.datetime
    sent: dt.datetime | None
    job_id: str


@dataclass(frozen=True)
class WritePage(Page):
    """A letter to a client: written, then looked at, then sent."""

    template: ClassVar[str] = "mail/write.html"
    job: JobBar
    letter: str
    letters: tuple[tuple[str, str], ...]
    number: str
    recipient: str
    subject: str
    body: str
    attachments: tuple[tuple[str, str], ...]
    invitation: bool
    looked_at: bool
    can_send: bool
    server: str
    mails: tuple[MailLine, ...]
    wrong: tuple[str, str] | None


@dataclass(frozen=True)
class LetterPage(Page):
    """A letter as it goes out, or went."""

    template: ClassVar[str] = "mail/letter.html"
    mail: MailLine
    sender: str
    copies: str
    body: str
    attachments: tuple[tuple[str, str], ...]
    can_send: bool


@dataclass(frozen=True)
class MailPage(Page):
    """Letters that wait or came back, and the server's password."""

    template: ClassVar[str] = "mail/mail.html"
    server: str
    can_send: bool
    mailbox: str
    has_password: bool
    waiting: int
    drafts: int
    mails: tuple[MailLine, ...]
