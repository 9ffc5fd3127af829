"""Looking into the studio's mailbox for mail that came back (IMAP4rev1, RFC 3501).

Only reports are fetched, and nothing there is changed: they stay unread where they are.
"""

from __future__ import annotations

import imaplib
import logging
import re
import ssl
from collections.abc import Callable
from contextlib import suppress
from typing import Any, Final

from airwright.desk.mailing.bounces import bounce_of
from airwright.job.business import MailServer
from airwright.language import message
from airwright.store import Database
from airwright.store.mails import Mails
from airwright.store.studio import Facts

log = logging.getLogger("airwright.desk.mailing")

TIMEOUT_S: Final = 20.0
SEEN: Final = "mailbox_seen"
"""Name of the fact that keeps how far a mailbox was read: "validity:last"."""

MOST_AT_ONCE: Final = 50
LARGEST_REPORT: Final = 2_000_000
FAULTS: Final = (imaplib.IMAP4.error, OSError)


class Unreachable(Exception):
    """The mailbox does not open; its words say why."""


def look(database: Database, server: MailServer, password: str) -> int:
    """Mark mail whose reports came since the last look; how many were marked.

    Raises:
        Unreachable: the mailbox does not open, or breaks off.
    """
    with database.reading() as session:
        seen = Facts(session).get(SEEN) or ""
    try:
        reports, now_seen = _fetch(server, password, seen)
    except FAULTS as problem:
        raise Unreachable(
            message("The mailbox is out of reach: {problem}", problem=problem)
        ) from problem
    marked = 0
    with database.writing() as session:
        for report in reports:
            names, said = bounce_of(report)
            marked += sum(Mails(session).bounced(name, said) is not None for name in names)
        Facts(session).put(SEEN, now_seen)
    return marked


def _fetch(server: MailServer, password: str, seen: str) -> tuple[list[bytes], str]:
    """Reports behind what was seen, and how far the mailbox is read now."""
    line = _connected(server)
    try:
        line.login(server.user, password)
        _said(line.select("INBOX", readonly=True))
        validity = _number(line.response("UIDVALIDITY")[1])
        known, _, last_text = seen.partition(":")
        last = int(last_text) if known == str(validity) and last_text.isdecimal() else 0
        search = f'UID {last + 1}:* HEADER Content-Type "multipart/report"'
        (found,) = _said(line.uid("SEARCH", search))
        # "n:*" always holds the newest message, even where it is older than n.
        names = sorted(uid for uid in map(int, (found or b"").split()) if uid > last)
        reports = []
        for uid in names[:MOST_AT_ONCE]:
            reports += _one(line, uid)
            last = uid
        return reports, f"{validity}:{last}"
    finally:
        with suppress(*FAULTS):
            line.logout()


def _connected(server: MailServer) -> imaplib.IMAP4:
    if server.mailbox_security == "TLS":
        context = ssl.create_default_context()
        return imaplib.IMAP4_SSL(
            server.mailbox, server.mailbox_port, ssl_context=context, timeout=TIMEOUT_S
        )
    line = imaplib.IMAP4(server.mailbox, server.mailbox_port, timeout=TIMEOUT_S)
    if server.mailbox_security == "STARTTLS":
        line.starttls(ssl.create_default_context())
    return line


def _one(line: imaplib.IMAP4, uid: int) -> list[bytes]:
    parts = _said(line.uid("FETCH", str(uid), f"(BODY.PEEK[]<0.{LARGEST_REPORT}>)"))
    return [part[1] for part in parts if isinstance(part, tuple)]


def _said(answer: tuple[str, list[Any]]) -> list[Any]:
    word, rows = answer
    if word != "OK":
        raise imaplib.IMAP4.error(rows[0].decode("utf-8", "replace") if rows else word)
    return rows


def _number(rows: list[Any]) -> int:
    found = re.search(rb"\d+", rows[0] or b"") if rows else None
    return int(found[0]) if found else 0


def watcher(
    database: Database, settings: Callable[[], tuple[MailServer, str]]
) -> Callable[[], None]:
    """Something to call now and then: looks where a mailbox is set, and logs what goes wrong."""

    def watch() -> None:
        server, password = settings()
        if not (server.mailbox and server.user):
            return
        try:
            look(database, server, password)
        except Unreachable as problem:
            log.warning("%s", problem)

    return watch
