"""Handing queued mail to the studio's own server, one after the other, in the background."""

from __future__ import annotations

import logging
import math
import smtplib
import ssl
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from email import message_from_bytes
from email.utils import getaddresses

from airwright.job.business import MailServer
from airwright.language import message as _
from airwright.store import Database, StoreError
from airwright.store.mails import Mails

log = logging.getLogger("airwright.desk.mailing")

LOOK_EVERY_S = 15.0
TEND_EVERY_S = 600.0
TIMEOUT_S = 20.0


@dataclass(frozen=True, slots=True)
class Refused(Exception):
    """The server did not take a mail; `for_good` when another try would not help."""

    said: str
    for_good: bool


def hand_over(server: MailServer, password: str, data: bytes) -> None:
    """Give one mail to the server. Raises Refused."""
    message = message_from_bytes(data)
    fields = [str(value) for name in ("To", "Cc") for value in message.get_all(name, [])]
    recipients = [address for _, address in getaddresses(fields)]
    try:
        with _connected(server) as line:
            if server.user:
                line.login(server.user, password)
            refused = line.sendmail(server.sender or server.user, recipients, data)
        if refused:
            raise _of_recipients(refused)
    except smtplib.SMTPRecipientsRefused as problem:
        raise _of_recipients(problem.recipients) from problem
    except smtplib.SMTPAuthenticationError as problem:
        raise Refused(
            _("The server refuses the login: {problem}", problem=_words(problem)), False
        ) from problem
    except smtplib.SMTPResponseException as problem:
        code = int(problem.smtp_code)
        raise Refused(
            _("{code} {problem}", code=code, problem=_words(problem)), code >= 500
        ) from problem
    except (smtplib.SMTPException, OSError) as problem:
        raise Refused(
            _("The server is out of reach: {problem}", problem=problem), False
        ) from problem


def _connected(server: MailServer) -> smtplib.SMTP:
    if server.security == "TLS":
        context = ssl.create_default_context()
        return smtplib.SMTP_SSL(server.server, server.port, timeout=TIMEOUT_S, context=context)
    line = smtplib.SMTP(server.server, server.port, timeout=TIMEOUT_S)
    if server.security == "STARTTLS":
        line.starttls(context=ssl.create_default_context())
    return line


def _of_recipients(refused: dict[str, tuple[int, bytes]]) -> Refused:
    address, (code, said) = next(iter(refused.items()))
    return Refused(
        _(
            "{address}: {code} {value}",
            address=address,
            code=code,
            value=said.decode("utf-8", "replace"),
        ),
        code >= 500,
    )


def _words(problem: smtplib.SMTPResponseException) -> str:
    said = problem.smtp_error
    return said.decode("utf-8", "replace") if isinstance(said, bytes) else str(said)


class Mailer:
    """Looks for mail whose turn has come, until told to end.

    Args:
        database: open.
        settings: the server and its password, asked anew each time.
        chores: what is done beside it now and then: letters by themselves, the mailbox.
    """

    def __init__(
        self,
        database: Database,
        settings: Callable[[], tuple[MailServer, str]],
        chores: Sequence[Callable[[], object]] = (),
    ) -> None:
        self.database = database
        self.settings = settings
        self.chores = chores
        self._wake, self._ending = threading.Event(), threading.Event()
        self._thread = threading.Thread(target=self._serve, name="mailer", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def wake(self) -> None:
        """There is something to send."""
        self._wake.set()

    def stop(self) -> None:
        """End; a mail under way is finished or tried again later."""
        self._ending.set()
        self._wake.set()
        if self._thread.is_alive():
            self._thread.join(timeout=5)

    def _serve(self) -> None:
        tended = -math.inf
        while not self._ending.is_set():
            try:
                if time.monotonic() - tended > TEND_EVERY_S:
                    tended = time.monotonic()
                    self._tend()
                while not self._ending.is_set() and self.send_one():
                    pass
            except StoreError as problem:
                log.warning("mail waits: %s", problem.what)
            self._wake.wait(LOOK_EVERY_S)
            self._wake.clear()

    def _tend(self) -> None:
        for chore in self.chores:
            try:
                chore()
            except Exception:  # what ails one letter must not keep all others from going out
                log.exception("a chore of the mail failed")

    def send_one(self) -> bool:
        """Send the next mail; False when there is none, or no server is set."""
        server, password = self.settings()
        if not server.server:
            return False
        with self.database.writing() as session:
            row = Mails(session).claim()
            claimed = None if row is None else (row.id, row.message)
        if claimed is None:
            return False
        try:
            hand_over(server, password, claimed[1])
        except Refused as problem:
            with self.database.writing() as session:
                Mails(session).did_not_go(claimed[0], problem.said, for_good=problem.for_good)
        else:
            with self.database.writing() as session:
                Mails(session).went(claimed[0])
        return True
