"""What the contacts' forms may say, and vCards (RFC 6350) in and out."""

from __future__ import annotations

from collections.abc import Iterable

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.store.book_tables import Contact
from airwright.store.contacts import KINDS, Card, ContactKind

KIND_WORDS: dict[str, str] = {
    "client": message("Client"),
    "venue": message("Venue"),
    "supplier": message("Supplier"),
    "helper": message("Helper"),
}
LARGEST_FILE = 2_000_000
MOST_CARDS = 2000


def kind_of(text: str) -> ContactKind:
    """A kind by name; a client for anything else."""
    return next((kind for kind in KINDS if kind == text), "client")


def read_card(context: RequestContext) -> Card:
    """The form of a contact. Raises EditError."""
    name = context.text("name", 200) or context.text("organisation", 200)
    if not name:
        raise EditError(message("This contact has no name."), message("Write a name or a company."))
    return Card(
        kind_of(context.text("kind")),
        name,
        context.text("organisation", 200),
        context.text("phone", 80),
        context.text("mail", 200),
        context.text("address", 300),
        context.text("note", 1000),
    )


def read_vcards(data: bytes, kind: ContactKind) -> list[Card]:
    """The contacts of a vCard file. Raises EditError."""
    import vobject

    try:
        text = data.decode("utf-8-sig")
        found = [
            _card(entry, kind) for entry in vobject.readComponents(text, ignoreUnreadable=True)
        ]
    except (UnicodeDecodeError, vobject.base.VObjectError, ValueError, IndexError) as problem:
        raise EditError(
            message("This is no file of contacts that can be read."),
            message("Export contacts as vCard (.vcf)."),
        ) from problem
    cards = [card for card in found if card is not None][:MOST_CARDS]
    if not cards:
        raise EditError(
            message("There is no contact in this file."),
            message("Export contacts as vCard (.vcf)."),
        )
    return cards


def _card(entry: object, kind: ContactKind) -> Card | None:
    def text(name: str) -> str:
        value = getattr(getattr(entry, name, None), "value", "")
        if isinstance(value, list):
            value = " ".join(str(part) for part in value)
        return " ".join(str(value).replace("\0", "").split())

    name = text("fn") or text("n") or text("org")
    if not name:
        return None
    return Card(
        kind, name[:200], text("org"), text("tel"), text("email"), text("adr"), text("note")
    )


def write_vcards(rows: Iterable[Contact]) -> bytes:
    """Contacts as one vCard file (version 3.0, which every telephone reads)."""
    import vobject

    out = []
    for row in rows:
        card = vobject.vCard()
        card.add("fn").value = row.name
        given, _, family = row.name.rpartition(" ")
        card.add("n").value = vobject.vcard.Name(family=family, given=given)
        for name, value in (("tel", row.phone), ("email", row.mail), ("note", row.note)):
            if value:
                card.add(name).value = value
        if row.organisation:
            card.add("org").value = [row.organisation]
        if row.address:
            card.add("adr").value = vobject.vcard.Address(street=row.address)
        card.add("categories").value = [KIND_WORDS[row.kind]]
        out.append(card.serialize())
    return "".join(out).encode("utf-8")
