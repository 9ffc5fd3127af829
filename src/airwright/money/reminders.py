"""When a client is reminded of an invoice: some days after it was due, then at intervals."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from airwright.money.amount import MoneyError


@dataclass(frozen=True, slots=True)
class ReminderRule:
    """How a studio reminds.

    Attributes:
        after: days after the due day until the first reminder.
        every: days between one reminder and the next.
        most: reminders of one invoice.
    """

    after: int
    every: int
    most: int

    def __post_init__(self) -> None:
        if self.after < 1 or self.every < 1 or self.most < 0:
            raise MoneyError(
                "A reminder comes a day after the due day or later.", "Use 1 or more days."
            )


def next_reminder(due: dt.date, written: Sequence[dt.date], rule: ReminderRule) -> dt.date | None:
    """The day of the next reminder; None once enough were written.

    Args:
        due: of the invoice.
        written: days on which it was reminded of already, in any order.
        rule: the studio's.
    """
    if len(written) >= rule.most:
        return None
    if not written:
        return due + dt.timedelta(days=rule.after)
    return max(max(written), due) + dt.timedelta(days=rule.every)
