"""Addresses of invoices and payments."""

from __future__ import annotations

import datetime as dt
from typing import Annotated
from urllib.parse import quote

import tomlkit
from fastapi import APIRouter, Query
from pydantic import ValidationError
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByOwner, RequestContext
from airwright.desk.editing.edits import EditError
from airwright.desk.editing.tables import document_of
from airwright.desk.invoices import forms, issuing, service
from airwright.desk.invoices.contexts import DueLine, JobMoneyPage, MoneyPage
from airwright.desk.job_changes import rewrite
from airwright.desk.job_money import money_of
from airwright.desk.page_heads import job_bar
from airwright.desk.pages import money, render
from airwright.job.business import Billing, series_of
from airwright.language import message
from airwright.money.amount import MoneyError
from airwright.papers.books import invoices_csv, journal, payments_csv, summary
from airwright.papers.invoice.electronic import VAT_AREA
from airwright.store import StoreError
from airwright.store.jobs import Jobs
from airwright.store.mails import DRAFT, Mails
from airwright.store.payments import BookedTwice, NewPayment, Payments
from airwright.store.tables import JobRow
from airwright.store.types import new_id

router = APIRouter()


@router.get("/jobs/{job_id}/money")
def job_money(job_id: str, context: ByOwner) -> Response:
    """What was agreed, asked and paid."""
    return _page(job_id, context)


def _page(
    job_id: str, context: RequestContext, wrong: tuple[str, str] | None = None, status: int = 200
) -> Response:
    today = context.desk.settings.today()
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        found = money_of(session, row)
        agreed = issuing.agreed_of(session, job_id)
        remind = service.reminding(session, evaluation.studio.mail)
        invoices = service.invoice_lines(found, today, remind)
    code, studio = found.ledger.currency, evaluation.studio
    bill = evaluation.job.billing if evaluation.job else Billing()
    deposit = agreed.option.deposit if agreed else None
    billed = wrong is not None and "street" in context.form  # refused: what was typed stays
    page = JobMoneyPage(
        job=job_bar(row, "money"),
        currency=code,
        agreed=f"{agreed.option.name}: {agreed.words}" if agreed else "",
        total=money(agreed.option.total, code) if agreed else "",
        dues=_dues(agreed, row) if agreed else (),
        invoices=invoices,
        payments=service.payment_lines(found.payments),
        invoiced=money(found.invoiced, code),
        received=money(found.received, code),
        open=money(found.ledger.open, code),
        unplaced=money(found.ledger.unplaced, code) if found.ledger.unplaced else "",
        billing=tuple(
            (name, words, context.text(name, 200) if billed else str(getattr(bill, name)))
            for name, words in forms.BILLING_WORDS.items()
        ),
        series_note=series_of(studio.business.invoice_prefix, today.year),
        plain_because=""
        if studio.business.country in VAT_AREA
        else message("Outside the European VAT area invoices are plain PDFs."),
        deposit=f"{deposit:f}" if deposit else "",
        next_kind="final"
        if any(line.kind == "Deposit invoice" for line in invoices)
        else "deposit",
        today=today,
        means=tuple(forms.MEANS_WORDS.items()),
        key=new_id(),
        wrong=wrong,
        typed={
            name: context.text(name, 200) if wrong and not billed else "" for name in forms.FIELDS
        },
    )
    return render(context, page, status=status)


def _dues(agreed: issuing.Agreed, row: JobRow) -> tuple[DueLine, ...]:
    code, days = agreed.edition.currency, issuing.agreed_days(agreed, row.date)
    return tuple(
        DueLine(due.what, money(due.amount, code), day)
        for due, day in zip(agreed.option.dues, days, strict=True)
    )


def _back(job_id: str) -> Response:
    return RedirectResponse(f"/jobs/{job_id}/money?said=saved", 303)


@router.post("/jobs/{job_id}/invoices")
def issue(job_id: str, context: ByOwner) -> Response:
    """Issue an invoice on what was agreed."""
    try:
        with context.reading() as session:
            agreed = issuing.agreed_of(session, job_id)
        code = agreed.edition.currency if agreed else "USD"
        kind, key = forms.kind_of(context), forms.key_of(context)
        gross = forms.amount_of(context, code, needed=kind.value == "instalment")
        issuing.issue(context, job_id, kind, gross if kind.value != "final" else None, key)
    except EditError as problem:
        return _page(job_id, context, (problem.what, problem.mend), 422)
    return _back(job_id)


@router.post("/jobs/{job_id}/invoices/{number}/credit")
def credit(job_id: str, number: str, context: ByOwner) -> Response:
    """Credit an invoice, or a part of it."""
    try:
        with context.reading() as session:
            code = money_of(session, Jobs(session).get(job_id)).ledger.currency
        gross = forms.amount_of(context, code, needed=False)
        issuing.credit(
            context, job_id, number, context.text("reason", 200), gross, forms.key_of(context)
        )
        with context.writing() as session:
            service.follow(session, job_id, context.desk.settings.today())
    except EditError as problem:
        return _page(job_id, context, (problem.what, problem.mend), 422)
    return _back(job_id)


@router.get("/jobs/{job_id}/invoices/{number}/{kind}")
def file(job_id: str, number: str, kind: str, context: ByOwner) -> Response:
    """An invoice as PDF or UBL."""
    if kind not in ("pdf", "xml"):
        raise EditError(message("There is no such file."), message("Take the PDF or the XML."))
    found = issuing.files_of(context, number, kind)
    head = {"content-disposition": f"inline; filename*=UTF-8''{quote(found.name)}"}
    return Response(found.content, media_type=found.media, headers=head)


@router.post("/jobs/{job_id}/payments")
def pay(job_id: str, context: ByOwner) -> Response:
    """Book money that came in, or went back."""
    today = context.desk.settings.today()
    try:
        with context.reading() as session:
            found = money_of(session, Jobs(session).get(job_id))
        code = found.ledger.currency
        amount = forms.amount_of(context, code, needed=True)
        assert amount is not None
        new = NewPayment(
            key=forms.key_of(context),
            amount=-amount if context.text("back") == "yes" else amount,
            currency=code,
            date=forms.day_of(context, today),
            means=forms.means_of(context),
            invoice=context.text("invoice", 48),
            reference=context.text("reference", 140),
            job_id=job_id,
        )
        if new.invoice and new.invoice not in [row.name for row in found.rows]:
            raise EditError(
                message('There is no invoice "{invoice}" in this job.', invoice=new.invoice),
                message("Pick one."),
            )
        with context.writing() as session:
            Jobs(session).get(job_id, locked=True)
            surely = context.text("surely") == "yes"
            Payments(session).book(new, context.actor.name, surely=surely)
            service.follow(session, job_id, today)
    except (EditError, BookedTwice, MoneyError) as problem:
        return _page(job_id, context, (problem.what, problem.mend), 422)
    return _back(job_id)


@router.post("/jobs/{job_id}/payments/{payment_id}/back")
def take_back(job_id: str, payment_id: str, context: ByOwner) -> Response:
    """A payment was a slip: a row of its own takes it back."""
    today = context.desk.settings.today()
    try:
        with context.writing() as session:
            Payments(session).take_back(payment_id, context.actor.name, today)
            service.follow(session, job_id, today)
    except StoreError as problem:
        return _page(job_id, context, (problem.what, problem.mend), 422)
    return _back(job_id)


@router.post("/jobs/{job_id}/billing")
def billing(job_id: str, context: ByOwner) -> Response:
    """Whom the invoice goes to."""
    fields = {name: context.text(name, 200) for name in forms.BILLING_WORDS}

    def write(text: str) -> str:
        document = document_of(text)
        table = tomlkit.table()
        for name, value in fields.items():
            if value:
                table[name] = value
        document.pop("billing", None)
        if fields and any(fields.values()):
            document["billing"] = table
        return tomlkit.dumps(document)

    try:
        Billing.model_validate({name: value for name, value in fields.items() if value})
    except ValidationError as problem:
        said = problem.errors()[0].get("ctx", {})
        wrong = (str(said.get("what", "This does not fit.")), str(said.get("mend", "Check it.")))
        return _page(job_id, context, wrong, 422)
    rewrite(context.desk, context.actor, job_id, write, message("Billing details"))
    return _back(job_id)


@router.get("/money")
def studio_money(context: ByOwner) -> Response:
    """What is due over all jobs, by age; what was invoiced, by month and year."""
    today = context.desk.settings.today()
    with context.reading() as session:
        studio = context.desk.builder.studio(service.studio_text(session))
        remind = service.reminding(session, studio.mail)
        lines, ledgers = service.open_lines(session, today, remind)
        drafts = Mails(session).count(DRAFT)
        held = service.books(session)
    everything, paid = held.within(dt.date.min, dt.date.max)
    page = MoneyPage(
        open=tuple(lines),
        ages=service.ages(ledgers, today),
        months=service.period_lines(summary(everything, paid, "month")[:24]),
        years=service.period_lines(summary(everything, paid, "year")),
        first=f"{today.year}-01-01",
        last=today.isoformat(),
        drafts=drafts,
    )
    return render(context, page)


@router.get("/money/{what}")
def export(
    what: str,
    context: ByOwner,
    first: Annotated[str, Query(max_length=10)] = "",
    last: Annotated[str, Query(max_length=10)] = "",
) -> Response:
    """Books of a span of days: invoices.csv, payments.csv or journal.txt."""
    since, until = forms.span_of(first, last, context.desk.settings.today())
    with context.reading() as session:
        held = service.books(session)
        studio = context.desk.builder.studio(service.studio_text(session))
    invoices, paid = held.within(since, until)
    makers = {
        "invoices.csv": lambda: invoices_csv(invoices),
        "payments.csv": lambda: payments_csv(paid),
        "journal.txt": lambda: journal(invoices, paid, studio.studio.name),
    }
    if what not in makers:
        raise EditError(
            message("There is no such export."),
            message("Take invoices.csv, payments.csv, journal.txt."),
        )
    media = "text/csv; charset=utf-8" if what.endswith(".csv") else "text/plain; charset=utf-8"
    name = f"{what.split('.')[0]}-{since}-{until}.{what.split('.')[1]}"
    context.log_export(name)
    head = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(makers[what](), media_type=media, headers=head)
