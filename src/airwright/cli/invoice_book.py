"""Numbers of invoices without a desk: a book in a file, by the desk's own rules.

The book is a database of one file. A number is given and kept in one step or not at all, by
however many commands at once; the same command again gives the invoice it gave before, so that
files lost on the way are simply written again.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from airwright.cli import common

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from airwright.papers.invoice import EarlierInvoice, Invoice

ACTOR = "airwright invoice"
MEDIA = {"pdf": "application/pdf", "xml": "application/xml"}


def order_key(*parts: object) -> str:
    """Of what was asked for; the same order gives the same."""
    return hashlib.sha256("\0".join(map(str, parts)).encode()).hexdigest()[:40]


@contextmanager
def opened(book: Path) -> Iterator[Session]:
    """The book, in one transaction; what is wrong with its file ends the command."""
    from airwright.store import StoreError, open_database

    try:
        book.parent.mkdir(parents=True, exist_ok=True)
        database = open_database(f"sqlite:///{book.resolve()}")
    except (StoreError, OSError) as problem:
        what = problem.what if isinstance(problem, StoreError) else str(problem)
        common.usage_error(
            f"The book of numbers {book} does not open: {what}",
            "Name a file of this command or of your desk, or a new one.",
        )
    try:
        with database.writing() as session:
            yield session
    finally:
        database.close()


def asked_before(session: Session, title: str, event: dt.date | None) -> tuple[EarlierInvoice, ...]:
    """Deposits and parts of a job that stand, for its final invoice to take off."""
    from airwright.desk.job_money import credited
    from airwright.papers.invoice import EarlierInvoice, read
    from airwright.store.invoices import Invoices

    rows = Invoices(session).all()
    found = []
    for row in rows:
        if row.kind not in ("deposit", "instalment") or row.job_id is not None:
            continue
        held, left = read(row.content), row.owed - credited(rows, row.name)
        if (held.title, held.event) == (title, event) and left > 0:
            found.append(EarlierInvoice(number=row.name, issued=row.issued, gross=left))
    return tuple(found)


def to_credit(session: Session, number: str) -> tuple[Invoice, EarlierInvoice, Decimal]:
    """An invoice of the book, as a credit note names it, and how much of it still stands."""
    from airwright.desk.job_money import credited
    from airwright.papers.invoice import EarlierInvoice, read
    from airwright.store import Missing
    from airwright.store.invoices import Invoices

    invoices = Invoices(session)
    try:
        row = invoices.get(number)
    except Missing:
        names = ", ".join(one.name for one in invoices.all() if one.corrects is None) or "none yet"
        common.usage_error(
            f'There is no invoice "{number[:40]}" in this book.', f"It has: {names}."
        )
    if row.corrects is not None:
        common.usage_error(f"{number} is a credit note itself.", "Credit an invoice.")
    before = EarlierInvoice(number=row.name, issued=row.issued, gross=row.owed)
    return read(row.content), before, row.owed - credited(invoices.all(), row.name)


def is_known(session: Session, key: str) -> bool:
    """Whether an order was carried out before."""
    from airwright.store.invoices import Invoices

    return any(row.key == key for row in Invoices(session).all())


@dataclass(frozen=True, slots=True)
class Issued:
    """An invoice, its files by name, and whether this very order issued it before."""

    invoice: Invoice
    files: tuple[tuple[str, bytes], ...]
    again: bool = False


def files_of(invoice: Invoice) -> tuple[tuple[str, bytes], ...]:
    """The documents of an invoice: PDF, and UBL where it has an electronic form."""
    from airwright.papers.invoice import render_pdf, render_ubl, why_not

    papers = [render_pdf(invoice)] + ([] if why_not(invoice) else [render_ubl(invoice)])
    return tuple((paper.path, paper.data) for paper in papers)


def issue(session: Session, series: str, key: str, document: Callable[[str], Invoice]) -> Issued:
    """Give the next number of a series, keep the invoice and its files.

    Args:
        session: of the book.
        series: what stands before the number.
        key: of the order; see `order_key`.
        document: number → invoice.
    """
    from airwright.desk.job_money import new_invoice
    from airwright.papers.invoice import read
    from airwright.store.editions import FrozenFile
    from airwright.store.invoices import Invoices

    invoices = Invoices(session)
    known = is_known(session, key)
    tried = document(f"{series}0000")
    if not known:
        try:  # what cannot be made gets no number
            files_of(tried)
        except ValueError as problem:
            what = f"The invoice cannot be made: {problem}"
            common.usage_error(what, "Complete the billing details.")
    row = invoices.issue(new_invoice(tried, series, key, document), ACTOR)
    kept = invoices.files(row, lambda content: [
        FrozenFile(name, MEDIA[name.rpartition(".")[2]], data)
        for name, data in files_of(read(content))
    ])  # fmt: skip
    return Issued(read(row.content), tuple((one.name, one.content) for one in kept), known)
