"""The invoice of a job file, without a desk."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from airwright.cli import common
from airwright.cli.common import AsJson, JobFile, StudioFile

if TYPE_CHECKING:
    from airwright.job.models import Job
    from airwright.money.invoices import InvoiceKind
    from airwright.papers.edition import Edition, OfferedOption
    from airwright.papers.invoice import EarlierInvoice, Occasion

KINDS = ("deposit", "instalment", "final")


def register(app: typer.Typer) -> None:
    """Add this command."""
    app.command(short_help="Write a job's invoice: PDF with its data inside, and XML.")(invoice)


def invoice(
    file: JobFile,
    number: Annotated[str, typer.Option("--number", help="Its number: INV-2027-0001.")],
    kind: Annotated[str, typer.Option(help="deposit, instalment or final.")] = "final",
    option: Annotated[
        str | None, typer.Option(help="The option that was agreed; the chosen one if left out.")
    ] = None,
    amount: Annotated[
        str | None, typer.Option(help="Amount with tax of a deposit or instalment.")
    ] = None,
    earlier: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NUMBER=AMOUNT@DAY", help="An earlier invoice that the final one takes off."
        ),
    ] = None,
    due: Annotated[
        str | None, typer.Option(help="Day due; the studio's usual if left out.")
    ] = None,
    studio: StudioFile = None,
    out: Annotated[Path, typer.Option("--out", help="Folder it is written into.")] = Path(),
    as_json: AsJson = False,
) -> None:
    """Write a job's invoice as the desk would; here you keep count of the numbers yourself."""
    from airwright.money.amount import MoneyError
    from airwright.papers.edition import edition_of
    from airwright.papers.invoice import (
        Dates,
        invoice_of,
        render_pdf,
        render_ubl,
        sums_for,
        why_not,
    )

    house = common.load_studio(studio, file)
    plan, _ = common.planned(file, house, as_json)
    job, today = plan.job, common.today()
    edition = edition_of(plan, 1, today)
    agreed = _option(edition, option or job.job.chosen)
    if not re.fullmatch(r"[\w./-]{1,40}", number):
        common.usage_error(f'"{number[:40]}" is no number.', "Write one like INV-2027-0001.")
    before = tuple(_earlier(text, edition.currency, today) for text in earlier or ())
    days = dt.timedelta(days=house.business.payment_days)
    last = today + days if due is None else _day(due)
    try:
        which = _kind(kind)
        gross = None if amount is None else _amount(amount, edition.currency)
        sums = sums_for(which, edition, agreed, gross=gross, earlier=before)
    except MoneyError as problem:
        common.usage_error(problem.what, problem.mend)
    made = invoice_of(
        sums, _about(job, edition), house, Dates(number, today, last),
        earlier=before if which.value == "final" else (),
    )  # fmt: skip
    papers = [render_pdf(made)] + ([] if why_not(made) else [render_ubl(made)])
    written = _write(out, [(paper.path, paper.data) for paper in papers])
    if as_json:
        sums_said = made.sums.model_dump(mode="json", exclude={"groups"})
        told = {
            "files": [str(path) for path in written],
            "currency": made.currency,
            **sums_said,
            "electronic": not why_not(made),
            "why_not": why_not(made),
        }
        common.put_json(told)
        return
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
            f'"{word[:20]}" is no kind of invoice.', f"Use one of {', '.join(KINDS)}."
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
