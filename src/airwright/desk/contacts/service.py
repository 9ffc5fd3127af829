"""Contacts as their pages show them."""

from __future__ import annotations

import io
import zipfile

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from airwright.desk.contacts.contexts import ContactJob, ContactLine
from airwright.desk.contacts.forms import write_vcards
from airwright.desk.pages import day
from airwright.store.book_tables import Contact
from airwright.store.contacts import Contacts
from airwright.store.erasing import gathered
from airwright.store.tables import JobRow

MOST_UNKNOWN = 12


def line(row: Contact) -> ContactLine:
    """A contact in the list."""
    return ContactLine(row.id, row.kind, row.name, row.organisation, row.phone, row.mail)


def job_line(row: JobRow) -> ContactJob:
    """A job of a contact."""
    return ContactJob(row.id, row.title, day(row.date), row.stage, row.version, row.balloons > 0)


def unknown(session: Session) -> tuple[tuple[str, str], ...]:
    """(kind, name) of clients and venues that jobs name and no contact stands for yet."""
    known = {
        (kind, name.lower())
        for kind, name, organisation in session.execute(
            select(Contact.kind, Contact.name, Contact.organisation)
        )
        for name in (name, organisation)
        if name
    }
    found: list[tuple[str, str]] = []
    for kind, column in (("client", JobRow.client), ("venue", JobRow.venue)):
        query = select(column).where(column != "", JobRow.sample.is_(False)).group_by(column)
        newest = query.order_by(func.max(JobRow.changed).desc()).limit(200)
        names = (str(name) for name in session.scalars(newest))
        found += [(kind, name) for name in names if (kind, name.lower()) not in known]
    return tuple(found[:MOST_UNKNOWN])


def data_of(session: Session, contact_id: str) -> bytes:
    """Everything that is held of a contact, as one zip."""
    contact = Contacts(session).get(contact_id)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as z:
        z.writestr("contact.vcf", write_vcards([contact]))
        for name, content in gathered(session, contact_id):
            z.writestr(name, content)
    return out.getvalue()
