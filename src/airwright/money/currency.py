"""Rates between currencies: each with its day, each from someone who set it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from airwright.language import message
from airwright.money.amount import Amount, MoneyError, is_currency

OLD_DAYS: Final = 90
"""Days after which a rate is worth another look (common practice, from memory)."""


@dataclass(frozen=True, slots=True)
class Rate:
    """One unit of `base` cost `rate` units of `quote` on `date`."""

    base: str
    quote: str
    rate: Decimal
    date: dt.date

    def __post_init__(self) -> None:
        for code in (self.base, self.quote):
            if not is_currency(code):
                raise MoneyError(
                    message('"{code}" is no currency.', code=code[:20]),
                    message('Use one like "USD" or "EUR".'),
                )
        if self.base == self.quote:
            raise MoneyError(
                message("{base} needs no rate to itself.", base=self.base),
                message("Leave this rate out."),
            )
        if not (self.rate.is_finite() and self.rate > 0):
            raise MoneyError(
                message("A rate of {rate} cannot be.", rate=self.rate),
                message("A rate is above zero."),
            )

    def reversed(self) -> Rate:
        """The same rate the other way round."""
        return Rate(self.quote, self.base, 1 / self.rate, self.date)


def find_rate(rates: Iterable[Rate], base: str, quote: str) -> Rate | None:
    """The youngest rate from `base` to `quote`, told either way round; None where none is set.

    No chain over a third currency is tried: its error would be nobody's.
    """
    found = [rate for rate in rates if (rate.base, rate.quote) == (base, quote)]
    found += [rate.reversed() for rate in rates if (rate.quote, rate.base) == (base, quote)]
    return max(found, key=lambda rate: rate.date, default=None)


def factor(rates: Iterable[Rate], base: str, quote: str) -> Decimal:
    """What one unit of `base` is in `quote`; 1 only for a currency to itself.

    Raises:
        MoneyError: no rate is set between the two.
    """
    if base == quote:
        return Decimal(1)
    rate = find_rate(tuple(rates), base, quote)
    if rate is None:
        raise MoneyError(
            message("There is no rate from {base} to {quote}.", base=base, quote=quote),
            message("Set one with its day in the studio's settings, or keep to one currency."),
        )
    return rate.rate


def convert(amount: Amount, to: str, rates: Iterable[Rate]) -> Amount:
    """An amount in another currency, rounded once. Raises MoneyError without a rate."""
    return Amount.round(amount.number * factor(rates, amount.currency, to), to)
