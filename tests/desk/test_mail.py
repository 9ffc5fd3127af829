"""Mail against a real server started in the test; letters in the studio's words."""

from __future__ import annotations

import datetime as dt
import email
import re
from email import policy

import icalendar
import pytest

from airwright.desk.editing.edits import EditError
from airwright.desk.mailing.bounces import bounce_of
from airwright.desk.mailing.message import Letter, build
from airwright.store.mails import Mails
from airwright.store.offer_tables import MailRow
from airwright.store.studio import StudioFile
from airwright.store.types import now
from tests.desk.conftest import House
from tests.desk.mail_server import LETTER, REPORT, Inbox, mailer, queued, settings, state
from tests.desk.test_offers import send
from tests.services import free_port


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
