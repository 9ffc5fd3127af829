"""Invoices and payments as the books take them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from airwright.money.amount import ZERO
from airwright.papers.invoice.model import Invoice

TaxKey = tuple[str, str, Decimal]
"""Name, category and rate of a tax."""


@dataclass(frozen=True, slots=True)
class Booked:
    """An invoice or credit note as it counts by itself.

    A final invoice names the whole job and deducts the deposits. In the books only what comes on
    top of them counts, so that no tax is counted twice. Amounts of a credit note are negative.

    Attributes:
        groups: tax → net and tax of it.
        owed: what the client owes on it.
    """

    invoice: Invoice
    groups: Mapping[TaxKey, tuple[Decimal, Decimal]]

    @property
    def net(self) -> Decimal:
        """Before tax."""
        return sum((net for net, _ in self.groups.values()), ZERO)

    @property
    def tax(self) -> Decimal:
        """The tax."""
        return sum((tax for _, tax in self.groups.values()), ZERO)

    @property
    def owed(self) -> Decimal:
        """What is owed on it; below zero for a credit note."""
        due = self.invoice.sums.due
        return -due if self.invoice.is_credit else due

    @property
    def rounding(self) -> Decimal:
        """Cents that no tax group holds."""
        return self.owed - self.net - self.tax


@dataclass(frozen=True, slots=True)
class Paid:
    """Money in; below zero: back to the client."""

    date: dt.date
    amount: Decimal
    currency: str
    means: str
    invoice: str
    client: str
    reference: str


def own_groups(
    invoice: Invoice, others: Mapping[str, Invoice]
) -> dict[TaxKey, tuple[Decimal, Decimal]]:
    """Net and tax by tax, what earlier invoices hold taken out, a credit note below zero.

    Args:
        invoice: as issued.
        others: all invoices by number, for those it deducts.
    """
    sign = -1 if invoice.is_credit else 1
    found: dict[TaxKey, tuple[Decimal, Decimal]] = {}

    def add(of: Invoice, by: int) -> None:
        for group in of.sums.groups:
            key = (group.tax.name, group.tax.category, group.tax.rate.normalize())
            net, tax = found.get(key, (ZERO, ZERO))
            found[key] = (net + by * group.base, tax + by * group.amount)

    add(invoice, sign)
    for before in invoice.earlier:
        if before.number in others:
            add(others[before.number], -sign)
    return found


def booked(invoices: Iterable[Invoice], others: Mapping[str, Invoice]) -> tuple[Booked, ...]:
    """Invoices as they count."""
    return tuple(Booked(one, own_groups(one, others)) for one in invoices)
