"""Invoices as values: deposit and instalment, final, credit note. Numbers are given in the store.

An invoice's lines are told before tax, as EN 16931 has them. A price below zero cannot stand on a
line there (BR-27): what is taken off becomes an allowance on the whole document.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from airwright.language import message
from airwright.money.amount import ZERO, MoneyError, shared
from airwright.money.lines import Line, LineKind
from airwright.money.tax import Tax, TaxBasis
from airwright.money.totals import Adjustment, Totals, net_lines, totals


class InvoiceKind(StrEnum):
    """What an invoice is."""

    DEPOSIT = "deposit"
    INSTALMENT = "instalment"
    FINAL = "final"
    CREDIT_NOTE = "credit note"


@dataclass(frozen=True, slots=True)
class Earlier:
    """An earlier invoice that the final one deducts: its number and what was asked on it."""

    number: str
    gross: Decimal


@dataclass(frozen=True, slots=True)
class InvoiceSums:
    """What an invoice says of money.

    Attributes:
        lines: before tax, none below zero.
        adjustments: discounts and the like on the whole document.
        earlier: deposits and instalments deducted (their sum is the prepaid amount).
    """

    kind: InvoiceKind
    lines: tuple[Line, ...]
    adjustments: tuple[Adjustment, ...]
    earlier: tuple[Earlier, ...]
    totals: Totals


def _split(lines: Sequence[Line]) -> tuple[tuple[Line, ...], tuple[Adjustment, ...]]:
    kept = tuple(one for one in lines if one.price >= 0)
    off = tuple(Adjustment(one.what, one.price, one.tax) for one in lines if one.price < 0)
    return kept, off


def final_invoice(
    currency: str,
    lines: Sequence[Line],
    *,
    basis: TaxBasis = TaxBasis.ON_TOP,
    earlier: Sequence[Earlier] = (),
) -> InvoiceSums:
    """The whole job, with what was asked before deducted (BT-113).

    Args:
        currency: ISO 4217 code.
        lines: as offered.
        basis: whether those lines are told before tax or with it.
        earlier: deposit and instalment invoices; may not come to more than the whole.
    """
    rounding = ZERO
    if basis is TaxBasis.INCLUDED:
        lines, rounding = net_lines(currency, lines)
    kept, off = _split(lines)
    prepaid = sum((one.gross for one in earlier), ZERO)
    sums = totals(currency, kept, off, prepaid=prepaid, rounding=rounding)
    if sums.gross + sums.rounding <= 0:
        raise MoneyError(
            message("An invoice over nothing cannot be sent."),
            message("Check prices and discount."),
        )
    return InvoiceSums(InvoiceKind.FINAL, kept, off, tuple(earlier), sums)


def part_invoice(kind: InvoiceKind, what: str, gross: Decimal, whole: Totals) -> InvoiceSums:
    """A deposit or instalment: part of a whole, with each tax group's share of it.

    Args:
        kind: DEPOSIT or INSTALMENT.
        what: its line's words: "Deposit for 22 May 2027".
        gross: what is asked, tax included; above zero, not above the whole.
        whole: sums of the whole job.
    """
    agreed = whole.gross + whole.rounding
    if not 0 < gross <= agreed:
        raise MoneyError(
            message("{gross} is no part of {agreed}.", gross=f"{gross:f}", agreed=f"{agreed:f}"),
            message("Ask for more than zero and not for more."),
        )
    groups = [group for group in whole.groups if group.base + group.amount > 0]
    parts = shared(gross, [g.base + g.amount for g in groups], whole.currency)
    told = tuple(
        _whole_line(what, part, group.tax)
        for part, group in zip(parts, groups, strict=True)
        if part > 0
    )
    lines, rounding = net_lines(whole.currency, told)
    sums = totals(whole.currency, lines, rounding=rounding)
    return InvoiceSums(kind, lines, (), (), sums)


def _whole_line(what: str, gross: Decimal, tax: Tax) -> Line:
    return Line(LineKind.DEPOSIT, what, Decimal(1), gross, gross, tax=tax)


def credit_note(invoice: InvoiceSums, what: str = "", gross: Decimal | None = None) -> InvoiceSums:
    """A credit note on an invoice, in whole or in part; its amounts are positive (code 381).

    Args:
        invoice: what is credited. A final invoice's deducted deposits are not credited with it:
            they have invoices of their own.
        what, gross: for a part: its words, and how much of it, tax included.
    """
    if gross is None:
        sums = totals(
            invoice.totals.currency,
            invoice.lines,
            invoice.adjustments,
            prepaid=invoice.totals.prepaid,
            rounding=invoice.totals.rounding,
        )
        return InvoiceSums(
            InvoiceKind.CREDIT_NOTE, invoice.lines, invoice.adjustments, invoice.earlier, sums
        )
    part = part_invoice(InvoiceKind.DEPOSIT, what, gross, invoice.totals)
    lines = tuple(
        Line(LineKind.OTHER, one.what, one.quantity, one.unit_price, one.price, tax=one.tax)
        for one in part.lines
    )
    return InvoiceSums(InvoiceKind.CREDIT_NOTE, lines, (), (), part.totals)
