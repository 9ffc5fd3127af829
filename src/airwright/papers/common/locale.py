"""Dates, shares and amounts as the language being spoken writes them (CLDR, through Babel)."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Literal

from airwright.language import PSEUDO, current_language


def locale() -> str:
    """Babel's name of the language being spoken: "en_US"."""
    spoken = current_language()
    return "en_US" if spoken == PSEUDO else spoken.replace("-", "_")


def said_date(day: dt.date, length: Literal["short", "medium", "long", "full"] = "full") -> str:
    """A date in words: "Saturday, May 22, 2027", "Samstag, 22. Mai 2027"."""
    from babel.dates import format_date

    return str(format_date(day, length, locale=locale()))


def said_share(share: Decimal) -> str:
    """A share as a percentage without needless digits: "8.25%", "19 %"."""
    from babel.numbers import format_percent

    digits = max(0, -int((share * 100).normalize().as_tuple().exponent))
    pattern = "#,##0." + "#" * digits + "%" if digits else None
    return str(format_percent(share, pattern, locale=locale()))


def said_money(amount: Decimal, currency: str) -> str:
    """An amount: "$184.50", "184,50 €"."""
    from babel.numbers import format_currency

    return str(format_currency(amount, currency, locale=locale()))
