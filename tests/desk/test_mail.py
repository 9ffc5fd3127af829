"""Mail against a real server started in the test; letters in the studio's words."""

from __future__ import annotations

import datetime as dt
import email
import re
import socketserver
import ssl
import threading
from collections.abc import Iterator
from email import policy
from pathlib import Path
from typing import Any, ClassVar

import icalendar
import pytest
import trustme
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult

from airwright.desk.app import mail_server
from airwright.desk.editing.edits import EditError
from airwright.desk.mailing import mailbox, outbox
from airwright.desk.mailing.bounces import bounce_of
from airwright.desk.mailing.message import Letter, build
from airwright.desk.mailing.sender import Mailer
from airwright.job.business import MailServer
from airwright.store.invoices import Invoices
from airwright.store.mails import Mails
from airwright.store.offer_tables import Acceptance, InvoiceRow, MailRow
from airwright.store.studio import StudioFile
from airwright.store.types import now
from tests.desk.conftest import House, Visitor
from tests.desk.test_offers import YES, send
from tests.services import free_port


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


@pytest.fixture
def inbox(house: House) -> Iterator[Inbox]:
    handler, port = Inbox(), free_port()
    controller = Controller(handler, hostname="127.0.0.1", port=port)
    controller.start()
    settings(house, port)
    yield handler
    controller.stop()


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


def test_an_offer_goes_out_with_its_pdf_and_a_link_that_opens(house: House, inbox: Inbox) -> None:
    visitor = house.visitor()
    queued(house, visitor)
    assert mailer(house).send_one()
    (envelope,) = inbox.envelopes
    assert envelope.rcpt_tos == ["mara@example.org"]
    message = email.message_from_bytes(envelope.content, policy=policy.default)
    assert message["From"] == "Your balloon studio <ada@studio.example>"
    body = message.get_body(("plain",)).get_content()
    assert "ß 漢字" in body
    link = re.search(r"/c/[\w-]{40,}", body)
    assert link is not None
    assert house.visitor().get(link[0]).status_code == 200
    names = [part.get_filename() for part in message.iter_attachments()]
    assert names == ["offer.pdf"]
    assert state(house)[0] == "sent"
    assert not mailer(house).send_one()


def test_nothing_goes_out_before_it_was_looked_at(house: House, inbox: Inbox) -> None:
    job_id, visitor = house.job(), house.visitor()
    send(house, job_id)
    page = visitor.page(f"/jobs/{job_id}/mail?letter=offer")
    buttons = [button["value"] for button in page.select("button[name=do]")]
    assert buttons == ["look"]
    looked = visitor.post(f"/jobs/{job_id}/mail", {**LETTER, "do": "look"})
    assert "This is what goes out" in looked.text
    assert 'value="send"' in looked.text
    assert not mailer(house).send_one()
    assert inbox.envelopes == []


def test_a_refused_address_bounces_and_is_not_tried_again(house: House, inbox: Inbox) -> None:
    inbox.rcpt = "550 5.1.1 no such user"
    visitor = house.visitor()
    job_id = queued(house, visitor)
    assert mailer(house).send_one()
    assert state(house)[0] == "bounced"
    assert "no such user" in visitor.get(f"/jobs/{job_id}/mail").text
    assert not mailer(house).send_one()


def test_a_busy_server_is_asked_again_later(house: House, inbox: Inbox) -> None:
    inbox.answer = "451 4.3.0 try later"
    queued(house, house.visitor())
    assert mailer(house).send_one()
    assert state(house) == ("waiting", "451 4.3.0 try later")
    assert not mailer(house).send_one()  # not before its time
    inbox.answer = "250 OK"
    with house.desk.database.writing() as session:
        session.query(MailRow).one().next_try = now() - dt.timedelta(seconds=1)
    assert mailer(house).send_one()
    assert state(house)[0] == "sent"


def test_a_server_that_is_down_loses_nothing(house: House) -> None:
    settings(house, free_port())
    queued(house, house.visitor())
    assert mailer(house).send_one()
    said = state(house)
    assert said[0] == "waiting"
    assert "out of reach" in said[1]


def test_without_a_server_the_mail_is_a_file(house: House) -> None:
    with house.desk.database.writing() as session:
        held = StudioFile(session)
        held.put('format = "airwright-studio/1"\n', held.get()[1])
    job_id, visitor = house.job(), house.visitor()
    send(house, job_id)
    visitor.get(f"/jobs/{job_id}/mail")
    answer = visitor.post(f"/jobs/{job_id}/mail", {**LETTER, "do": "eml"})
    assert answer.headers["content-type"].startswith("message/rfc822")
    message = email.message_from_bytes(answer.content, policy=policy.default)
    assert message["Subject"] == "Your decor"
    assert [part.get_filename() for part in message.iter_attachments()] == ["offer.pdf"]
    refused = visitor.post(f"/jobs/{job_id}/mail", LETTER)
    assert refused.status_code == 422
    assert "No mail server is set" in refused.text


def test_the_day_is_an_invitation(house: House, inbox: Inbox) -> None:
    """RFC 5546: REQUEST, organizer, attendee; sent again: the same UID, a higher SEQUENCE."""
    job_id, visitor = house.job(), house.visitor()
    visitor.get(f"/jobs/{job_id}/mail?letter=day")
    found = []
    for _ in range(2):
        data = {**LETTER, "letter": "day", "body": "The day"}
        assert visitor.post(f"/jobs/{job_id}/mail", data).status_code == 303
        assert mailer(house).send_one()
        message = email.message_from_bytes(inbox.envelopes[-1].content, policy=policy.default)
        part = next(p for p in message.walk() if p.get_content_type() == "text/calendar")
        assert part.get_param("method") == "REQUEST"
        calendar = icalendar.Calendar.from_ical(part.get_content())
        assert calendar["method"] == "REQUEST"
        (event,) = calendar.walk("VEVENT")
        found.append((str(event["uid"]), int(event["sequence"])))
        assert str(event["organizer"]) == "mailto:ada@studio.example"
        assert event["attendee"].params["rsvp"] == "TRUE"
        assert str(event["dtstart"].dt) == "2027-05-22 10:00:00"
    assert found[0][0] == found[1][0]
    assert [sequence for _, sequence in found] == [0, 1]


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


def test_a_report_marks_the_mail_it_is_about(house: House, inbox: Inbox) -> None:
    visitor = house.visitor()
    queued(house, visitor)
    mailer(house).send_one()
    with house.desk.database.reading() as session:
        message_id = session.query(MailRow).one().message_id
    report = REPORT % message_id.encode()
    assert bounce_of(report) == ((message_id,), "smtp; 550 5.1.1 unknown user")
    visitor.get("/mail")
    sent = visitor.post("/mail", files={"report": ("r.eml", report, "message/rfc822")})
    assert sent.status_code == 303
    assert state(house) == ("bounced", "smtp; 550 5.1.1 unknown user")
    other = visitor.post("/mail", files={"report": ("r.eml", b"Subject: x\n\ny", "text/plain")})
    assert other.status_code == 422


@pytest.mark.parametrize(
    "address", ["", "mara", "a@b", "a b@c.de", "a@b.de\nBcc: x@y.de", "<x@y.z>"]
)
def test_no_address_slips_a_header_in(address: str) -> None:
    with pytest.raises(EditError):
        build(Letter("ada@studio.example", "Ada", address, "x", "y"), now())


def test_a_subject_stays_one_line() -> None:
    letter = Letter("ada@studio.example", "Ada\nX: y", "m@example.org", "a\r\nBcc: x@y.de", "z")
    message = email.message_from_bytes(build(letter, now()).data, policy=policy.default)
    assert message["Bcc"] is None
    assert message["X"] is None
    assert message["Subject"] == "a Bcc: x@y.de"


def test_words_come_from_the_studio_and_waiting_mail_can_be_stopped(
    house: House, inbox: Inbox
) -> None:
    visitor = house.visitor()
    job_id = queued(house, visitor)
    page = visitor.page(f"/jobs/{job_id}/mail?letter=offer")
    text = page.select_one("textarea[name=body]").text  # type: ignore[union-attr]
    assert "Dear Saltmarsh Ferries" in text
    assert "{link}" in text
    form = page.select_one('form[action$="/stop"]')
    assert form is not None
    visitor.post(str(form["action"]))
    assert not mailer(house).send_one()
    with house.desk.database.writing() as session:
        Mails(session).again(session.query(MailRow).one().id)
    assert mailer(house).send_one()


def accepted(house: House, mail: str = "mara@example.org") -> str:
    """A job whose client accepts on the page."""
    job_id = house.job()
    address, client = send(house, job_id), house.visitor()
    client.get(address)
    assert client.post(address, {**YES, "mail": mail}).status_code == 303
    return job_id


def mails_of(house: House, job_id: str) -> list[MailRow]:
    with house.desk.database.reading() as session:
        rows = Mails(session).of_job(job_id)
        assert all(row.message for row in rows)
        return rows


def test_the_agreement_goes_to_both_sides_by_itself(house: House, inbox: Inbox) -> None:
    job_id = accepted(house)
    assert mailer(house).send_one()
    (envelope,) = inbox.envelopes
    assert envelope.rcpt_tos == ["mara@example.org", "ada@studio.example"]
    message = email.message_from_bytes(envelope.content, policy=policy.default)
    (pdf,) = message.iter_attachments()
    assert pdf.get_filename() == "accepted.pdf"
    visitor = house.visitor()
    row = next(iter(mails_of(house, job_id)))
    edition_pdf = next(
        str(link["href"])
        for link in visitor.page(f"/jobs/{job_id}/offer").select("a")
        if "accepted.pdf" in str(link.get("href"))
    )
    assert pdf.get_payload(decode=True) == visitor.get(edition_pdf).content
    assert "was sent" in visitor.get(f"/jobs/{job_id}/offer").text
    assert "Mara" not in visitor.page(f"/mail/{row.id}").select_one("h1").text  # type: ignore[union-attr]
    assert outbox.tend(house.desk) == 0  # looked for again: one yes makes one letter
    assert len(mails_of(house, job_id)) == 1


def test_a_yes_whose_letter_was_cut_off_gets_it_later(
    house: House, inbox: Inbox, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(outbox, "send_agreement", lambda *_: 1 / 0)
    job_id = accepted(house)
    assert mails_of(house, job_id) == []
    monkeypatch.undo()
    assert outbox.tend(house.desk) == 1
    assert [row.kind for row in mails_of(house, job_id)] == ["accepted"]


def test_without_a_server_the_agreement_waits_as_a_file(house: House) -> None:
    with house.desk.database.writing() as session:
        held = StudioFile(session)
        held.put('format = "airwright-studio/1"\n', held.get()[1])
    job_id, visitor = accepted(house), house.visitor()
    (row,) = mails_of(house, job_id)
    assert row.state == "draft"
    assert "is written and waits for you" in visitor.get(f"/jobs/{job_id}/offer").text
    assert row.id in visitor.get("/mail").text
    file = visitor.get(f"/mail/{row.id}/file")
    message = email.message_from_bytes(file.content, policy=policy.default)
    assert message["To"] == "mara@example.org"
    assert [part.get_filename() for part in message.iter_attachments()] == ["accepted.pdf"]
    refused = visitor.post(f"/mail/{row.id}/send")
    assert refused.status_code == 422
    assert visitor.post(f"/mail/{row.id}/sent").status_code == 303
    assert mails_of(house, job_id)[0].state == "sent"


def late_invoice(house: House, job_id: str) -> str:
    """A deposit invoice, as if it had been due on 20 February 2027, nine days ago."""
    visitor = house.visitor()
    visitor.get(f"/jobs/{job_id}/money")
    sent = {"kind": "deposit", "key": f"invoice-{job_id}"}
    assert visitor.post(f"/jobs/{job_id}/invoices", sent).status_code == 303
    with house.desk.database.writing() as session:
        (row,) = Invoices(session).of_job(job_id)
        row.due = dt.date(2027, 2, 20)
        return row.name


def test_reminders_are_written_as_drafts_and_go_nowhere_by_themselves(
    house: House, inbox: Inbox
) -> None:
    job_id, visitor = accepted(house), house.visitor()
    assert mailer(house).send_one()
    inbox.envelopes.clear()
    number = late_invoice(house, job_id)
    assert outbox.tend(house.desk) == 1
    assert outbox.tend(house.desk) == 0
    draft = mails_of(house, job_id)[0]
    assert (draft.kind, draft.state) == ("reminder", "draft")
    assert not mailer(house).send_one()
    assert inbox.envelopes == []
    page = visitor.page(f"/mail/{draft.id}").get_text(" ")
    assert number in page
    assert "9 days" in page
    assert "1 to look at" in visitor.get("/money").text
    assert visitor.post(f"/mail/{draft.id}/send").status_code == 303
    assert mailer(house).send_one()
    assert inbox.envelopes[-1].rcpt_tos == ["mara@example.org"]


def test_a_paid_invoice_takes_its_reminder_back(house: House, inbox: Inbox) -> None:
    job_id, visitor = accepted(house), house.visitor()
    number = late_invoice(house, job_id)
    outbox.tend(house.desk)
    with house.desk.database.reading() as session:
        owed = Invoices(session).get(number).owed
    visitor.get(f"/jobs/{job_id}/money")
    part = {"amount": f"{owed - 10:f}", "invoice": number, "key": f"part-{job_id}"}
    assert visitor.post(f"/jobs/{job_id}/payments", part).status_code == 303
    body = visitor.page(f"/jobs/{job_id}/mail?letter=reminder&number={number}")
    assert "$10.00" in body.select_one("textarea").text  # type: ignore[union-attr]
    rest = {"amount": "10", "invoice": number, "key": f"rest-{job_id}"}
    assert visitor.post(f"/jobs/{job_id}/payments", rest).status_code == 303
    outbox.tend(house.desk)
    (reminder,) = [row for row in mails_of(house, job_id) if row.kind == "reminder"]
    assert (reminder.state, reminder.said) == ("failed", "The invoice was paid meanwhile.")


class Door:
    """Takes one login."""

    def __call__(self, _server: Any, _session: Any, _envelope: Any, _how: str, data: Any) -> Any:
        right = (data.login, data.password) == (b"ada@studio.example", b"secret word")
        return AuthResult(success=right, handled=False)


@pytest.fixture(scope="module")
def authority() -> trustme.CA:
    return trustme.CA()


@pytest.mark.parametrize(("password", "expected"), [("secret word", "sent"), ("x", "waiting")])
@pytest.mark.parametrize("security", ["STARTTLS", "TLS"])
def test_a_safe_line_and_a_login(
    house: House, inbox: Inbox, authority: trustme.CA, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch, security: str, password: str, expected: str,
) -> None:  # fmt: skip
    """RFC 3207 and RFC 4954, spoken by aiosmtpd."""
    authority.cert_pem.write_to_path(tmp_path / "authority.pem")
    monkeypatch.setenv("SSL_CERT_FILE", str(tmp_path / "authority.pem"))
    tls = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    authority.issue_cert("127.0.0.1").configure_cert(tls)
    port = free_port()
    wrapped = {"ssl_context": tls} if security == "TLS" else {"tls_context": tls}
    controller = Controller(
        inbox, hostname="127.0.0.1", port=port, authenticator=Door(), auth_required=True,
        require_starttls=security == "STARTTLS", auth_require_tls=security == "STARTTLS", **wrapped,
    )  # fmt: skip
    controller.start()
    try:
        settings(house, port, security, 'user = "ada@studio.example"\n')
        visitor = house.visitor()
        visitor.get("/mail")
        visitor.post("/mail", {"password": password})
        queued(house, visitor)
        assert mailer(house).send_one()
        assert state(house)[0] == expected
        assert len(inbox.envelopes) == (expected == "sent")
        if expected == "waiting":
            assert "refuses the login" in state(house)[1]
    finally:
        controller.stop()


def test_a_certificate_that_nobody_vouches_for_is_refused(house: House, inbox: Inbox) -> None:
    tls = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    trustme.CA().issue_cert("127.0.0.1").configure_cert(tls)
    port = free_port()
    controller = Controller(inbox, hostname="127.0.0.1", port=port, tls_context=tls)
    controller.start()
    try:
        settings(house, port, "STARTTLS")
        queued(house, house.visitor())
        assert mailer(house).send_one()
        assert state(house)[0] == "waiting"
        assert "certificate" in state(house)[1]
        assert inbox.envelopes == []
    finally:
        controller.stop()


class Mailbox(socketserver.StreamRequestHandler):
    """Just enough of IMAP4rev1 (RFC 3501): LOGIN, SELECT, UID SEARCH, UID FETCH, LOGOUT."""

    messages: ClassVar[dict[int, bytes]] = {}
    asked: ClassVar[list[str]] = []

    def handle(self) -> None:
        self.wfile.write(b"* OK ready\r\n")
        for line in self.rfile:
            tag, _, words = line.decode().strip().partition(" ")
            self.asked.append(words)
            for answer in self.answers(words):
                self.wfile.write(answer)
            done = "NO wrong" if words == 'LOGIN ada@studio.example "x"' else "OK done"
            self.wfile.write(f"{tag} {done}\r\n".encode())
            if words == "LOGOUT":
                return

    def answers(self, words: str) -> list[bytes]:
        if words == "CAPABILITY":
            return [b"* CAPABILITY IMAP4rev1\r\n"]
        if words == "EXAMINE INBOX":
            return [f"* {len(self.messages)} EXISTS\r\n* OK [UIDVALIDITY 7] x\r\n".encode()]
        if words.startswith("UID SEARCH"):
            first = int(re.search(r"UID (\d+):\*", words)[1])  # type: ignore[index]
            found = [n for n in self.messages if n >= first] or [max(self.messages, default=0)]
            return [f"* SEARCH {' '.join(map(str, found))}\r\n".encode()]
        if words.startswith("UID FETCH"):
            uid = int(words.split()[2])
            data = self.messages[uid]
            head = f"* 1 FETCH (UID {uid} BODY[]<0> {{{len(data)}}}\r\n".encode()
            return [head, data, b")\r\n"]
        return []


@pytest.fixture
def mailbox_port() -> Iterator[int]:
    Mailbox.messages.clear()
    Mailbox.asked.clear()
    with socketserver.ThreadingTCPServer(("127.0.0.1", 0), Mailbox) as server:
        server.daemon_threads = True
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield server.server_address[1]
        server.shutdown()


def test_the_mailbox_is_looked_into_and_left_as_it_is(
    house: House, inbox: Inbox, mailbox_port: int
) -> None:
    queued(house, house.visitor())
    mailer(house).send_one()
    with house.desk.database.reading() as session:
        message_id = session.query(MailRow).one().message_id
    Mailbox.messages.update({3: b"Subject: hello\r\n\r\nx", 9: REPORT % message_id.encode()})
    server = MailServer(mailbox="127.0.0.1", mailbox_port=mailbox_port, mailbox_security="none",
                        user="ada@studio.example")  # fmt: skip
    assert mailbox.look(house.desk.database, server, "secret word") == 1
    assert state(house) == ("bounced", "smtp; 550 5.1.1 unknown user")
    assert not [words for words in Mailbox.asked if "STORE" in words or "BODY[" in words]
    Mailbox.asked.clear()
    assert mailbox.look(house.desk.database, server, "secret word") == 0
    assert not [words for words in Mailbox.asked if "FETCH" in words]  # each report once
    with pytest.raises(mailbox.Unreachable, match="wrong"):
        mailbox.look(house.desk.database, server, "x")


def test_a_mailbox_that_is_away_is_said(house: House) -> None:
    server = MailServer(mailbox="127.0.0.1", mailbox_port=free_port(), mailbox_security="none")
    with pytest.raises(mailbox.Unreachable, match="out of reach"):
        mailbox.look(house.desk.database, server, "x")
