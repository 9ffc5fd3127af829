"""Issuing an invoice: tried without a number, then numbered and kept, then made into files."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy.orm import Session

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.desk.job_money import credited, new_invoice
from airwright.job.business import series_of
from airwright.job.models import Job
from airwright.job.studio import Studio
from airwright.language import message, say, speaking
from airwright.language.figures import said_date
from airwright.money.amount import MoneyError
from airwright.money.invoices import InvoiceKind, InvoiceSums
from airwright.money.payment_plan import Anchor, day_of_part
from airwright.papers.edition import Edition, OfferedOption
from airwright.papers.edition import read as read_edition
from airwright.papers.invoice import (
    Dates,
    EarlierInvoice,
    Invoice,
    Occasion,
    credit_for,
    credit_of,
    file_name,
    invoice_of,
    read,
    render_pdf,
    render_ubl,
    sums_for,
    why_not,
)
from airwright.store.editions import Editions, FrozenFile
from airwright.store.invoices import Invoices
from airwright.store.jobs import Jobs
from airwright.store.offer_tables import Acceptance, EditionRow, InvoiceRow
from airwright.store.studio import StudioFile

TRIAL = "TRIAL-0000"


@dataclass(frozen=True, slots=True)
class Agreed:
    """What an invoice rests on."""

    row: EditionRow
    yes: Acceptance
    edition: Edition
    option: OfferedOption

    @property
    def words(self) -> str:
        """ "Edition 2 of March 3, 2027, accepted by Mara Quay on March 5, 2027"."""
        with speaking(self.edition.language):
            return say(
                message(
                    "Edition {n} of {made}, accepted by {name} on {day}.",
                    n=self.edition.number,
                    made=said_date(self.edition.made, "long"),
                    name=self.yes.name,
                    day=said_date(self.yes.at.date(), "long"),
                )
            )


def agreed_of(session: Session, job_id: str) -> Agreed | None:
    """The newest accepted edition of a job and its option."""
    found = Editions(session).accepted_of(job_id)
    if found is None:
        return None
    edition = read_edition(found[0].content)
    option = edition.option(found[1].option)
    return None if option is None else Agreed(found[0], found[1], edition, option)


def issue(context: RequestContext, job_id: str, kind: InvoiceKind, gross: Decimal | None,
          key: str) -> str:  # fmt: skip
    """Issue an invoice on what was agreed; its number. Raises EditError."""
    today = context.desk.settings.today()
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        agreed = agreed_of(session, job_id)
        rows = Invoices(session).of_job(job_id)
    if agreed is None:
        raise EditError(
            message("Nothing was accepted yet, so there is nothing to invoice."),
            message("Send the offer, or note the client's yes on the offer page."),
        )
    _refuse_second_final(rows)
    job, studio = evaluation.job, evaluation.studio
    if job is None:
        raise EditError(
            message("The file cannot be read as it stands."), message("Fix it under File first.")
        )

    def document(earlier_rows: Sequence[InvoiceRow], number: str) -> Invoice:
        earlier = earlier_of(earlier_rows)
        try:
            sums = sums_for(kind, agreed.edition, agreed.option, gross=gross, earlier=earlier)
        except MoneyError as problem:
            raise EditError(problem.what, problem.mend) from problem
        shown = earlier if kind is InvoiceKind.FINAL else ()
        parts = sum(row.kind == "instalment" for row in earlier_rows)
        due = due_day(kind, agreed, parts, row.date, today, studio.business.payment_days)
        return _document(sums, job, studio, agreed, Dates(number, today, due), shown)

    tried = document(rows, TRIAL)
    _try(tried)
    with context.writing() as session:
        Jobs(session).get(job_id, locked=True)  # one invoice of a job at a time
        now_rows = Invoices(session).of_job(job_id)
        again = next((one for one in now_rows if one.key == key), None)
        if again is not None:
            return again.name
        _refuse_second_final(now_rows)
        final = document(now_rows, TRIAL)
        kept = Invoices(session).issue(
            new_invoice(
                final,
                series_of(studio.business.invoice_prefix, today.year),
                key,
                lambda number: document(now_rows, number),
                job_id,
                agreed.row.id,
            ),
            context.actor.name,
        )
        name = kept.name
    files_of(context, name)
    return name


def credit(context: RequestContext, job_id: str, name: str, what: str, gross: Decimal | None,
           key: str) -> str:  # fmt: skip
    """Credit an invoice, or a part of it; the credit note's number. Raises EditError."""
    today = context.desk.settings.today()
    with context.reading() as session:
        row = Invoices(session).get(name)
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
    invoice = read(row.content)
    if row.job_id != job_id or invoice.is_credit:
        raise EditError(
            message("Only an invoice can be credited."), message("Pick one of the list.")
        )
    before = EarlierInvoice(number=name, issued=row.issued, gross=row.owed)

    def document(number: str) -> Invoice:
        try:
            sums = credit_for(invoice, what or message("Credit"), gross)
        except MoneyError as problem:
            raise EditError(problem.what, problem.mend) from problem
        return credit_of(invoice, sums, studio, Dates(number, today, today), before, what)

    tried = document(TRIAL)
    _try(tried)
    with context.writing() as session:
        Jobs(session).get(job_id, locked=True)
        rows = Invoices(session).of_job(job_id)
        again = next((one for one in rows if one.key == key), None)
        if again is not None:
            return again.name
        left = row.owed - credited(rows, name)
        if tried.sums.due > left:
            raise EditError(
                message("Only {left} of {name} are not credited yet.", left=f"{left:f}", name=name),
                message("Credit that or less."),
            )
        kept = Invoices(session).issue(
            new_invoice(
                tried,
                series_of(studio.business.credit_prefix, today.year),
                key,
                document,
                job_id,
                row.edition_id,
            ),
            context.actor.name,
        )
        number = kept.name
    files_of(context, number)
    return number


def earlier_of(rows: Sequence[InvoiceRow]) -> tuple[EarlierInvoice, ...]:
    """Deposits and parts asked before that stand, wholly or after a credit in part."""
    found = []
    for row in rows:
        if row.kind in ("deposit", "instalment"):
            left = row.owed - credited(rows, row.name)
            if left > 0:
                found.append(EarlierInvoice(number=row.name, issued=row.issued, gross=left))
    return tuple(found)


def _refuse_second_final(rows: Sequence[InvoiceRow]) -> None:
    for row in rows:
        if row.kind == "final" and row.owed - credited(rows, row.name) > 0:
            raise EditError(
                message("The final invoice {name} stands already.", name=row.name),
                message("Credit it first to issue another."),
            )


def _document(
    sums: InvoiceSums,
    job: Job,
    studio: Studio,
    agreed: Agreed,
    dates: Dates,
    earlier: Sequence[EarlierInvoice],
) -> Invoice:
    about = Occasion(
        title=job.job.title,
        client=job.job.client,
        event=job.job.date,
        bill=job.billing,
        agreed=agreed.words,
        fingerprint=agreed.row.fingerprint,
        invented=agreed.edition.invented,
    )
    return invoice_of(sums, about, studio, dates, earlier=earlier)


def agreed_days(agreed: Agreed, event: dt.date | None) -> tuple[dt.date | None, ...]:
    """The days of deposit, instalments and balance as agreed; None where the event has none."""
    day, accepted = agreed.edition.date or event, agreed.yes.at.date()
    return tuple(
        day_of_part(Anchor(due.anchor), due.days, accepted=accepted, event=day)
        for due in agreed.option.dues
    )


def due_day(
    kind: InvoiceKind,
    agreed: Agreed,
    parts: int,
    event: dt.date | None,
    today: dt.date,
    payment_days: int,
) -> dt.date:
    """When an invoice is due: on the agreed day, or some days from today where that is sooner.

    Args:
        kind, agreed: which invoice, on what.
        parts: instalments asked before.
        event: the day of the event, as the job has it now.
        today, payment_days: the studio's usual term counts from today.
    """
    usual = today + dt.timedelta(days=payment_days)
    days = agreed_days(agreed, event)
    at = {InvoiceKind.DEPOSIT: 0, InvoiceKind.FINAL: len(days) - 1}.get(kind, 1 + parts)
    day = days[at] if 0 <= at < len(days) else None
    return usual if day is None or day <= today else day


def _try(invoice: Invoice) -> None:
    """Make the files once without keeping them: what cannot be made gets no number."""
    try:
        render_pdf(invoice)
        if not why_not(invoice):
            render_ubl(invoice)
    except ValueError as problem:
        what = message("The invoice cannot be made: {problem}", problem=str(problem))
        raise EditError(what, message("Complete the billing details.")) from problem


def files_of(context: RequestContext, number: str, kind: str = "pdf") -> FrozenFile:
    """A file of an invoice, made from what was kept if nobody has made it yet."""
    with context.writing() as session:
        row = Invoices(session).get(number)
        invoice = read(row.content)
        if kind == "xml" and why_not(invoice):
            raise EditError(why_not(invoice), message("The PDF is the invoice."))
        found = Invoices(session).file(row, file_name(invoice, kind), _maker(kind))
        return FrozenFile(found.name, found.media, found.content)


def _maker(kind: str) -> Callable[[bytes], FrozenFile]:
    def make(content: bytes) -> FrozenFile:
        invoice = read(content)
        paper = render_pdf(invoice) if kind == "pdf" else render_ubl(invoice)
        media = "application/pdf" if kind == "pdf" else "application/xml"
        return FrozenFile(paper.path, media, paper.data)

    return make
