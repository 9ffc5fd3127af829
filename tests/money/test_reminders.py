"""Days of reminders, counted by hand on a calendar."""

from __future__ import annotations

import datetime as dt

import pytest

from airwright.money.amount import MoneyError
from airwright.money.reminders import ReminderRule, next_reminder

DUE = dt.date(2027, 2, 20)
RULE = ReminderRule(after=7, every=14, most=3)


@pytest.mark.parametrize(
    ("written", "day"),
    [
        ([], dt.date(2027, 2, 27)),
        ([dt.date(2027, 3, 1)], dt.date(2027, 3, 15)),
        ([dt.date(2027, 3, 15), dt.date(2027, 3, 1)], dt.date(2027, 3, 29)),
        ([dt.date(2027, 2, 10)], dt.date(2027, 3, 6)),  # by hand, before it was due
        ([dt.date(2027, 3, n) for n in (1, 15, 29)], None),
    ],
)
def test_the_next_reminder(written: list[dt.date], day: dt.date | None) -> None:
    assert next_reminder(DUE, written, RULE) == day


def test_nobody_is_reminded_before_the_due_day() -> None:
    with pytest.raises(MoneyError):
        ReminderRule(after=0, every=14, most=3)
