"""Letters that are made by themselves: what was agreed, to both sides, and reminders.

One cause makes one letter, whoever looks and however often: its key is kept with it.
"""

from __future__ import annotations

import datetime as dt
import logging
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.desk.editing.builder import Evaluation
from airwright.desk.editing.edits import EditError
from airwright.desk.job_money import money_of
from airwright.desk.mailing.letters import Draft, draft
from airwright.desk.mailing.message import Letter, build
from airwright.desk.mailing.server import can_send
from airwright.desk.state import Desk
from airwright.job.business import MailServer
from airwright.job.studio import Studio
from airwright.language import message
from airwright.money.reminders import ReminderRule, next_reminder
from airwright.store import StoreError
from airwright.store.editions import Editions
from airwright.store.invoices import Invoices
from airwright.store.jobs import Jobs
from airwright.store.mails import Mails, NewMail
from airwright.store.offer_tables import Acceptance, EditionRow, InvoiceRow, MailRow
from airwright.store.studio import StudioFile
from airwright.store.tables import JobRow
from airwright.store.types import new_id, now

log = logging.getLogger("airwright.desk.mailing")

ACTOR: Final = "Airwright"
LOOK_BACK: Final = dt.timedelta(days=7)
"""A yes older than this whose letter is missing is left to people."""


def rule_of(server: MailServer) -> ReminderRule:
    """How the studio reminds."""
    return ReminderRule(server.remind_after, server.remind_every, server.remind_most)


def agreement_key(edition_id: str) -> str:
    """Of the letter that a yes makes."""
    return f"accepted:{edition_id}"


def reminder_key(number: str) -> str:
    """Of one reminder of an invoice; each has a key of its own, all begin alike."""
    return f"{_reminders_of(number)}{new_id()}"


def _reminders_of(number: str) -> str:
    return f"reminder:{number}:"


def reminded(session: Session, number: str) -> list[dt.date]:
    """Days on which an invoice was reminded of, drafts and letters by hand among them."""
    query = select(MailRow.made).where(
        MailRow.key.startswith(_reminders_of(number), autoescape=True)
    )
    return [made.date() for made in session.scalars(query)]


def tend(desk: Desk) -> int:
    """Make every letter whose time has come; how many there were."""
    with desk.database.reading() as session:
        missing = list(_agreements_missing(session))
    made = sum(send_agreement(desk, edition_id) for edition_id in missing)
    return made + remind(desk)


def after_yes(desk: Desk, edition_id: str) -> None:
    """A client said yes: the agreement goes out. The yes stands whatever comes of the letter."""
    try:
        send_agreement(desk, edition_id)
    except Exception:
        log.exception("the letter with an agreement failed")
    if desk.mailer is not None:
        desk.mailer.wake()


def _agreements_missing(session: Session) -> Iterator[str]:
    query = (
        select(EditionRow.id, EditionRow.job_id)
        .join(Acceptance, Acceptance.edition_id == EditionRow.id)
        .where(Acceptance.at > now() - LOOK_BACK)
    )
    for edition_id, job_id in session.execute(query).all():
        sent = [row.kind for row in Mails(session).of_job(job_id)]
        if "accepted" not in sent:
            yield edition_id


def send_agreement(desk: Desk, edition_id: str) -> bool:
    """The agreement's letter to client and studio: into the queue, or a draft without a server.

    Whatever keeps it from being made is logged; the yes stands without it.
    """
    try:
        with desk.database.writing() as session:
            row = Editions(session).get(edition_id)
            yes = Editions(session).acceptance(edition_id)
            job, evaluation = _job(desk, session, row.job_id)
            made = draft(session, job, evaluation, "accepted", "", desk.settings.today(), now())
            server = evaluation.studio.mail
            own = server.sender or evaluation.studio.business.mail
            recipient = (yes.mail if yes is not None else "") or made.recipient or own
            waits = server.agreement == "as a draft" or not can_send(server)
            new = _letter(replace(made, recipient=recipient), evaluation.studio, row.job_id,
                          agreement_key(edition_id), draft=waits)  # fmt: skip
            return Mails(session).put_once(new, ACTOR)
    except (EditError, StoreError) as problem:
        log.warning("no letter with the agreement: %s", problem.what)
        return False


def remind(desk: Desk) -> int:
    """Write the reminders that are due, and take back drafts of invoices that are paid."""
    today = desk.settings.today()
    with desk.database.reading() as session:
        studio = desk.builder.studio(StudioFile(session).get()[0])
        due = [row.name for row in _to_remind(session, studio, today)]
        paid = list(_overtaken(session))
    with desk.database.writing() as session:
        for mail_id in paid:
            Mails(session).overtaken(mail_id, message("The invoice was paid meanwhile."))
    return sum(_remind_of(desk, number, today) for number in due)


def _to_remind(session: Session, studio: Studio, today: dt.date) -> Iterator[InvoiceRow]:
    if studio.mail.reminders == "no":
        return
    rule, invoices = rule_of(studio.mail), Invoices(session)
    for row in invoices.all():
        if row.job_id is None or row.corrects is not None or row.due >= today:
            continue
        day = next_reminder(row.due, reminded(session, row.name), rule)
        if day is None or day > today:
            continue
        if money_of(session, Jobs(session).get(row.job_id)).open_of(row.name):
            yield row


def _remind_of(desk: Desk, number: str, today: dt.date) -> bool:
    try:
        with desk.database.writing() as session:
            row = Invoices(session).get(number)
            assert row.job_id is not None
            job, evaluation = _job(desk, session, row.job_id)
            day = next_reminder(row.due, reminded(session, number), rule_of(evaluation.studio.mail))
            if day is None or day > today:
                return False  # another desk at the same database was faster
            made = draft(session, job, evaluation, "reminder", number, today, now())
            server = evaluation.studio.mail
            waits = server.reminders == "as drafts" or not can_send(server)
            key = reminder_key(number)
            new = _letter(made, evaluation.studio, job.id, key, draft=waits)
            return Mails(session).put_once(new, ACTOR)
    except (EditError, StoreError) as problem:
        log.warning("no reminder of %s: %s", number, problem.what)
        return False


def _overtaken(session: Session) -> Iterator[str]:
    """Drafts of reminders whose invoice is no longer open."""
    for mail in Mails(session).drafts():
        if mail.kind != "reminder" or not mail.key or mail.job_id is None:
            continue
        number = mail.key.removeprefix("reminder:").rpartition(":")[0]
        if not money_of(session, Jobs(session).get(mail.job_id)).open_of(number):
            yield mail.id


def _job(desk: Desk, session: Session, job_id: str) -> tuple[JobRow, Evaluation]:
    row = Jobs(session).get(job_id)
    return row, desk.builder.evaluate(row.text, StudioFile(session).get()[0])


def _letter(made: Draft, studio: Studio, job_id: str, key: str, *, draft: bool) -> NewMail:
    letter = letter_of(made, studio)
    built = build(letter, now())
    return NewMail(made.kind, letter.recipient, letter.subject, built.message_id, built.data,
                   job_id, key, draft)  # fmt: skip


def letter_of(made: Draft, studio: Studio) -> Letter:
    """A draft as a letter from the studio; the agreement always goes to both sides."""
    server = studio.mail
    sender = server.sender or studio.business.mail or "studio@example.invalid"
    copies = server.copy_to_us == "yes" or made.kind == "accepted"
    return Letter(
        sender=sender,
        sender_name=studio.studio.name,
        recipient=made.recipient,
        subject=made.subject,
        body=made.body,
        attachments=made.attachments,
        invitation=made.invitation,
        copy_to=sender if copies and sender != "studio@example.invalid" else "",
    )
