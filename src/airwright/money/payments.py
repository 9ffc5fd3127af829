"""Money in: which invoice each payment pays, what stays open, and how old it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from airwright.language import message
from airwright.money.amount import ZERO, MoneyError


@dataclass(frozen=True, slots=True)
class Payment:
    """Money that came in, or went back to the client (negative).

    Attributes:
        key: the studio's own number of this payment.
        invoice: number of the invoice it is for; "" lets it pay the oldest first.
        reference: the bank's text or number; two payments that share it on one day are one.
    """

    key: str
    amount: Decimal
    currency: str
    date: dt.date
    invoice: str = ""
    reference: str = ""

    def __post_init__(self) -> None:
        if self.amount == 0:
            raise MoneyError(
                message("A payment of nothing is none."), message("Write what came in.")
            )


@dataclass(frozen=True, slots=True)
class Receivable:
    """An invoice as far as money goes: what is due on it, and until when.

    A credit note is one with a negative amount.
    """

    number: str
    amount: Decimal
    currency: str
    issued: dt.date
    due: dt.date


class State(StrEnum):
    """How far an invoice is paid."""

    OPEN = "open"
    PART_PAID = "part paid"
    PAID = "paid"
    OVERPAID = "overpaid"
    CREDIT = "credit"


@dataclass(frozen=True, slots=True)
class Account:
    """One invoice with its money.

    Attributes:
        paid: money put to it, refunds taken off, credit notes counted.
        open: still due; negative when too much came in.
        settled: the day the last cent came in; None while open.
    """

    receivable: Receivable
    paid: Decimal
    open: Decimal
    settled: dt.date | None

    @property
    def state(self) -> State:
        """How far it is paid."""
        if self.receivable.amount < 0:
            return State.CREDIT
        if self.open < 0:
            return State.OVERPAID
        if self.open == 0:
            return State.PAID
        return State.PART_PAID if self.paid > 0 else State.OPEN

    def days_late(self, today: dt.date) -> int:
        """Days past the due day, until it was settled or until today; 0 in time."""
        until = today if self.settled is None else self.settled
        return max((until - self.receivable.due).days, 0)


@dataclass(frozen=True, slots=True)
class Ledger:
    """All invoices of a job or client with the money put to them.

    Attributes:
        accounts: in the order of the invoices.
        unplaced: money that found no invoice (a deposit before its invoice, an overpayment).
    """

    currency: str
    accounts: tuple[Account, ...]
    unplaced: Decimal

    @property
    def open(self) -> Decimal:
        """What is still due in all."""
        return sum((a.open for a in self.accounts if a.open > 0), ZERO)


def put_to(receivables: Sequence[Receivable], payments: Sequence[Payment], currency: str) -> Ledger:
    """Put payments to invoices: first those that name one, then the oldest due first.

    Everything adds up: money in = money put to invoices + unplaced.

    Raises:
        MoneyError: another currency, or a payment for an invoice that is not there.
    """
    for code in {*(r.currency for r in receivables), *(p.currency for p in payments)}:
        if code != currency:
            raise MoneyError(
                message("{code} cannot pay {currency}.", code=code, currency=currency),
                message("Book it in the invoice's currency."),
            )
    paid = {one.number: ZERO for one in receivables}
    last: dict[str, dt.date] = {}
    loose = ZERO
    loose_day: dt.date | None = None
    for payment in sorted(payments, key=lambda p: (p.date, p.key)):
        if payment.invoice:
            if payment.invoice not in paid:
                raise MoneyError(
                    message('There is no invoice "{value}".', value=payment.invoice[:40]),
                    message("Pick one of the list."),
                )
            paid[payment.invoice] += payment.amount
            last[payment.invoice] = payment.date
        else:
            loose += payment.amount
            loose_day = payment.date
    for one in sorted(receivables, key=lambda r: (r.due, r.number)):
        gap = one.amount - paid[one.number]
        if loose <= 0 or gap <= 0:
            continue
        part = min(gap, loose)
        paid[one.number] += part
        loose -= part
        if loose_day is not None:
            last[one.number] = max(loose_day, last.get(one.number, loose_day))
    accounts = tuple(
        Account(
            one,
            paid[one.number],
            one.amount - paid[one.number],
            last.get(one.number) if paid[one.number] >= one.amount else None,
        )
        for one in receivables
    )
    return Ledger(currency, accounts, loose)


AGES: Final = (("not due yet", None), ("1 to 30 days", 30), ("31 to 60 days", 60),
               ("61 to 90 days", 90), ("over 90 days", None))  # fmt: skip


def by_age(ledgers: Sequence[Ledger], today: dt.date) -> dict[str, Decimal]:
    """What is still due by days past its due day, one currency at a time."""
    found = {name: ZERO for name, _ in AGES}
    names = [name for name, _ in AGES]
    for account in (a for ledger in ledgers for a in ledger.accounts if a.open > 0):
        late = (today - account.receivable.due).days
        at = 0 if late <= 0 else 1 if late <= 30 else 2 if late <= 60 else 3 if late <= 90 else 4
        found[names[at]] += account.open
    return found
