"""Lines to mail servers: made safe, with a login, and into a mailbox for what came back."""

from __future__ import annotations

import re
import socketserver
import ssl
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any, ClassVar

import pytest
import trustme
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult

from airwright.desk.mailing import mailbox
from airwright.job.business import MailServer
from airwright.store.offer_tables import MailRow
from tests.desk.conftest import House
from tests.desk.mail_server import REPORT, Inbox, mailer, queued, settings, state
from tests.services import free_port


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
