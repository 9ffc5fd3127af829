"""Addresses of suppliers: the list, a form for each, and their file."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByDesigner, RequestContext
from airwright.desk.book_buying import price_lists
from airwright.desk.buying import supplier_form
from airwright.desk.buying.contexts import SupplierLine, SuppliersPage
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import day as shown_day
from airwright.desk.pages import render
from airwright.job.findings import Finding
from airwright.language import counted, joined, message
from airwright.operations.buying.supplier_file import (
    OLD_DAYS,
    SupplierRow,
    SuppliersFile,
    read_suppliers,
)
from airwright.operations.buying.supplier_writing import with_supplier, without_supplier
from airwright.operations.toml_file import LARGEST_LIST
from airwright.store.purchases import Suppliers
from airwright.store.studio import StudioFile

router = APIRouter()


@router.get("/buying/suppliers")
def suppliers(context: ByDesigner) -> Response:
    """All suppliers, and their file."""
    with context.reading() as session:
        text, version = Suppliers(session).get()
    return render(context, _page(context, text, version, ()))


def _page(
    context: RequestContext, text: str, version: int, findings: tuple[Finding, ...]
) -> SuppliersPage:
    table = None if findings else price_lists(text)
    rows = () if table is None else table.suppliers
    return SuppliersPage(
        text=text,
        version=version,
        findings=findings,
        lines=tuple(_line(context, row) for row in rows),
    )


def _line(context: RequestContext, row: SupplierRow) -> SupplierLine:
    lead = row.lead_days if isinstance(row.lead_days, int) else row.lead_days.usual
    about = joined(
        [
            counted("{n} price", "{n} prices", len(row.offers)),
            counted("{n} working day", "{n} working days", lead),
        ]
    )
    if row.priced_on is None:
        return SupplierLine(row.name, about, "", old=False)
    old = (context.desk.settings.today() - row.priced_on).days > OLD_DAYS
    priced = message("prices as of {day}", day=shown_day(row.priced_on))
    return SupplierLine(row.name, about, priced, old)


@router.get("/buying/supplier")
def form(context: ByDesigner, name: Annotated[str, Query(max_length=120)] = "") -> Response:
    """One supplier, to change; an empty form without a name."""
    with context.reading() as session:
        text, version = Suppliers(session).get()
    row = _named(price_lists(text), name) if name else None
    if name and row is None:
        raise HTTPException(404)
    currency, today = _currency(context, text), context.desk.settings.today()
    return render(context, supplier_form.page_of(row, version, currency, today))


def _named(table: SuppliersFile | None, name: str) -> SupplierRow | None:
    rows = () if table is None else table.suppliers
    return next((row for row in rows if row.name == name), None)


def _currency(context: RequestContext, text: str) -> str:
    """Of the file, or the studio's for one that begins."""
    table = price_lists(text)
    if table is not None:
        return table.currency
    with context.reading() as session:
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
    return studio.pricing.currency


@router.post("/buying/supplier")
def save(context: ByDesigner) -> Response:
    """Write a supplier into the file, or ask again with what is wrong."""
    with context.reading() as session:
        text, _ = Suppliers(session).get()
    if text and price_lists(text) is None:
        raise EditError(
            message("The suppliers' file cannot be read."), message("Mend it there first.")
        )
    currency = _currency(context, text)
    page = supplier_form.sent(context, _version(context), currency)
    edit, wrong = supplier_form.edit_of(page)
    if edit is not None:
        try:
            changed = with_supplier(text, page.was, edit, currency)
        except KeyError:
            raise EditError(
                message("There is no such supplier."), message("Look at the list again.")
            ) from None
        reading = read_suppliers(changed.encode())
        if reading.table is not None:
            with context.writing() as session:
                Suppliers(session).put(changed, page.version)
            return RedirectResponse("/buying/suppliers?said=saved", 303)
        wrong = reading.findings
    return render(context, supplier_form.with_findings(page, wrong), status=422)


@router.post("/buying/supplier/remove")
def remove(context: ByDesigner) -> Response:
    """Take a supplier out; what was ordered there stays."""
    name = context.text("name", 120)
    with context.writing() as session:
        text, _ = Suppliers(session).get()
        if _named(price_lists(text), name) is None:
            raise EditError(
                message("There is no such supplier."), message("Look at the list again.")
            )
        Suppliers(session).put(without_supplier(text, name), _version(context))
    return RedirectResponse("/buying/suppliers?said=out", 303)


def _version(context: RequestContext) -> int:
    base = context.text("version", 9)
    return int(base) if base.isdecimal() else 0


@router.post("/buying/suppliers")
async def keep_suppliers(context: ByDesigner) -> Response:
    """A new suppliers' file, uploaded or typed; wrong ones are told and change nothing."""
    sent = context.file("file")
    if sent is not None:
        data = await sent.read(LARGEST_LIST + 1)
    else:
        data = context.text("text", LARGEST_LIST).replace("\r\n", "\n").encode()
    return await run_in_threadpool(_keep_suppliers, context, data)


def _keep_suppliers(context: RequestContext, data: bytes) -> Response:
    version = _version(context)
    reading = read_suppliers(data)
    if reading.table is None:
        text = data.decode("utf-8", "replace")
        page = _page(context, text, version, reading.findings)
        return render(context, page, status=422)
    with context.writing() as session:
        Suppliers(session).put(data.decode("utf-8-sig"), version)
    return RedirectResponse("/buying?said=saved", 303)
