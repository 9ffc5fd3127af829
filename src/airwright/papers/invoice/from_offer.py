"""Sums of an invoice from what was agreed."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from airwright.language import known_language, message, say
from airwright.money.amount import ZERO, MoneyError
from airwright.money.invoices import (
    Earlier,
    InvoiceKind,
    InvoiceSums,
    credit_note,
    final_invoice,
    part_invoice,
)
from airwright.money.lines import Line, LineKind
from airwright.money.tax import Tax, TaxBasis, TaxCategory
from airwright.money.totals import Adjustment, totals
from airwright.papers.edition import Edition, OfferedOption
from airwright.papers.invoice.model import EarlierInvoice, Invoice, TaxWords

PARTS = (InvoiceKind.DEPOSIT, InvoiceKind.INSTALMENT)


def sums_for(
    kind: InvoiceKind,
    edition: Edition,
    option: OfferedOption,
    *,
    gross: Decimal | None = None,
    earlier: Sequence[EarlierInvoice] = (),
) -> InvoiceSums:
    """What an invoice asks for.

    Args:
        kind: deposit, instalment or final.
        edition, option: what was agreed.
        gross: of a part, tax included; the agreed deposit where nothing is said.
        earlier: parts asked before: deducted from a final invoice.

    Raises:
        MoneyError: more than what is left, or nothing.
    """
    asked = sum((one.gross for one in earlier), ZERO)
    whole = edition.totals(option)
    if kind is InvoiceKind.FINAL:
        if asked > option.total:
            raise MoneyError(
                f"{asked:f} were asked already, more than the agreed {option.total:f}.",
                "Credit a part first.",
            )
        return final_invoice(
            edition.currency,
            [one.as_line() for one in option.lines],
            basis=TaxBasis(edition.basis),
            earlier=[Earlier(one.number, one.gross) for one in earlier],
        )
    amount = option.deposit if gross is None else gross
    if amount + asked > option.total:
        raise MoneyError(
            f"With {amount:f} more than the agreed {option.total:f} would be asked.",
            f"At the most {option.total - asked:f} are left.",
        )
    what = (
        message("Deposit for {title}", title=edition.title)
        if kind is InvoiceKind.DEPOSIT
        else message("Part payment for {title}", title=edition.title)
    )
    return part_invoice(kind, say(what, known_language(edition.language)), amount, whole)


def credit_for(invoice: Invoice, what: str = "", gross: Decimal | None = None) -> InvoiceSums:
    """A credit note on an invoice: all of it, or a part with its tax. Raises MoneyError."""
    lines = tuple(
        Line(LineKind.OTHER, one.what, one.quantity, one.unit_price, one.price, tax=_tax(one.tax))
        for one in invoice.lines
    )
    adjustments = tuple(Adjustment(a.what, a.amount, _tax(a.tax)) for a in invoice.on_the_whole)
    sums = InvoiceSums(
        InvoiceKind(invoice.kind),
        lines,
        adjustments,
        tuple(Earlier(one.number, one.gross) for one in invoice.earlier),
        totals(
            invoice.currency,
            lines,
            adjustments,
            prepaid=invoice.sums.prepaid,
            rounding=invoice.sums.rounding,
        ),
    )
    return credit_note(sums, what, gross)


def _tax(words: TaxWords) -> Tax:
    return Tax(words.rate, TaxCategory(words.category), words.name, words.reason)
