"""The invoice of a job file, without a desk."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from airwright.cli import common
from airwright.cli.common import AsJson, JobFile, StudioFile

if TYPE_CHECKING:
    from airwright.cli.invoice_book import Issued
    from airwright.job.models import Job
    from airwright.job.studio import Studio
    from airwright.money.invoices import InvoiceKind
    from airwright.papers.edition import Edition, OfferedOption
    from airwright.papers.invoice import Dates, EarlierInvoice, Invoice, Occasion

KINDS = ("deposit", "instalment", "final")


def register(app: typer.Typer) -> None:
    """Add this command."""
    app.command(short_help="Write a job's invoice: PDF with its data inside, and XML.")(invoice)


def invoice(
    file: JobFile,
    number: Annotated[
        str | None,
        typer.Option("--number", help="Its number, where you keep count yourself: INV-2027-0001."),
    ] = None,
    book: Annotated[
        Path | None,
        typer.Option("--book", help="File that gives the numbers and keeps what was issued."),
    ] = None,
    kind: Annotated[str, typer.Option(help="deposit, instalment, final or credit.")] = "final",
    option: Annotated[
        str | None, typer.Option(help="The option that was agreed; the chosen one if left out.")
    ] = None,
    amount: Annotated[
        str | None,
        typer.Option(help="Amount with tax of a deposit, an instalment, or a credit in part."),
    ] = None,
    of: Annotated[
        str | None, typer.Option("--of", help="The invoice of the book that is credited.")
    ] = None,
    reason: Annotated[str, typer.Option(help="Why it is credited.")] = "",
    earlier: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NUMBER=AMOUNT@DAY",
            help="An earlier invoice that the final one takes off; the book knows its own.",
        ),
    ] = None,
    due: Annotated[
        str | None, typer.Option(help="Day due; the studio's usual if left out.")
    ] = None,
    studio: StudioFile = None,
    out: Annotated[Path, typer.Option("--out", help="Folder it is written into.")] = Path(),
    as_json: AsJson = False,
) -> None:
    """Write a job's invoice or credit note as the desk would.

    With --book the number is given from that file, without gaps, and what was issued is kept in
    it; the same command again writes the same invoice again. With --number you keep count
    yourself.
    """
    if (number is None) == (book is None):
        common.usage_error(
            "It is not said where the number comes from.",
            "Name a file with --book, or the number itself with --number.",
        )
    if number is not None and not re.fullmatch(r"[\w./-]{1,40}", number):
        common.usage_error(f'"{number[:40]}" is no number.', "Write one like INV-2027-0001.")
    order = _Order(file, kind, option, amount, of, reason, tuple(earlier or ()), due)
    house = common.load_studio(studio, file)
    if kind == "credit":
        issued = _credit(order, book, house)
    else:
        issued = _asked(order, number, book, house, as_json)
    _tell(issued, out, as_json)


@dataclass(frozen=True, slots=True)
class _Order:
    """What was typed."""

    file: Path
    kind: str
    option: str | None
    amount: str | None
    of: str | None
    reason: str
    earlier: tuple[str, ...]
    due: str | None


def _asked(
    order: _Order, number: str | None, book: Path | None, house: Studio, as_json: bool
) -> Issued:
    """A deposit, part or final invoice."""
    from airwright.cli import invoice_book
    from airwright.job.business import series_of
    from airwright.papers.edition import edition_of
    from airwright.papers.invoice import Dates

    plan, _ = common.planned(order.file, house, as_json)
    job, today = plan.job, common.today()
    edition = edition_of(plan, 1, today)
    agreed = _option(edition, order.option or job.job.chosen)
    named = tuple(_earlier(text, edition.currency, today) for text in order.earlier)
    days = dt.timedelta(days=house.business.payment_days)
    last = today + days if order.due is None else _day(order.due)
    which = _kind(order.kind)
    if book is None:
        assert number is not None
        made = _made(order, which, edition, agreed, job, house, named, Dates(number, today, last))
        return invoice_book.Issued(made, invoice_book.files_of(made))
    series = series_of(house.business.invoice_prefix, today.year)
    # The numbers it takes off follow from the book, so they are no part of what was asked for.
    key = invoice_book.order_key(
        job.job.title, job.job.date, order.kind, agreed.name, agreed.total, order.amount, order.due
    )
    with invoice_book.opened(book) as session:
        before = named or invoice_book.asked_before(session, job.job.title, job.job.date)
        return invoice_book.issue(
            session, series, key,
            lambda name: _made(
                order, which, edition, agreed, job, house, before, Dates(name, today, last)
            ),
        )  # fmt: skip


def _made(
    order: _Order,
    which: InvoiceKind,
    edition: Edition,
    agreed: OfferedOption,
    job: Job,
    house: Studio,
    before: tuple[EarlierInvoice, ...],
    dates: Dates,
) -> Invoice:
    from airwright.money.amount import MoneyError
    from airwright.papers.invoice import invoice_of, sums_for

    try:
        gross = None if order.amount is None else _amount(order.amount, edition.currency)
        sums = sums_for(which, edition, agreed, gross=gross, earlier=before)
    except MoneyError as problem:
        common.usage_error(problem.what, problem.mend)
    return invoice_of(
        sums, _about(job, edition), house, dates,
        earlier=before if which.value == "final" else (),
    )  # fmt: skip


def _credit(order: _Order, book: Path | None, house: Studio) -> Issued:
    """A credit note on an invoice of the book."""
    from airwright.cli import invoice_book
    from airwright.job.business import series_of
    from airwright.money.amount import MoneyError
    from airwright.papers.invoice import Dates, credit_for, credit_of

    if book is None or not order.of or not order.reason:
        common.usage_error(
            "A credit note needs the book, the invoice and a reason.",
            'Write --book FILE --of INV-2027-0001 --reason "One column less".',
        )
    today = common.today()
    series = series_of(house.business.credit_prefix, today.year)
    key = invoice_book.order_key("credit", order.of, order.amount, order.reason)
    with invoice_book.opened(book) as session:
        asked, before, left = invoice_book.to_credit(session, order.of)
        try:
            gross = None if order.amount is None else _amount(order.amount, asked.currency)
            sums = credit_for(asked, order.reason, gross)
        except MoneyError as problem:
            common.usage_error(problem.what, problem.mend)
        known = invoice_book.is_known(session, key)
        if not known and sums.totals.due > left:
            common.usage_error(
                f"Only {left:f} of {order.of} are not credited yet.", "Credit that or less."
            )
        return invoice_book.issue(
            session, series, key,
            lambda name: credit_of(
                asked, sums, house, Dates(name, today, today), before, order.reason
            ),
        )  # fmt: skip


def _tell(issued: Issued, out: Path, as_json: bool) -> None:
    """Write the files and say what was done."""
    from airwright.papers.invoice import why_not

    made, again = issued.invoice, issued.again
    written = _write(out, list(issued.files))
    if as_json:
        told = {
            "number": made.number,
            "issued_before": again,
            "files": [str(path) for path in written],
            "currency": made.currency,
            **made.sums.model_dump(mode="json", exclude={"groups"}),
            "electronic": not why_not(made),
            "why_not": why_not(made),
        }
        common.put_json(told)
        return
    if again:
        typer.echo(f"{made.number} was issued by this command before; it is written again.")
    for path in written:
        typer.echo(f"Wrote {path}")
    if why_not(made):
        typer.echo(why_not(made))


def _about(job: Job, edition: Edition) -> Occasion:
    from airwright.papers.invoice import Occasion

    return Occasion(job.job.title, job.job.client, job.job.date, job.billing,
                    invented=edition.invented)  # fmt: skip


def _option(edition: Edition, name: str | None) -> OfferedOption:
    if name is None and len(edition.options) == 1:
        return edition.options[0]
    names = ", ".join(f'"{option.name}"' for option in edition.options)
    found = edition.option(name) if name is not None else None
    if found is None:
        what = "It is not said which option was agreed." if name is None else (
            f'There is no option "{name[:60]}".'
        )  # fmt: skip
        common.usage_error(what, f"Name it with --option: {names}.")
    return found


def _kind(word: str) -> InvoiceKind:
    from airwright.money.invoices import InvoiceKind

    if word not in KINDS:
        common.usage_error(
            f'"{word[:20]}" is no kind of invoice.', f"Use one of {', '.join(KINDS)} or credit."
        )
    return InvoiceKind(word)


def _amount(text: str, currency: str) -> Decimal:
    from airwright.money.reading import read_money

    return read_money(text, currency, least=Decimal("0.001")).number


def _earlier(text: str, currency: str, today: dt.date) -> EarlierInvoice:
    from airwright.money.amount import MoneyError
    from airwright.papers.invoice import EarlierInvoice

    number, sign, rest = text.partition("=")
    amount, _, day = rest.partition("@")
    if not sign or not number.strip():
        common.usage_error(
            f'"{text[:40]}" names no invoice.', "Write INV-2027-0001=240.00@2027-03-03."
        )
    try:
        gross = _amount(amount, currency)
    except MoneyError as problem:
        common.usage_error(problem.what, problem.mend)
    issued = _day(day) if day else today
    return EarlierInvoice(number=number.strip(), issued=issued, gross=gross)


def _day(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        common.usage_error(f'"{text[:20]}" is no date.', "Write it like 2027-05-22.")


def _write(out: Path, files: list[tuple[str, bytes]]) -> list[Path]:
    from airwright.job.writing import write_atomically

    written = []
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name, data in files:
            path = out / name
            if path.exists() and path.read_bytes() != data:
                common.usage_error(
                    f"{path} is there already and says something else.",
                    "An issued invoice is never changed: use the next number, or another folder.",
                )
            write_atomically(path, data)
            written.append(path)
    except OSError as problem:
        common.usage_error(f"{out} cannot be written: {problem.strerror}.", "Name another folder.")
    return written
