"""Shared by the tests of money's rules."""

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest

from airwright.money.amount import MoneyError
from airwright.money.payment_plan import ON_THE_DAY, Part, day_of_part, shares
from airwright.money.tax import Tax

D = Decimal
STANDARD, REDUCED = Tax(D("0.19")), Tax(D("0.07"))
DAY = dt.date(2027, 5, 22)


def refused(call: Any, *args: Any, **named: Any) -> MoneyError:
    with pytest.raises(MoneyError) as caught:
        call(*args, **named)
    assert caught.value.what
    assert caught.value.mend
    return caught.value


def dues(
    total: Decimal,
    currency: str,
    parts: Sequence[Part],
    *,
    accepted: dt.date | None,
    event: dt.date | None,
    balance: Part = ON_THE_DAY,
) -> list[tuple[str, Decimal, dt.date | None]]:
    """What is due of a payment plan: words, amount, day."""
    return [
        (part.what, amount, day_of_part(part.anchor, part.days, accepted=accepted, event=event))
        for part, amount in shares(total, currency, parts, balance)
    ]
