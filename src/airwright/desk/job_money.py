"""A job's invoices with the money put to them; several areas of the desk look at it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy.orm import Session

from airwright.money.amount import ZERO
from airwright.money.payments import Ledger, Payment, Receivable, put_to
from airwright.papers.edition import read
from airwright.papers.invoice import Invoice
from airwright.store.editions import Editions
from airwright.store.invoices import Invoices, NewInvoice
from airwright.store.jobs import Jobs
from airwright.store.offer_tables import InvoiceRow, PaymentRow
from airwright.store.payments import NewPayment, Payments
from airwright.store.tables import JobRow
from airwright.store.types import new_id, now


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


@dataclass(frozen=True, slots=True)
class DepositDue:
    """The deposit of a job: as agreed once the client said yes, else as the job stands."""

    amount: Decimal
    currency: str
    agreed: bool


def deposit_of(session: Session, row: JobRow) -> DepositDue | None:
    """What is due on booking; None where nothing is."""
    found = Editions(session).accepted_of(row.id)
    edition = read(found[0].content) if found else None
    option = edition.option(found[1].option) if found and edition else None
    if edition is not None and option is not None:
        return DepositDue(option.deposit, edition.currency, True) if option.deposit else None
    return DepositDue(row.deposit, row.currency, False) if row.deposit else None


def book_deposit(session: Session, job_id: str, came: bool, actor: str, today: dt.date) -> None:
    """Note that an agreed deposit came, or did not after all, in the books too.

    What was booked under Money already is not booked again.
    """
    row = Jobs(session).set_deposit_paid(job_id, now() if came else None)
    due = deposit_of(session, row)
    if due is None or not due.agreed:
        return
    found, payments = money_of(session, row), Payments(session)
    if came:
        missing = due.amount - found.received
        if missing > 0:
            new = NewPayment(
                f"{_DEPOSIT}{new_id()}", missing, due.currency, today, "other", job_id=job_id
            )
            payments.book(new, actor, surely=True)
        if row.stage in ("offered", "accepted"):
            row.stage = "booked"
        return
    back = {one.takes_back for one in found.payments}
    for one in found.payments:
        if one.key.startswith(_DEPOSIT) and one.id not in back:
            payments.take_back(one.id, actor, today)


_DEPOSIT = "deposit-"
"""Begins the key of a payment that a tap on the offer page booked."""
