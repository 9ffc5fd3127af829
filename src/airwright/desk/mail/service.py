"""Mail as its pages list it."""

from __future__ import annotations

from collections.abc import Iterable
from email import message_from_bytes, policy

from airwright.desk.mail.contexts import LetterPage, MailLine
from airwright.desk.mailing.letters import LETTERS
from airwright.desk.mailing.message import size_of
from airwright.store.offer_tables import MailRow


def mail_lines(rows: Iterable[MailRow]) -> tuple[MailLine, ...]:
    """Mails as they stand in a list."""
    return tuple(
        MailLine(
            row.id,
            LETTERS.get(row.kind, row.kind),
            row.recipient,
            row.subject,
            row.state,
            row.said,
            row.tries,
            row.made,
            row.sent,
            row.job_id or "",
        )
        for row in rows
    )


def letter_page(row: MailRow, *, can_send: bool) -> LetterPage:
    """A letter as it goes out, or went."""
    message = message_from_bytes(row.message, policy=policy.default)
    body = message.get_body(("plain",))
    files = tuple(
        (part.get_filename() or "", size_of(len(part.get_payload(decode=True) or b"")))
        for part in message.iter_attachments()
        if part.get_filename()
    )
    (line,) = mail_lines([row])
    return LetterPage(
        mail=line,
        sender=str(message["From"]),
        copies=str(message["Cc"] or ""),
        body=str(body.get_content()) if body is not None else "",
        attachments=files,
        can_send=can_send,
    )
