"""Invoices with the money put to them, for one job and for the studio."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from airwright.desk.invoices.contexts import AgeLine, InvoiceLine, PaymentLine, PeriodLine
from airwright.desk.invoices.forms import KIND_WORDS, MEANS_WORDS
from airwright.desk.invoices.issuing import agreed_of
from airwright.desk.job_money import JobMoney, money_of
from airwright.desk.mailing.outbox import reminded, rule_of
from airwright.desk.pages import money
from airwright.job.business import MailServer
from airwright.language import message
from airwright.money.payments import Account, Ledger, by_age
from airwright.money.reminders import next_reminder
from airwright.papers.books import Booked, Paid, PeriodSum, booked
from airwright.papers.invoice import Invoice, read, why_not
from airwright.store.invoices import Invoices
from airwright.store.jobs import Jobs
from airwright.store.offer_tables import InvoiceRow, PaymentRow
from airwright.store.payments import Payments
from airwright.store.studio import StudioFile
from airwright.store.tables import JobRow
from airwright.store.types import now


def follow(session: Session, job_id: str, today: dt.date) -> None:
    """Move a job's stage as its money says: booked with the deposit, settled when all is paid."""
    row = Jobs(session).get(job_id, locked=True)
    found = money_of(session, row)
    agreed = agreed_of(session, job_id)
    if agreed is None:
        return
    deposit = agreed.option.deposit
    here = found.received >= deposit and found.received > 0
    if here and row.deposit_paid is None:
        row.deposit_paid = now()
    if not here and row.deposit_paid is not None and found.payments:
        row.deposit_paid = None
    if here and row.stage in ("offered", "accepted"):
        row.stage = "booked"
    final = any(one.kind == "final" for one in found.rows)
    past = row.date is not None and row.date <= today
    if final and past and found.ledger.open == 0 and row.stage in ("booked", "built"):
        row.stage = "settled"


Reminding = Callable[[InvoiceRow], dt.date | None]
"""When the next reminder of an invoice is written; None for never."""


def reminding(session: Session, server: MailServer) -> Reminding:
    """The studio's way of reminding."""

    def day(row: InvoiceRow) -> dt.date | None:
        if server.reminders == "no":
            return None
        return next_reminder(row.due, reminded(session, row.name), rule_of(server))

    return day


def invoice_lines(
    found: JobMoney, today: dt.date, remind: Reminding, job: JobRow | None = None
) -> tuple[InvoiceLine, ...]:
    """Invoices and credit notes of a job, oldest first."""
    accounts = {account.receivable.number: account for account in found.ledger.accounts}
    return tuple(_line(row, accounts.get(row.name), today, remind, job) for row in found.rows)


def _line(
    row: InvoiceRow,
    account: Account | None,
    today: dt.date,
    remind: Reminding,
    job: JobRow | None,
) -> InvoiceLine:
    late = account.days_late(today) if account is not None and account.open > 0 else 0
    return InvoiceLine(
        number=row.name,
        kind=KIND_WORDS.get(row.kind, row.kind),
        is_credit=row.kind == "credit note",
        issued=row.issued,
        due=row.due,
        amount=money(row.owed, row.currency),
        paid=money(account.paid, row.currency) if account else "",
        open=money(account.open, row.currency) if account else "",
        state=_state(account),
        late=late,
        remind=remind(row) if account is not None and account.open > 0 else None,
        electronic=not why_not(read(row.content)),
        job_id=row.job_id or "",
        job=job.title if job else "",
        client=row.client,
    )


def _state(account: Account | None) -> str:
    if account is None:
        return "credit"
    if account.receivable.amount == 0 and account.open == 0:
        return "credited"
    return str(account.state.value)


def payment_lines(rows: Sequence[PaymentRow]) -> tuple[PaymentLine, ...]:
    """Payments, newest first."""
    back = {row.takes_back for row in rows if row.takes_back}
    return tuple(
        PaymentLine(
            id=row.id,
            date=row.date,
            amount=money(row.amount, row.currency),
            means=message("Taken back")
            if row.takes_back
            else MEANS_WORDS.get(row.means, row.means),
            invoice=row.invoice,
            reference=row.reference,
            by=row.made_by,
            may_take_back=row.takes_back is None and row.id not in back,
        )
        for row in reversed(rows)
    )


@dataclass(frozen=True, slots=True)
class Books:
    """All invoices and payments of the studio."""

    invoices: dict[str, Invoice]
    rows: tuple[InvoiceRow, ...]
    payments: tuple[Paid, ...]

    def within(self, since: dt.date, until: dt.date) -> tuple[tuple[Booked, ...], list[Paid]]:
        """Those of a span of days, both included."""
        chosen = [one for one in self.invoices.values() if since <= one.issued <= until]
        paid = [one for one in self.payments if since <= one.date <= until]
        return booked(chosen, self.invoices), paid


def books(session: Session) -> Books:
    """Read them all; a final invoice needs those it deducts."""
    rows = Invoices(session).all()
    clients = {row.name: row.client for row in rows}
    by_job = {row.job_id: row.client for row in rows if row.job_id}
    payments = tuple(
        Paid(
            p.date, p.amount, p.currency, p.means, p.invoice,
            clients.get(p.invoice) or by_job.get(p.job_id or "", ""), p.reference,
        )
        for p in Payments(session).all()
    )  # fmt: skip
    return Books({row.name: read(row.content) for row in rows}, tuple(rows), payments)


def studio_text(session: Session) -> str:
    """The studio's settings as text."""
    return StudioFile(session).get()[0]


def open_lines(
    session: Session, today: dt.date, remind: Reminding
) -> tuple[list[InvoiceLine], list[Ledger]]:
    """What is due over all jobs, the latest first, and the ledgers it comes from."""
    rows = Invoices(session).all()
    lines: list[tuple[int, InvoiceLine]] = []
    ledgers = []
    for job_id in dict.fromkeys(row.job_id for row in rows if row.job_id):
        job = Jobs(session).get(job_id)
        found = money_of(session, job)
        ledgers.append(found.ledger)
        waiting = {a.receivable.number for a in found.ledger.accounts if a.open > 0}
        lines += [
            (line.late, line)
            for line in invoice_lines(found, today, remind, job)
            if line.number in waiting
        ]
    return [line for _, line in sorted(lines, key=lambda pair: -pair[0])], ledgers


def ages(ledgers: Iterable[Ledger], today: dt.date) -> tuple[tuple[str, tuple[AgeLine, ...]], ...]:
    """What is due by age, one table a currency."""
    held: dict[str, list[Ledger]] = {}
    for ledger in ledgers:
        held.setdefault(ledger.currency, []).append(ledger)
    return tuple(
        (
            code,
            tuple(
                AgeLine(age[:1].upper() + age[1:], money(amount, code))
                for age, amount in by_age(own, today).items()
            ),
        )
        for code, own in sorted(held.items())
    )


def period_lines(sums: Iterable[PeriodSum]) -> tuple[PeriodLine, ...]:
    """Months or years as they stand on the page."""
    return tuple(
        PeriodLine(
            period=one.period,
            net=money(one.net, one.currency),
            tax=money(one.tax, one.currency),
            taxes=tuple(
                (words, money(net, one.currency), money(tax, one.currency))
                for words, net, tax in one.taxes
            ),
            received=money(one.received, one.currency),
        )
        for one in sums
    )
