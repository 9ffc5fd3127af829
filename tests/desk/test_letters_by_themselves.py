"""Agreements that go out by themselves, and reminders that wait for a word."""

from __future__ import annotations

import datetime as dt
import email
from email import policy

import pytest

from airwright.desk.mailing import outbox
from airwright.store.invoices import Invoices
from airwright.store.mails import Mails
from airwright.store.offer_tables import MailRow
from airwright.store.studio import StudioFile
from tests.desk.conftest import House
from tests.desk.mail_server import Inbox, mailer
from tests.desk.test_offers import YES, send


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
