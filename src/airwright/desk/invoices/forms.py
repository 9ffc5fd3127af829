"""What this area's forms may say."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.money.amount import MoneyError
from airwright.money.invoices import InvoiceKind
from airwright.money.reading import read_money
from airwright.store.payments import MEANS

KIND_WORDS = {
    "deposit": message("Deposit invoice"),
    "instalment": message("Part invoice"),
    "final": message("Final invoice"),
    "credit note": message("Credit note"),
}
MEANS_WORDS = {
    "transfer": message("Bank transfer"),
    "card": message("Card"),
    "cash": message("Cash"),
    "cheque": message("Cheque"),
    "other": message("Other"),
}
BILLING_WORDS = {
    "name": message("Name on the invoice"),
    "street": message("Street and number"),
    "postcode": message("Postal code"),
    "city": message("Town"),
    "country": message("Country, two letters"),
    "vat_number": message("VAT number"),
    "mail": message("Mail address"),
    "reference": message("Their reference"),
}
FIELDS = ("kind", "amount", "date", "means", "invoice", "reference", "back", "surely")


def kind_of(context: RequestContext) -> InvoiceKind:
    """Which invoice is asked for. Raises EditError."""
    for kind in (InvoiceKind.DEPOSIT, InvoiceKind.INSTALMENT, InvoiceKind.FINAL):
        if context.text("kind") == kind.value:
            return kind
    raise EditError(
        message("There is no such invoice."), message("Pick deposit, part or final invoice.")
    )


def amount_of(context: RequestContext, currency: str, *, needed: bool) -> Decimal | None:
    """An amount of the form, None where nothing is written and nothing needs to be."""
    text = context.text("amount", 40)
    if not text and not needed:
        return None
    try:
        return read_money(text, currency, least=Decimal("0.001")).number
    except MoneyError as problem:
        raise EditError(problem.what, problem.mend) from problem


def day_of(context: RequestContext, today: dt.date) -> dt.date:
    """A day of the form, today where none is given. Raises EditError."""
    text = context.text("date", 20)
    if not text:
        return today
    try:
        found = dt.date.fromisoformat(text)
    except ValueError as problem:
        raise EditError(
            message('"{text}" is no date.', text=text), message('Write it like "2027-05-22".')
        ) from problem
    if found > today:
        raise EditError(
            message("This day is still to come."), message("Book a payment once it is here.")
        )
    if found < today - dt.timedelta(days=3660):
        raise EditError(message("This day is more than ten years ago."), message("Check the year."))
    return found


def means_of(context: RequestContext) -> str:
    """How the money came."""
    wanted = context.text("means", 20)
    return wanted if wanted in MEANS else "other"


def key_of(context: RequestContext) -> str:
    """The form's own number; the same form sent twice counts once. Raises EditError."""
    key = context.text("key", 64)
    if not re.fullmatch(r"[\w-]{8,64}", key):
        raise EditError(message("This form is not one of ours."), message("Load the page again."))
    return key


def span_of(first: str, last: str, today: dt.date) -> tuple[dt.date, dt.date]:
    """A span of days for an export: this year where nothing is said. Raises EditError."""
    try:
        since = dt.date.fromisoformat(first) if first else dt.date(today.year, 1, 1)
        until = dt.date.fromisoformat(last) if last else today
    except ValueError as problem:
        raise EditError(
            message("This is no date."), message('Write it like "2027-05-22".')
        ) from problem
    if since > until:
        raise EditError(message("The first day is after the last."), message("Swap them."))
    return since, until
