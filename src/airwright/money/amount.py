"""Numbers of money: one door, one rounding rule, and amounts that know their currency."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal, InvalidOperation
from functools import cache
from typing import Final

from airwright.language import message

ZERO: Final = Decimal(0)
LARGEST: Final = Decimal("999999999999.99")
"""No amount of a decorator's business is larger; a number above it is a slip."""


class MoneyError(ValueError):
    """What is wrong with an amount or a rule, and how to mend it; for people."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(f"{what} {mend}")
        self.what = what
        self.mend = mend


def number(value: str | int | Decimal) -> Decimal:
    """The one door: text as programs write it ("184.50"), whole numbers and Decimals.

    Raises:
        TypeError: a float or a bool, which would bring binary fractions or nonsense in.
        MoneyError: no finite number, or one beyond `LARGEST`.
    """
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        raise TypeError(f"money is made of text, int or Decimal, not of {type(value).__name__}")
    try:
        found = Decimal(value)
    except InvalidOperation:
        raise MoneyError(
            message('"{value}" is no number.', value=str(value)[:20]),
            message('Write it like "184.50".'),
        ) from None
    if not found.is_finite() or abs(found) > LARGEST:
        raise MoneyError(
            message("{value} is no amount.", value=str(value)[:24]),
            message("Stay below {largest}.", largest=f"{LARGEST:f}"),
        )
    return found


@cache
def cent(currency: str) -> Decimal:
    """Smallest amount of a currency: 0.01 for USD, 1 for JPY, 0.001 for KWD (CLDR data)."""
    from babel.numbers import get_currency_precision

    return Decimal(1).scaleb(-get_currency_precision(currency))


@cache
def is_currency(code: str) -> bool:
    """Whether a code is a currency of ISO 4217, as CLDR lists them."""
    from babel import Locale

    return bool(re.fullmatch("[A-Z]{3}", code)) and code in Locale("en").currencies


def rounded(amount: Decimal, currency: str) -> Decimal:
    """The one rounding rule: to the currency's cent, halves away from zero."""
    return amount.quantize(cent(currency), rounding=ROUND_HALF_UP)


def step_up(amount: Decimal, step: Decimal) -> Decimal:
    """The amount rounded up to a multiple of a price step.

    Raises:
        MoneyError: the step is not above zero.
    """
    if not step > 0:
        raise MoneyError(
            message("A price step of {step} rounds nothing.", step=step),
            message("Use a step above zero."),
        )
    return (amount / step).to_integral_value(rounding=ROUND_CEILING) * step


def shared(total: Decimal, weights: Sequence[Decimal], currency: str) -> tuple[Decimal, ...]:
    """A total dealt by weight so that the parts add up to it to the cent.

    Each part is rounded towards zero first; the cents left over go to the largest remainders,
    the first among equals.

    Args:
        total: a multiple of the currency's cent; a negative one is dealt like a positive one.
        weights: not negative; all zero means equal shares.
        currency: ISO 4217 code.
    """
    if not weights:
        return ()
    if total < 0:
        return tuple(-part for part in shared(-total, weights, currency))
    if sum(weights) == 0:
        weights = [Decimal(1)] * len(weights)
    unit = cent(currency)
    whole = sum(weights)
    exact = [total * weight / whole / unit for weight in weights]
    parts = [int(part) for part in exact]
    left = int(total / unit) - sum(parts)
    order = sorted(range(len(parts)), key=lambda at: (parts[at] - exact[at], at))
    for at in order[:left]:
        parts[at] += 1
    return tuple((part * unit).quantize(unit) for part in parts)


def amount_text(amount: Decimal, currency: str) -> str:
    """An amount for programs: "184.50"."""
    return f"{rounded(amount, currency):f}"


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with its currency; a whole number of the currency's smallest unit.

    Adding or comparing two currencies raises MoneyError: nothing is ever taken one to one.
    """

    number: Decimal
    currency: str

    def __post_init__(self) -> None:
        if not is_currency(self.currency):
            raise MoneyError(
                message('"{value}" is no currency.', value=self.currency[:20]),
                message('Use three capital letters of ISO 4217, like "USD" or "EUR".'),
            )
        checked = number(self.number)
        exact = rounded(checked, self.currency)
        if exact != checked:
            raise MoneyError(
                message(
                    "{checked} is more precise than {currency} can be paid.",
                    checked=f"{checked:f}",
                    currency=self.currency,
                ),
                message(
                    "Round it to a multiple of {currency}.", currency=f"{cent(self.currency):f}"
                ),
            )
        object.__setattr__(self, "number", exact)

    @classmethod
    def of(cls, value: str | int | Decimal, currency: str) -> Amount:
        """An exact amount from text, a whole number or a Decimal."""
        return cls(number(value), currency)

    @classmethod
    def round(cls, value: str | int | Decimal, currency: str) -> Amount:
        """An amount rounded by the one rule."""
        return cls(rounded(number(value), currency), currency)

    def _same(self, other: Amount) -> Decimal:
        if self.currency != other.currency:
            raise MoneyError(
                message(
                    "{currency} and {currency_2} cannot be calculated together.",
                    currency=self.currency,
                    currency_2=other.currency,
                ),
                message("Convert one of them with a dated rate first."),
            )
        return other.number

    def __add__(self, other: Amount) -> Amount:
        return Amount(self.number + self._same(other), self.currency)

    def __sub__(self, other: Amount) -> Amount:
        return Amount(self.number - self._same(other), self.currency)

    def __neg__(self) -> Amount:
        return Amount(-self.number, self.currency)

    def __lt__(self, other: Amount) -> bool:
        return self.number < self._same(other)

    def __le__(self, other: Amount) -> bool:
        return self.number <= self._same(other)

    def __bool__(self) -> bool:
        return bool(self.number)

    def __str__(self) -> str:
        from airwright.language.figures import said_money

        return said_money(self.number, self.currency)
