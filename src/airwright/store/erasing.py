"""A client's data: all of it gathered for the client, or erased on the client's word.

What tax law makes a studio keep (invoices, payments, what was agreed) stays until its year has run
out, and nothing else of those jobs does. Erasing again after that day takes it, too.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

import tomlkit
from sqlalchemy import delete, func, select, update
from sqlalchemy.orm import Session, undefer
from tomlkit.exceptions import TOMLKitError

from airwright.store.book_tables import Contact, Thumbnail
from airwright.store.compact import packed
from airwright.store.contacts import Contacts
from airwright.store.door_tables import LogEntry
from airwright.store.folding import words_of
from airwright.store.offer_tables import (
    Acceptance,
    EditionFile,
    EditionRow,
    InvoiceFile,
    InvoiceRow,
    MailRow,
    OfferRemark,
    PaymentRow,
)
from airwright.store.tables import ClientLink, JobRow, JobVersion, StoredFile, TaskRow
from airwright.store.types import now

ERASED: Final = "–"
"""Stands where a name stood."""

OF_A_CLIENT: Final = ("client", "contact")
"""Keys of a job's head that say who the client is."""


@dataclass(frozen=True, slots=True)
class MustStay:
    """A job of which something must be kept.

    Attributes:
        job_id, title: which.
        until: the last day it must be kept.
        papers: the invoices' names, and how many payments and agreements.
    """

    job_id: str
    title: str
    until: dt.date
    invoices: tuple[str, ...]
    payments: int
    agreed: bool


@dataclass(frozen=True, slots=True)
class Held:
    """What is held of a client: jobs that can go whole, and those of which something stays."""

    name: str
    going: tuple[tuple[str, str], ...]
    staying: tuple[MustStay, ...]


def held(session: Session, contact_id: str, tax_years: int, today: dt.date) -> Held:
    """What is held of a contact, and what of it must stay. Raises Missing."""
    contact = Contacts(session).get(contact_id)
    going, staying = [], []
    for job in _jobs(session, contact):
        must = _must_stay(session, job, tax_years)
        if must is not None and must.until >= today:
            staying.append(must)
        else:
            going.append((job.id, job.title))
    return Held(contact.name, tuple(going), tuple(staying))


def erase(session: Session, contact_id: str, tax_years: int, today: dt.date) -> Held:
    """Take a client's data out; what was done. Raises Missing."""
    found = held(session, contact_id, tax_years, today)
    contact = Contacts(session).get(contact_id)
    names = [name for name in (contact.name, contact.organisation) if name]
    for job_id, _ in found.going:
        _remove(session, job_id)
    for must in found.staying:
        _strip(session, must.job_id, names)
    session.delete(contact)
    session.flush()
    return found


def gathered(session: Session, contact_id: str) -> Iterator[tuple[str, bytes]]:
    """Everything that is held of a client as files: name and content. Raises Missing."""
    contact = Contacts(session).get(contact_id)
    for job in _jobs(session, contact):
        folder = f"{_plain(job.title)}-{job.id}"
        yield f"{folder}/job.toml", job.text.encode()
        for edition, file in session.execute(
            select(EditionRow, EditionFile)
            .join(EditionFile, EditionFile.edition_id == EditionRow.id)
            .where(EditionRow.job_id == job.id)
            .options(undefer(EditionFile.content))
        ):
            yield f"{folder}/offer-{edition.number}/{_plain(file.name)}", file.content
        for invoice, paper in session.execute(
            select(InvoiceRow, InvoiceFile)
            .join(InvoiceFile, InvoiceFile.invoice_id == InvoiceRow.id)
            .where(InvoiceRow.job_id == job.id)
            .options(undefer(InvoiceFile.content))
        ):
            yield f"{folder}/invoices/{_plain(invoice.name)}-{_plain(paper.name)}", paper.content
        mails = select(MailRow).where(MailRow.job_id == job.id).options(undefer(MailRow.message))
        for mail in session.scalars(mails):
            yield f"{folder}/mail/{mail.id}.eml", mail.message
        yield from _tables_of(session, job, folder)


def _tables_of(session: Session, job: JobRow, folder: str) -> Iterator[tuple[str, bytes]]:
    payments = session.scalars(select(PaymentRow).where(PaymentRow.job_id == job.id)).all()
    if payments:
        head = ("date", "amount", "currency", "means", "reference", "invoice")
        rows = [[getattr(row, column) for column in head] for row in payments]
        yield f"{folder}/payments.csv", _csv(head, rows)
    remarks = session.scalars(
        select(OfferRemark)
        .join(EditionRow, EditionRow.id == OfferRemark.edition_id)
        .where(EditionRow.job_id == job.id)
    ).all()
    agreed = session.scalars(
        select(Acceptance)
        .join(EditionRow, EditionRow.id == Acceptance.edition_id)
        .where(EditionRow.job_id == job.id)
    ).all()
    said = [[row.at.isoformat(), row.name, row.text] for row in remarks]
    said += [[row.at.isoformat(), row.name, f"{row.option}: {row.note}"] for row in agreed]
    if said:
        yield f"{folder}/said.csv", _csv(("at", "name", "text"), said)


def _csv(head: tuple[str, ...], rows: list[list[Any]]) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(head)
    writer.writerows(rows)
    return out.getvalue().encode()


def _plain(name: str) -> str:
    """A name for a file that leads nowhere else."""
    return re.sub(r"[^\w.-]+", "-", name).strip(".-")[:80] or "file"


def _jobs(session: Session, contact: Contact) -> list[JobRow]:
    names = [name.lower() for name in (contact.name, contact.organisation) if name]
    query = select(JobRow).where(func.lower(JobRow.client).in_(names))
    return list(session.scalars(query.order_by(JobRow.date, JobRow.id)))


def _must_stay(session: Session, job: JobRow, years: int) -> MustStay | None:
    invoices = session.execute(
        select(InvoiceRow.name, InvoiceRow.issued).where(InvoiceRow.job_id == job.id)
    ).all()
    payments = session.scalars(select(PaymentRow.date).where(PaymentRow.job_id == job.id)).all()
    agreed = session.scalars(
        select(Acceptance.at)
        .join(EditionRow, EditionRow.id == Acceptance.edition_id)
        .where(EditionRow.job_id == job.id)
    ).all()
    days = [issued for _, issued in invoices] + list(payments) + [at.date() for at in agreed]
    if not days:
        return None
    until = dt.date(max(days).year + years, 12, 31)
    names = tuple(str(name) for name, _ in invoices)
    return MustStay(job.id, job.title, until, names, len(payments), bool(agreed))


def _remove(session: Session, job_id: str) -> None:
    bills = select(InvoiceRow.id).where(InvoiceRow.job_id == job_id)
    session.execute(delete(InvoiceFile).where(InvoiceFile.invoice_id.in_(bills)))
    session.execute(delete(PaymentRow).where(PaymentRow.job_id == job_id))
    session.execute(delete(InvoiceRow).where(InvoiceRow.job_id == job_id))
    _forget_traces(session, job_id)
    session.delete(session.get_one(JobRow, job_id))
    session.flush()


def _strip(session: Session, job_id: str, names: list[str]) -> None:
    """Leave of a job what must stay, and decor without a client."""
    job = session.get_one(JobRow, job_id)
    editions = select(EditionRow.id).where(EditionRow.job_id == job_id)
    session.execute(delete(OfferRemark).where(OfferRemark.edition_id.in_(editions)))
    session.execute(
        update(Acceptance).where(Acceptance.edition_id.in_(editions)).values(mail="", note="")
    )
    for table in (MailRow, ClientLink, TaskRow, StoredFile):
        session.execute(delete(table).where(table.job_id == job_id))
    _forget_traces(session, job_id)
    text = without_client(job.text, names)
    number = job.last_version + 1
    session.execute(delete(JobVersion).where(JobVersion.job_id == job_id))
    session.add(
        JobVersion(
            job_id=job_id, number=number, parent=None, base=None, packed=packed(text),
            label="Client erased", actor="Airwright", at=now(), undoes=None,
        )
    )  # fmt: skip
    job.text, job.version, job.last_version, job.changed = text, number, number, now()
    job.title, job.client = _without(job.title, names), ""
    job.folded = words_of(job.title, job.venue, text)


def _forget_traces(session: Session, job_id: str) -> None:
    session.execute(delete(Thumbnail).where(Thumbnail.owner == f"job:{job_id}"))
    session.execute(update(LogEntry).where(LogEntry.job_id == job_id).values(subject=""))
    session.execute(
        update(LogEntry)
        .where(LogEntry.job_id == job_id, LogEntry.actor.like("% (client)"))
        .values(actor=f"{ERASED} (client)")
    )


def without_client(text: str, names: list[str]) -> str:
    """A job's file without its client: head, billing, and the name wherever it stands."""
    try:
        document = tomlkit.parse(text)
        head = document.get("job", {})
        for key in OF_A_CLIENT:
            head.pop(key, None)
        document.pop("billing", None)
        text = tomlkit.dumps(document)
    except (TOMLKitError, AttributeError):
        pass  # a file that cannot be read loses the name at least
    return _without(text, names)


def _without(text: str, names: list[str]) -> str:
    for name in sorted(names, key=len, reverse=True):
        text = re.sub(re.escape(name), ERASED, text, flags=re.IGNORECASE)
    return text
