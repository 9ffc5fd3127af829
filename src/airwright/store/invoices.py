"""Invoices: numbers without gaps, content that never changes, files made once from it."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import select
from sqlalchemy.dialects.postgresql import insert as insert_postgres
from sqlalchemy.dialects.sqlite import insert as insert_sqlite
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.store.editions import FrozenFile
from airwright.store.errors import Missing, StoreError
from airwright.store.offer_tables import InvoiceFile, InvoiceRow, InvoiceSeries
from airwright.store.types import now

DIGITS = 4
"""Least digits of a number: INV-2027-0001."""


@dataclass(frozen=True, slots=True)
class NewInvoice:
    """What is known of an invoice before it has its number.

    Attributes:
        series: what stands before the number: "INV-2027-".
        key: of the order to issue it; the same order twice issues it once.
        content: its number → the document as bytes; called within the transaction.
        net, tax, owed: before tax, the tax, and what is to be paid on it (negative: credited).
    """

    series: str
    key: str
    kind: str
    content: Callable[[str], bytes]
    client: str
    issued: dt.date
    due: dt.date
    currency: str
    net: Decimal
    tax: Decimal
    owed: Decimal
    job_id: str | None = None
    edition_id: str | None = None
    corrects: str | None = None


class Invoices:
    """Invoices, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def issue(self, new: NewInvoice, actor: str) -> InvoiceRow:
        """Give the next number of a series and keep the invoice: both, or neither.

        The series is held until the transaction ends, so that a number is given once, and one
        that was not kept is given again. An order that was carried out already gives its invoice.
        """
        number = self._next(new.series)
        again = self.session.scalar(select(InvoiceRow).where(InvoiceRow.key == new.key))
        if again is not None:
            self._series(new.series).last = number - 1
            return again
        name = f"{new.series}{number:0{DIGITS}d}"
        content = new.content(name)
        row = InvoiceRow(
            series=new.series,
            number=number,
            name=name,
            kind=new.kind,
            job_id=new.job_id,
            edition_id=new.edition_id,
            corrects=new.corrects,
            client=new.client[:200],
            issued=new.issued,
            due=new.due,
            currency=new.currency,
            net=new.net,
            tax=new.tax,
            owed=new.owed,
            content=content,
            fingerprint=hashlib.sha256(content).hexdigest(),
            key=new.key,
            made=now(),
            made_by=actor[:120],
        )
        self.session.add(row)
        self.session.flush()
        return row

    def _next(self, series: str) -> int:
        make = insert_sqlite if self._is_sqlite() else insert_postgres
        first = make(InvoiceSeries).values(name=series, last=0).on_conflict_do_nothing()
        self.session.execute(first)
        row = self._series(series)
        row.last += 1
        self.session.flush()
        return row.last

    def _series(self, series: str) -> InvoiceSeries:
        found = self.session.get(
            InvoiceSeries, series, with_for_update=True, populate_existing=True
        )
        assert found is not None
        return found

    def _is_sqlite(self) -> bool:
        return self.session.connection().dialect.name == "sqlite"

    def get(self, name: str) -> InvoiceRow:
        """An invoice by its number as printed. Raises Missing."""
        row = self.session.scalar(select(InvoiceRow).where(InvoiceRow.name == name))
        if row is None:
            raise Missing("invoice")
        return row

    def of_job(self, job_id: str) -> list[InvoiceRow]:
        """A job's invoices and credit notes, oldest first."""
        query = select(InvoiceRow).where(InvoiceRow.job_id == job_id)
        return list(self.session.scalars(query.order_by(InvoiceRow.made, InvoiceRow.number)))

    def all(self, since: dt.date | None = None, until: dt.date | None = None) -> list[InvoiceRow]:
        """Invoices issued in a span of days, both included; all of them without one."""
        query = select(InvoiceRow)
        if since is not None:
            query = query.where(InvoiceRow.issued >= since)
        if until is not None:
            query = query.where(InvoiceRow.issued <= until)
        return list(
            self.session.scalars(
                query.order_by(InvoiceRow.issued, InvoiceRow.series, InvoiceRow.number)
            )
        )

    def file(self, row: InvoiceRow, name: str, make: Callable[[bytes], FrozenFile]) -> InvoiceFile:
        """A file of an invoice; made from its content if that was never done, and kept for ever.

        Raises:
            StoreError: the content or the file is not what was issued.
        """
        if hashlib.sha256(row.content).hexdigest() != row.fingerprint:
            raise _changed(row.name)
        found = self.session.get(InvoiceFile, (row.id, name))
        if found is not None:
            if hashlib.sha256(found.content).hexdigest() != found.sha256:
                raise _changed(row.name)
            return found
        made = make(row.content)
        found = InvoiceFile(
            invoice_id=row.id,
            name=name,
            media=made.media,
            sha256=made.sha256,
            content=made.content,
        )
        self.session.add(found)
        self.session.flush()
        return found

    def files(
        self, row: InvoiceRow, make: Callable[[bytes], Sequence[FrozenFile]]
    ) -> list[InvoiceFile]:
        """All files of an invoice; made from its content if that was never done. See `file`."""
        query = select(InvoiceFile).where(InvoiceFile.invoice_id == row.id)
        held = list(self.session.scalars(query.order_by(InvoiceFile.name)))
        names = [one.name for one in held]
        made = {} if held else {one.name: one for one in make(row.content)}

        def named(name: str) -> Callable[[bytes], FrozenFile]:
            return lambda _content: made[name]

        return [self.file(row, name, named(name)) for name in names or made]

    def gaps(self) -> list[str]:
        """Series whose numbers do not run from 1 without a gap; there should be none."""
        query = select(InvoiceRow.series, InvoiceRow.number)
        held: dict[str, list[int]] = {}
        for series, number in self.session.execute(query):
            held.setdefault(series, []).append(number)
        return [s for s, numbers in held.items() if sorted(numbers) != _run(len(numbers))]


def _run(length: int) -> list[int]:
    return list(range(1, length + 1))


def _changed(name: str) -> StoreError:
    return StoreError(
        message(
            "Invoice {name} is not as it was issued: the database was changed by hand.", name=name
        ),
        message("Restore it from a backup."),
    )
