"""Price lists of suppliers, read in with the columns remembered."""

from __future__ import annotations

import base64
import binascii
import json
from typing import Final

from sqlalchemy.orm import Session
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import RequestContext
from airwright.desk.buying.contexts import Column, ColumnsPage
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import render
from airwright.job.findings import Finding
from airwright.language import message
from airwright.operations.buying.price_list import (
    KEYS,
    NEEDED,
    Sheet,
    UnreadableList,
    guess_columns,
    read_list,
    read_sheet,
    with_offers,
)
from airwright.operations.buying.supplier_file import read_suppliers
from airwright.store.purchases import Suppliers
from airwright.store.studio import Facts

LARGEST: Final = 4_000_000
LABELS: Final = {
    "item": message("Item"),
    "shade": message("Shade"),
    "pack": message("Pieces in a pack"),
    "price": message("Price of a pack"),
    "available": message("Packs they have"),
    "code": message("Bar code or order number"),
}


def take_in(context: RequestContext, data: bytes) -> Response:
    """Read a price list in, or ask which column holds what."""
    supplier = context.text("supplier", 120)
    if not data:
        data = _again(context.text("content", 2 * LARGEST))
    if len(data) > LARGEST:
        raise EditError(
            message("This price list is larger than 4 MB."), message("Keep the rows you buy by.")
        )
    try:
        sheet = read_sheet(data)
    except UnreadableList as problem:
        raise EditError(problem.what, problem.mend) from None
    chosen = {key: context.text(f"column-{key}", 200) for key in KEYS}
    with context.writing() as session:
        asked = any(chosen.values())
        columns = chosen if asked else _remembered(session, supplier, sheet)
        columns = {key: head for key, head in columns.items() if head in sheet.heads}
        if any(key not in columns for key in NEEDED):
            return _ask(context, supplier, sheet, columns, data, ())
        text, version = Suppliers(session).get()
        table = read_suppliers(text.encode()).table if text else None
        if table is None or all(one.name != supplier for one in table.suppliers):
            raise EditError(
                message("There is no such supplier."),
                message("Save it under Suppliers first."),
            )
        reading = read_list(sheet, columns, table.currency)
        if reading.findings:
            return _ask(context, supplier, sheet, columns, data, reading.findings)
        Facts(session).put(_fact(supplier), json.dumps(columns))
        today = context.desk.settings.today()
        Suppliers(session).put(with_offers(text, supplier, reading.offers, today), version)
    return RedirectResponse("/buying/suppliers?said=saved", 303)


def _again(content: str) -> bytes:
    try:
        return base64.b64decode(content, validate=True)
    except binascii.Error:
        raise EditError(
            message("No price list was picked."), message("Pick a .csv or .xlsx file.")
        ) from None


def _fact(supplier: str) -> str:
    return f"columns:{supplier}"[:60]


def _remembered(session: Session, supplier: str, sheet: Sheet) -> dict[str, str]:
    kept = Facts(session).get(_fact(supplier))
    found: dict[str, str] = json.loads(kept) if kept else {}
    still_there = all(found.get(key) in sheet.heads for key in NEEDED)
    return found if still_there else guess_columns(sheet.heads)


def _ask(
    context: RequestContext,
    supplier: str,
    sheet: Sheet,
    columns: dict[str, str],
    data: bytes,
    findings: tuple[Finding, ...],
) -> Response:
    page = ColumnsPage(
        supplier=supplier,
        heads=tuple(dict.fromkeys(head for head in sheet.heads if head)),
        columns=tuple(
            Column(key, LABELS[key], columns.get(key, ""), key in NEEDED) for key in KEYS
        ),
        content=base64.b64encode(data).decode(),
        findings=findings,
        rows=len(sheet.rows),
    )
    return render(context, page, status=422 if findings else 200)
