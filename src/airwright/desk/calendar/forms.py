"""What the calendar's addresses and forms may say."""

from __future__ import annotations

import datetime as dt
import re

_MONTH = re.compile(r"(\d{4})-(\d{2})")


def month_of(text: str, today: dt.date) -> dt.date:
    """The first day of a month written "2027-05"; this month for anything else."""
    match = _MONTH.fullmatch(text)
    try:
        return dt.date(int(match[1]), int(match[2]), 1) if match else today.replace(day=1)
    except ValueError:
        return today.replace(day=1)


def moved(month: dt.date, by: int) -> str:
    """A month earlier or later, as addresses write it."""
    count = min(max(month.year * 12 + month.month - 1 + by, 12), 9999 * 12 + 11)
    return f"{count // 12:04d}-{count % 12 + 1:02d}"
