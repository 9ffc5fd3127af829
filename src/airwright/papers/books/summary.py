"""What was invoiced and what came in, by month or year, with tax by rate."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from airwright.money.amount import ZERO
from airwright.papers.books.model import Booked, Paid

By = Literal["month", "year"]


@dataclass(frozen=True, slots=True)
class PeriodSum:
    """One month or year in one currency.

    Attributes:
        period: "2027-05" or "2027".
        taxes: a tax's words ("VAT 19 %") → net and tax of it.
        received: payments less refunds.
    """

    period: str
    currency: str
    net: Decimal
    tax: Decimal
    taxes: tuple[tuple[str, Decimal, Decimal], ...]
    received: Decimal


def summary(
    invoices: Iterable[Booked], payments: Iterable[Paid], by: By = "month"
) -> tuple[PeriodSum, ...]:
    """Sums by period and currency, newest first."""
    taxes: dict[tuple[str, str], dict[str, tuple[Decimal, Decimal]]] = {}
    received: dict[tuple[str, str], Decimal] = {}
    for one in invoices:
        key = (_period(one.invoice.issued, by), one.invoice.currency)
        held = taxes.setdefault(key, {})
        for (name, _, rate), (net, tax) in one.groups.items():
            words = f"{name} {(rate * 100).normalize():f} %"
            before = held.get(words, (ZERO, ZERO))
            held[words] = (before[0] + net, before[1] + tax)
    for paid in payments:
        key = (_period(paid.date, by), paid.currency)
        received[key] = received.get(key, ZERO) + paid.amount
    return tuple(
        PeriodSum(
            period=period,
            currency=currency,
            net=sum((net for net, _ in taxes.get((period, currency), {}).values()), ZERO),
            tax=sum((tax for _, tax in taxes.get((period, currency), {}).values()), ZERO),
            taxes=tuple(
                (words, net, tax) for words, (net, tax) in taxes.get((period, currency), {}).items()
            ),
            received=received.get((period, currency), ZERO),
        )
        for period, currency in sorted({*taxes, *received}, reverse=True)
    )


def _period(day: dt.date, by: By) -> str:
    return f"{day:%Y-%m}" if by == "month" else f"{day:%Y}"
