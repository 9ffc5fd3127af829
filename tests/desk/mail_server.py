"""A mail server that listens in the test, and a desk that is told of it."""

from __future__ import annotations

import datetime as dt
from typing import Any

from airwright.desk.app import mail_server
from airwright.desk.mailing.sender import Mailer
from airwright.store.offer_tables import Acceptance, InvoiceRow, MailRow
from airwright.store.studio import StudioFile
from tests.desk.conftest import House, Visitor
from tests.desk.test_offers import send


class Inbox:
    """A mail server that keeps what it is given, or refuses it with `answer`."""

    def __init__(self) -> None:
        self.answer, self.rcpt, self.envelopes = "250 OK", "250 OK", []

    async def handle_RCPT(
        self, _s: Any, _session: Any, envelope: Any, address: str, _o: Any
    ) -> str:
        if self.rcpt.startswith("250"):
            envelope.rcpt_tos.append(address)
        return self.rcpt

    async def handle_DATA(self, _server: Any, _session: Any, envelope: Any) -> str:
        if self.answer.startswith("250"):
            self.envelopes.append(envelope)
        return self.answer


def settings(house: House, port: int, security: str = "none", more: str = "") -> None:
    text = f"""format = "airwright-studio/1"
[mail]
server = "127.0.0.1"
port = {port}
security = "{security}"
{more}sender = "ada@studio.example"
copy_to_us = "no"
"""
    with house.desk.database.writing() as session:
        held = StudioFile(session)
        held.put(text, held.get()[1])
        session.query(MailRow).delete()
        session.query(Acceptance).delete()  # what earlier tests left would be written to again
        session.query(InvoiceRow).update({"due": dt.date(2030, 1, 1)})


def mailer(house: House) -> Mailer:
    return Mailer(house.desk.database, lambda: mail_server(house.desk))


LETTER = {"letter": "offer", "recipient": "mara@example.org", "subject": "Your decor", "do": "send",
          "body": "Dear Mara,\n\n{link}\n\nß 漢字"}  # fmt: skip


def queued(house: House, visitor: Visitor, **more: str) -> str:
    job_id = house.job()
    send(house, job_id)
    visitor.get(f"/jobs/{job_id}/mail?letter=offer")
    answer = visitor.post(f"/jobs/{job_id}/mail", {**LETTER, **more})
    assert answer.status_code == 303, answer.text[:500]
    return job_id


def state(house: House) -> tuple[str, str]:
    with house.desk.database.reading() as session:
        row = session.query(MailRow).one()
        return row.state, row.said


REPORT = b"""From: MAILER-DAEMON@example.org
To: ada@studio.example
Subject: Undelivered
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status; boundary="b"

--b
Content-Type: text/plain

It could not be delivered.
--b
Content-Type: message/delivery-status

Reporting-MTA: dns; example.org

Final-Recipient: rfc822; mara@example.org
Action: failed
Status: 5.1.1
Diagnostic-Code: smtp; 550 5.1.1 unknown user
--b
Content-Type: text/rfc822-headers

Message-ID: %s
Subject: Your decor
--b--
"""
