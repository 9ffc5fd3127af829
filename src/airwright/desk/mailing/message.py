"""A mail as bytes (RFC 5322), with attachments and, for the day, an invitation (RFC 5546)."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime, make_msgid

from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.store.editions import FrozenFile

MAIL = re.compile(r"[^@\s<>,;\"]+@[^@\s<>,;\"]+\.[^@\s<>,;\".]+")


@dataclass(frozen=True, slots=True)
class Letter:
    """A mail before it is bytes."""

    sender: str
    sender_name: str
    recipient: str
    subject: str
    body: str
    attachments: tuple[FrozenFile, ...] = ()
    invitation: bytes = b""
    copy_to: str = ""


@dataclass(frozen=True, slots=True)
class Built:
    """A mail as it goes over the line."""

    message_id: str
    data: bytes


def build(letter: Letter, at: dt.datetime) -> Built:
    """Bytes of a mail. Raises EditError for addresses that are none."""
    mail = EmailMessage(policy=SMTP)
    mail["From"] = _address(
        letter.sender, letter.sender_name, message("Your own address is missing.")
    )
    mail["To"] = _address(letter.recipient, "", message("The client's address is missing."))
    if letter.copy_to and letter.copy_to != letter.recipient:
        mail["Cc"] = _address(letter.copy_to, "", message("Your own address is missing."))
    mail["Subject"] = _line(letter.subject)
    mail["Date"] = format_datetime(at)
    message_id = make_msgid(domain=letter.sender.rpartition("@")[2] or "airwright.invalid")
    mail["Message-ID"] = message_id
    mail.set_content(letter.body.replace("\r\n", "\n") + "\n", cte="quoted-printable")
    if letter.invitation:
        # A part of its own kind: mail programs then offer to put it into the calendar.
        mail.add_alternative(
            letter.invitation.decode("utf-8"), subtype="calendar", params={"method": "REQUEST"},
            cte="base64",
        )  # fmt: skip
    for file in letter.attachments:
        kind, _, detail = file.media.partition(";")[0].partition("/")
        mail.add_attachment(file.content, maintype=kind, subtype=detail, filename=file.name)
    return Built(message_id, mail.as_bytes())


def _address(address: str, name: str, missing: str) -> Address:
    if not address:
        raise EditError(missing, message("Write it like ada@example.org."))
    if not MAIL.fullmatch(address):
        raise EditError(
            message('"{address}" is no mail address.', address=address[:60]),
            message("Write it like ada@example.org."),
        )
    user, _, domain = address.rpartition("@")
    try:
        return Address(_line(name), user, domain)
    except ValueError as problem:
        raise EditError(
            message('"{address}" is no mail address.', address=address[:60]),
            message("Write it like ada@example.org."),
        ) from problem


def _line(text: str) -> str:
    return " ".join(text.split())


def summary_of(files: Sequence[FrozenFile]) -> tuple[tuple[str, str], ...]:
    """Names and sizes of attachments, for the preview."""
    return tuple((file.name, size_of(len(file.content))) for file in files)


def size_of(length: int) -> str:
    """A file's size in words: "84 kB"."""
    return f"{max(1, round(length / 1000)):,} kB"
