"""What the contacts' templates are given."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.pages import Page
from airwright.store.erasing import MustStay


@dataclass(frozen=True, slots=True)
class ContactLine:
    """A contact in the list."""

    id: str
    kind: str
    name: str
    organisation: str
    phone: str
    mail: str


@dataclass(frozen=True, slots=True)
class ContactJob:
    """A job that names the contact."""

    id: str
    title: str
    when: str
    stage: str
    version: int
    pictured: bool


@dataclass(frozen=True)
class ContactsPage(Page):
    """All contacts, or those a search finds."""

    template: ClassVar[str] = "contacts/contacts.html"
    part: ClassVar[str | None] = "contacts/lines.html"
    contacts: tuple[ContactLine, ...]
    twins: tuple[tuple[ContactLine, ContactLine], ...]
    kinds: tuple[tuple[str, str], ...]
    kind: str
    words: str
    unknown: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class ContactPage(Page):
    """One contact, to read and to change."""

    template: ClassVar[str] = "contacts/contact.html"
    id: str
    kind: str
    kinds: tuple[tuple[str, str], ...]
    name: str
    organisation: str
    phone: str
    mail: str
    address: str
    note: str
    jobs: tuple[ContactJob, ...]


@dataclass(frozen=True)
class ErasePage(Page):
    """What of a client would go, and what must stay and until when."""

    template: ClassVar[str] = "contacts/erase.html"
    id: str
    name: str
    going: tuple[tuple[str, str], ...]
    staying: tuple[MustStay, ...]
