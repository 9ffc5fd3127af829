"""Letters: which words, which attachments, to whom."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from airwright.desk.agreements import agreement
from airwright.desk.editing.builder import Evaluation
from airwright.desk.editing.edits import EditError
from airwright.desk.job_money import money_of
from airwright.desk.mailing.invitation import invitation
from airwright.job.business import filled
from airwright.language import message, speaking
from airwright.language.figures import said_date, said_money
from airwright.papers.calendar.model import appointments_of
from airwright.papers.invoice import Invoice, file_name, read, render_pdf
from airwright.store.editions import Editions, FrozenFile
from airwright.store.invoices import Invoices
from airwright.store.offer_tables import MailRow
from airwright.store.tables import JobRow

LETTERS = {
    "offer": message("Offer"),
    "accepted": message("What was agreed"),
    "invoice": message("Invoice"),
    "reminder": message("Reminder"),
    "day": message("The day, for the calendar"),
}


@dataclass(frozen=True, slots=True)
class Draft:
    """A letter before anybody has looked at it; "{link}" in its body is filled when it is sent."""

    kind: str
    recipient: str
    subject: str
    body: str
    attachments: tuple[FrozenFile, ...]
    invitation: bytes = b""


def draft(
    session: Session,
    row: JobRow,
    evaluation: Evaluation,
    kind: str,
    number: str,
    today: dt.date,
    at: dt.datetime,
) -> Draft:
    """A letter of a kind, in the studio's words. Raises EditError when it has nothing to say."""
    if kind not in LETTERS:
        raise EditError(message("There is no such letter."), message("Pick one of the list."))
    studio, job = evaluation.studio, evaluation.job
    if job is None:
        raise EditError(
            message("This job's file cannot be read."), message("Fix it under File first.")
        )
    recipient = _recipient(session, row, evaluation)
    values = {
        "client": row.client or "client",
        "title": row.title,
        "venue": row.venue,
        "studio": studio.studio.name,
        "link": "{link}",
    }
    with speaking(studio.studio.language):
        values["date"] = said_date(row.date) if row.date else ""
        more, files = _matter(session, row, kind, number, today)
    values |= more
    day = b""
    if kind == "day":
        if evaluation.plan is None:
            raise EditError(
                message("This job has errors, so its day is not known."), message("Fix them first.")
            )
        with speaking(studio.studio.language):
            entries = appointments_of(evaluation.plan, today)
        day = invitation(
            entries,
            job,
            row.id,
            organizer=studio.mail.sender or studio.business.mail or "studio@example.invalid",
            organizer_name=studio.studio.name,
            guest=recipient or "client@example.invalid",
            sequence=_sent_before(session, row.id),
            at=at,
        )
    letters = studio.letters
    return Draft(
        kind,
        recipient,
        filled(getattr(letters, f"{kind}_subject"), values),
        filled(getattr(letters, kind), values),
        files,
        day,
    )


def _sent_before(session: Session, job_id: str) -> int:
    query = select(func.count()).select_from(MailRow)
    return session.scalar(query.where(MailRow.job_id == job_id, MailRow.kind == "day")) or 0


def _recipient(session: Session, row: JobRow, evaluation: Evaluation) -> str:
    job = evaluation.job
    if job is not None and job.billing.mail:
        return job.billing.mail
    accepted = Editions(session).accepted_of(row.id)
    if accepted is not None and accepted[1].mail:
        return accepted[1].mail
    contact = job.job.contact if job is not None else ""
    return next((word.strip("<>,;") for word in contact.split() if "@" in word), "")


def _matter(
    session: Session, row: JobRow, kind: str, number: str, today: dt.date
) -> tuple[dict[str, str], tuple[FrozenFile, ...]]:
    """What a letter is about: values for its words, and files."""
    editions = Editions(session)
    if kind == "offer":
        latest = editions.latest(row.id)
        if latest is None:
            raise EditError(
                message("No edition was sent yet."), message("Send one on the offer page first.")
            )
        found = editions.file(latest.id, "offer.pdf")
        file = FrozenFile(found.name, found.media, found.content)
        return {"valid": said_date(latest.valid_until, "long")}, (file,)
    if kind == "accepted":
        accepted = editions.accepted_of(row.id)
        if accepted is None:
            raise EditError(
                message("Nothing was accepted yet."), message("Note the client's yes first.")
            )
        return {"option": accepted[1].option}, (agreement(session, accepted[0]),)
    if kind in ("invoice", "reminder"):
        invoice_row = Invoices(session).get(number)
        if invoice_row.job_id != row.id:
            raise EditError(
                message("This invoice is of another job."), message("Pick one of this job.")
            )
        invoice = read(invoice_row.content)
        kept = Invoices(session).file(
            invoice_row,
            file_name(invoice, "pdf"),
            lambda content: FrozenFile(
                file_name(invoice, "pdf"), "application/pdf", render_pdf(read(content)).data
            ),
        )
        values = {
            "number": number,
            "amount": said_money(_asked(session, row, invoice, kind), invoice.currency),
            "due": said_date(invoice_row.due, "long"),
            "days": str(max(0, (today - invoice_row.due).days)),
        }
        return values, (FrozenFile(kept.name, kept.media, kept.content),)
    return {}, ()


def _asked(session: Session, row: JobRow, invoice: Invoice, kind: str) -> Decimal:
    """What a letter asks for: an invoice its whole sum, a reminder what is still open of it."""
    if kind == "invoice":
        return invoice.sums.due
    left = money_of(session, row).open_of(invoice.number)
    if not left:
        raise EditError(
            message("{number} is paid.", number=invoice.number),
            message("There is nothing to remind of."),
        )
    return left
