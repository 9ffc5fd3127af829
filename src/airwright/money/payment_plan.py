"""When what is due: deposit, instalments and the balance, each with its amount and its day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from airwright.language import message
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
            raise MoneyError(
                message('"{what}" needs a share or an amount.', what=self.what),
                message("Give one of the two."),
            )
        if self.share is not None and not 0 <= self.share <= 1:
            raise MoneyError(
                message("{share} is no share.", share=self.share),
                message("Write 0.5 for half of the total."),
            )
        if self.amount is not None and self.amount < 0:
            raise MoneyError(
                message('"{what}" cannot be below zero.', what=self.what),
                message("Use an amount above zero."),
            )


ON_THE_DAY: Final = Part(BALANCE, share=ZERO, anchor=Anchor.EVENT)
"""The rest is due on the event, where nothing else is said."""


def shares(
    total: Decimal, currency: str, parts: Sequence[Part], balance: Part = ON_THE_DAY
) -> tuple[tuple[Part, Decimal], ...]:
    """Each part of the payment plan with its amount; they add up to the total to the cent.

    Parts are taken in their order and never more than is left; what is left after them is the
    balance.

    Args:
        total: tax included; not below zero.
        currency: ISO 4217 code.
        parts: deposit and instalments.
        balance: when the rest is due (its share and amount are not read).
    """
    if total < 0:
        raise MoneyError(
            message("Nothing is due of {total}.", total=f"{total:f}"),
            message("A payment plan needs a total."),
        )
    left = total
    found: list[tuple[Part, Decimal]] = []
    for part in parts:
        wanted = part.amount if part.share is None else total * part.share
        assert wanted is not None
        amount = min(rounded(wanted, currency), left)
        if amount > 0:
            found.append((part, amount))
            left -= amount
    if left > 0:
        found.append((balance, left))
    return tuple(found)


def day_of_part(
    anchor: Anchor, days: int, *, accepted: dt.date | None, event: dt.date | None
) -> dt.date | None:
    """The day a part falls due; None while its anchor has none.

    Nothing falls due before acceptance: a day before it moves to that day.

    Args:
        anchor, days: of the part.
        accepted: the day the client said yes; None while open.
        event: the day of the event.
    """
    start = accepted if anchor is Anchor.ACCEPTANCE else event
    if start is None:
        return None
    day = start + dt.timedelta(days=days)
    return day if accepted is None else max(day, accepted)


def deposit_of(total: Decimal, currency: str, parts: Sequence[Part]) -> Decimal:
    """What books the date: the first part of the plan; zero where there is none."""
    found = shares(total, currency, parts[:1])
    return found[0][1] if parts and found and found[0][0] is parts[0] else rounded(ZERO, currency)
