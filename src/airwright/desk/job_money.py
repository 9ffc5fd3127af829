"""A job's invoices with the money put to them; several areas of the desk look at it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy.orm import Session

from airwright.money.amount import ZERO
from airwright.money.payments import Ledger, Payment, Receivable, put_to
from airwright.papers.invoice import Invoice
from airwright.store.invoices import Invoices, NewInvoice
from airwright.store.offer_tables import InvoiceRow, PaymentRow
from airwright.store.payments import Payments
from airwright.store.tables import JobRow


@dataclass(frozen=True, slots=True)
class JobMoney:
    """A job's invoices and payments, put together in one currency."""

    rows: tuple[InvoiceRow, ...]
    payments: tuple[PaymentRow, ...]
    ledger: Ledger

    @property
    def received(self) -> Decimal:
        """Payments less refunds."""
        return sum((row.amount for row in self.payments), ZERO)

    @property
    def invoiced(self) -> Decimal:
        """Asked less credited."""
        return sum((row.owed for row in self.rows), ZERO)

    def open_of(self, number: str) -> Decimal:
        """What is still due on an invoice; nothing on one that is paid or not there."""
        accounts = self.ledger.accounts
        open_ = next((a.open for a in accounts if a.receivable.number == number), ZERO)
        return max(open_, ZERO)


def new_invoice(
    tried: Invoice,
    series: str,
    key: str,
    document: Callable[[str], Invoice],
    job_id: str | None = None,
    edition_id: str | None = None,
) -> NewInvoice:
    """What the book needs to number and keep an invoice or a credit note.

    Args:
        tried: the invoice as it would be, under a number that is not kept.
        series: what stands before the number.
        key: of the order; the same key twice is one invoice.
        document: number → invoice.
        job_id: the job, where the desk keeps it.
        edition_id: the offer it rests on, likewise.
    """
    sign = -1 if tried.is_credit else 1
    return NewInvoice(
        series=series,
        key=key,
        kind=tried.kind,
        content=lambda number: document(number).content(),
        client=tried.buyer.name,
        issued=tried.issued,
        due=tried.due,
        currency=tried.currency,
        net=sign * tried.sums.net,
        tax=sign * tried.sums.tax,
        owed=sign * tried.sums.due,
        job_id=job_id,
        edition_id=edition_id,
        corrects=tried.corrects.number if tried.corrects else None,
    )


def credited(rows: Sequence[InvoiceRow], name: str) -> Decimal:
    """How much of an invoice was credited."""
    return -sum((row.owed for row in rows if row.corrects == name), ZERO)


def job_money(
    rows: Sequence[InvoiceRow], payments: Sequence[PaymentRow], currency: str
) -> JobMoney:
    """Put a job's payments to its invoices; what was credited is no longer due."""
    receivables = [
        Receivable(row.name, row.owed - credited(rows, row.name), row.currency, row.issued, row.due)
        for row in rows
        if row.owed >= 0 and row.corrects is None
    ]
    names = {one.number for one in receivables}
    paid = [
        Payment(
            row.id, row.amount, row.currency, row.date,
            row.invoice if row.invoice in names else "", row.reference,
        )
        for row in payments
    ]  # fmt: skip
    return JobMoney(tuple(rows), tuple(payments), put_to(receivables, paid, currency))


def money_of(session: Session, row: JobRow) -> JobMoney:
    """A job's money."""
    rows, payments = Invoices(session).of_job(row.id), Payments(session).of_job(row.id)
    held = [one.currency for one in rows] + [one.currency for one in payments]
    return job_money(rows, payments, held[0] if held else row.currency)
