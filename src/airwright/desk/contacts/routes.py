"""Addresses of the contacts."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByDesigner, ByOwner, RequestContext
from airwright.desk.contacts import service
from airwright.desk.contacts.contexts import ContactJob, ContactPage, ContactsPage, ErasePage
from airwright.desk.contacts.forms import (
    KIND_WORDS,
    LARGEST_FILE,
    kind_of,
    read_card,
    read_vcards,
    write_vcards,
)
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import render
from airwright.desk.proof import ByProvenOwner
from airwright.language import message
from airwright.store.contacts import Card, Contacts
from airwright.store.erasing import erase, held
from airwright.store.studio import StudioFile

router = APIRouter(prefix="/contacts")


@router.get("")
def show_all(
    context: ByDesigner,
    words: Annotated[str, Query(max_length=200)] = "",
    kind: Annotated[str, Query(max_length=20)] = "",
) -> Response:
    """All contacts, or those that a search finds."""
    words, kind = words.replace("\0", ""), kind if kind in KIND_WORDS else ""
    with context.reading() as session:
        contacts = Contacts(session)
        rows = contacts.search(words, kind)
        page = ContactsPage(
            contacts=tuple(service.line(row) for row in rows),
            twins=tuple((service.line(a), service.line(b)) for a, b in contacts.twins(rows)),
            kinds=tuple(KIND_WORDS.items()),
            kind=kind,
            words=words,
            unknown=() if words or kind else service.unknown(session),
        )
    return render(context, page)


@router.get("/all.vcf")
def export(context: ByDesigner) -> Response:
    """All contacts as one vCard file."""
    with context.reading() as session:
        body = write_vcards(Contacts(session).search(limit=10_000))
    context.log_export("contacts.vcf")
    head = {"content-disposition": 'attachment; filename="contacts.vcf"'}
    return Response(body, media_type="text/vcard; charset=utf-8", headers=head)


@router.post("/import")
async def take_in(context: ByDesigner) -> Response:
    """Contacts from a vCard file; those that are there have their gaps filled."""
    sent = context.file("file")
    if sent is None:
        raise EditError(message("No file was picked."), message("Pick a vCard file (.vcf)."))
    data = await sent.read(LARGEST_FILE + 1)
    if len(data) > LARGEST_FILE:
        raise EditError(
            message("That is too large for a file of contacts."), message("Send it in parts.")
        )
    await run_in_threadpool(_keep, context, data)
    return RedirectResponse("/contacts?said=imported", 303)


def _keep(context: RequestContext, data: bytes) -> None:
    cards = read_vcards(data, kind_of(context.text("kind")))
    with context.writing() as session:
        for card in cards:
            Contacts(session).take_in(card)


@router.get("/new")
def blank(
    context: ByDesigner,
    name: Annotated[str, Query(max_length=200)] = "",
    kind: Annotated[str, Query(max_length=20)] = "client",
) -> Response:
    """An empty form."""
    return render(context, _form("", Card(kind_of(kind), name), ()))


@router.post("")
def add(context: ByDesigner) -> Response:
    """A new contact."""
    card = read_card(context)
    with context.writing() as session:
        Contacts(session).put(card)
    return RedirectResponse("/contacts?said=saved", 303)


@router.post("/merge")
def merge(context: ByDesigner) -> Response:
    """Two contacts are one."""
    with context.writing() as session:
        row = Contacts(session).merge(context.text("into", 16), context.text("from", 16))
        contact_id = row.id
    return RedirectResponse(f"/contacts/{contact_id}?said=merged", 303)


@router.get("/{contact_id}")
def show(contact_id: str, context: ByDesigner) -> Response:
    """One contact and its jobs."""
    with context.reading() as session:
        contacts = Contacts(session)
        row = contacts.get(contact_id)
        jobs = tuple(service.job_line(job) for job in contacts.jobs_of(row))
        card = Card(
            kind_of(row.kind),
            row.name,
            row.organisation,
            row.phone,
            row.mail,
            row.address,
            row.note,
        )
    return render(context, _form(contact_id, card, jobs))


@router.post("/{contact_id}")
def change(contact_id: str, context: ByDesigner) -> Response:
    """Other words for a contact."""
    card = read_card(context)
    with context.writing() as session:
        Contacts(session).put(card, contact_id)
    return RedirectResponse(f"/contacts/{contact_id}?said=saved", 303)


@router.get("/{contact_id}/card.vcf")
def one_card(contact_id: str, context: ByDesigner) -> Response:
    """One contact as a vCard."""
    with context.reading() as session:
        body = write_vcards([Contacts(session).get(contact_id)])
    head = {"content-disposition": 'attachment; filename="contact.vcf"'}
    return Response(body, media_type="text/vcard; charset=utf-8", headers=head)


@router.post("/{contact_id}/remove")
def remove(contact_id: str, context: ByDesigner) -> Response:
    """Forget a contact."""
    with context.writing() as session:
        context.log(session, "deleted", Contacts(session).get(contact_id).name)
        Contacts(session).remove(contact_id)
    return RedirectResponse("/contacts?said=deleted", 303)


@router.get("/{contact_id}/data.zip")
def their_data(contact_id: str, context: ByOwner) -> Response:
    """Everything that is held of a client, to be handed out."""
    with context.reading() as session:
        body = service.data_of(session, contact_id)
    context.log_export("data.zip")  # without a name: the log outlives an erasure
    head = {"content-disposition": 'attachment; filename="data.zip"'}
    return Response(body, media_type="application/zip", headers=head)


@router.get("/{contact_id}/erase")
def ask_erase(contact_id: str, context: ByOwner) -> Response:
    """What would go, and what must stay."""
    with context.reading() as session:
        years = context.desk.builder.studio(StudioFile(session).get()[0]).keeping.tax_years
        found = held(session, contact_id, years, context.desk.settings.today())
    return render(context, ErasePage(contact_id, found.name, found.going, found.staying))


@router.post("/{contact_id}/erase")
def erase_data(contact_id: str, context: ByProvenOwner) -> Response:
    """Erase a client's data; what tax law keeps stays until its day."""
    with context.writing() as session:
        years = context.desk.builder.studio(StudioFile(session).get()[0]).keeping.tax_years
        erase(session, contact_id, years, context.desk.settings.today())
        context.log(session, "erased")
    return RedirectResponse("/contacts?said=erased", 303)


def _form(contact_id: str, card: Card, jobs: tuple[ContactJob, ...]) -> ContactPage:
    return ContactPage(
        id=contact_id,
        kind=card.kind,
        kinds=tuple(KIND_WORDS.items()),
        name=card.name,
        organisation=card.organisation,
        phone=card.phone,
        mail=card.mail,
        address=card.address,
        note=card.note,
        jobs=jobs,
    )
