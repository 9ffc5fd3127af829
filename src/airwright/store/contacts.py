"""Contacts: clients, venues, suppliers and helpers of the studio."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal, get_args

from sqlalchemy import event, func, select
from sqlalchemy.orm import Session

from airwright.store.book_tables import Contact
from airwright.store.errors import Missing
from airwright.store.folding import folded, words_of
from airwright.store.jobs import like
from airwright.store.tables import JobRow
from airwright.store.types import now

ContactKind = Literal["client", "venue", "supplier", "helper"]
KINDS: tuple[ContactKind, ...] = get_args(ContactKind)


@dataclass(frozen=True, slots=True)
class Card:
    """What is known of somebody."""

    kind: ContactKind
    name: str
    organisation: str = ""
    phone: str = ""
    mail: str = ""
    address: str = ""
    note: str = ""


TEXTS = ("organisation", "phone", "mail", "address", "note")


@event.listens_for(Contact, "before_insert")
@event.listens_for(Contact, "before_update")
def _fold(_mapper: Any, _connection: Any, row: Contact) -> None:
    row.folded = words_of(row.name, row.organisation, row.phone, row.mail, row.address)


class Contacts:
    """Contacts, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def search(self, words: str = "", kind: str = "", limit: int = 500) -> list[Contact]:
        """Contacts by name; those in which every word is found."""
        query = select(Contact)
        if kind:
            query = query.where(Contact.kind == kind)
        for word in words.split()[:8]:
            query = query.where(Contact.folded.like(like(folded(word)), escape="\\"))
        return list(self.session.scalars(query.order_by(func.lower(Contact.name)).limit(limit)))

    def get(self, contact_id: str) -> Contact:
        """One of them. Raises Missing."""
        row = self.session.get(Contact, contact_id)
        if row is None:
            raise Missing("contact")
        return row

    def put(self, card: Card, contact_id: str | None = None) -> Contact:
        """A new contact, or other words for one that is there. Raises Missing."""
        row = Contact(made=now()) if contact_id is None else self.get(contact_id)
        row.kind, row.name, row.changed = card.kind, card.name[:200], now()
        row.organisation, row.phone, row.mail = (
            card.organisation[:200],
            card.phone[:80],
            card.mail[:200],
        )
        row.address, row.note = card.address[:300], card.note[:1000]
        self.session.add(row)
        self.session.flush()
        return row

    def take_in(self, card: Card) -> tuple[Contact, bool]:
        """Put a card in, or fill the gaps of the same contact; whether it is new."""
        same = self.session.scalar(
            select(Contact).where(
                Contact.kind == card.kind, func.lower(Contact.name) == card.name.lower()
            )
        )
        if same is None:
            return self.put(card), True
        for text in TEXTS:
            if not getattr(same, text):
                setattr(same, text, getattr(card, text))
        same.changed = now()
        return same, False

    def merge(self, into_id: str, from_id: str) -> Contact:
        """Two contacts are one: gaps of the first are filled, the second goes. Raises Missing."""
        into, other = self.get(into_id), self.get(from_id)
        if into is other:
            return into
        for text in TEXTS:
            mine, theirs = getattr(into, text), getattr(other, text)
            if theirs and text == "note" and theirs not in mine:
                into.note = "\n".join(part for part in (mine, theirs) if part)[:1000]
            elif not mine:
                setattr(into, text, theirs)
        into.changed = now()
        self.session.delete(other)
        self.session.flush()
        return into

    def remove(self, contact_id: str) -> None:
        """Forget one. Raises Missing."""
        self.session.delete(self.get(contact_id))

    def twins(self, rows: Sequence[Contact]) -> list[tuple[Contact, Contact]]:
        """Pairs that are likely the same: one kind, and the same name, telephone or mail."""
        seen: dict[tuple[str, str], Contact] = {}
        pairs: dict[tuple[str, str], tuple[Contact, Contact]] = {}
        for row in rows:
            digits = "".join(c for c in row.phone if c.isdigit())[-9:]
            name = " ".join(row.name.lower().split())
            for key in (name, row.mail.lower(), digits if len(digits) >= 7 else ""):
                if not key:
                    continue
                first = seen.setdefault((row.kind, key), row)
                if first is not row:
                    pairs[(first.id, row.id)] = (first, row)
        return list(pairs.values())

    def jobs_of(self, row: Contact) -> list[JobRow]:
        """The jobs that name a client or a venue, newest first."""
        column = JobRow.venue if row.kind == "venue" else JobRow.client
        names = [name.lower() for name in (row.name, row.organisation) if name]
        query = select(JobRow).where(func.lower(column).in_(names))
        return list(self.session.scalars(query.order_by(JobRow.date.desc()).limit(50)))
