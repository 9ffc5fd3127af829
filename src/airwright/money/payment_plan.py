"""When what is due: deposit, instalments and the balance, each with its amount and its day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from airwright.money.amount import ZERO, MoneyError, rounded

DEPOSIT = "Deposit"
BALANCE = "Balance"


class Anchor(StrEnum):
    """The day that a due date counts from."""

    ACCEPTANCE = "acceptance"
    EVENT = "event"


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the payment plan, as the studio sets it.

    Attributes:
        what: "Deposit", "Second instalment".
        share: of the total; None where an amount is set.
        amount: in the document's currency; None where a share is set.
        anchor, days: due so many days after the anchor; negative before it.
    """

    what: str
    share: Decimal | None = None
    amount: Decimal | None = None
    anchor: Anchor = Anchor.ACCEPTANCE
    days: int = 0

    def __post_init__(self) -> None:
        if (self.share is None) == (self.amount is None):
            raise MoneyError(f'"{self.what}" needs a share or an amount.', "Give one of the two.")
        if self.share is not None and not 0 <= self.share <= 1:
            raise MoneyError(f"{self.share} is no share.", "Write 0.5 for half of the total.")
        if self.amount is not None and self.amount < 0:
            raise MoneyError(f'"{self.what}" cannot be below zero.', "Use an amount above zero.")


@dataclass(frozen=True, slots=True)
class Due:
    """One payment to come: what, how much, and until when (None while no day is known)."""

    what: str
    amount: Decimal
    date: dt.date | None


def due_dates(
    total: Decimal,
    currency: str,
    parts: Sequence[Part],
    *,
    accepted: dt.date | None,
    event: dt.date | None,
    balance: Part | None = None,
) -> tuple[Due, ...]:
    """The payment plan of one total; the amounts add up to it to the cent.

    Parts are taken in their order and never more than is left; what is left after them is the
    balance. Nothing falls due before acceptance: a day before it moves to that day.

    Args:
        total: tax included; above zero.
        currency: ISO 4217 code.
        parts: deposit and instalments.
        accepted: the day the client said yes; None while open.
        event: the day of the event.
        balance: when the rest is due (its share and amount are not read); on the event else.
    """
    if total < 0:
        raise MoneyError(f"Nothing is due of {total:f}.", "A payment plan needs a total.")
    left = total
    found: list[Due] = []
    for part in parts:
        wanted = part.amount if part.share is None else rounded(total * part.share, currency)
        assert wanted is not None
        amount = min(rounded(wanted, currency), left)
        if amount > 0:
            found.append(Due(part.what, amount, _day(part, accepted, event)))
            left -= amount
    if left > 0:
        rest = balance if balance is not None else Part(BALANCE, share=ZERO, anchor=Anchor.EVENT)
        found.append(Due(rest.what, left, _day(rest, accepted, event)))
    return tuple(found)


def _day(part: Part, accepted: dt.date | None, event: dt.date | None) -> dt.date | None:
    anchor = accepted if part.anchor is Anchor.ACCEPTANCE else event
    if anchor is None:
        return None
    day = anchor + dt.timedelta(days=part.days)
    return day if accepted is None else max(day, accepted)


def deposit_of(total: Decimal, currency: str, parts: Sequence[Part]) -> Decimal:
    """What books the date: the first part of the plan; zero where there is none."""
    first = due_dates(total, currency, parts[:1], accepted=None, event=None) if parts else ()
    return first[0].amount if first and first[0].what == parts[0].what else rounded(ZERO, currency)
