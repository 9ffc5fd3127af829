"""Dates, shares, amounts and hours as the language being spoken writes them (CLDR, by Babel).

Lengths and other quantities: `units.show`, said by `say`.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from functools import cache
from typing import Literal

from airwright.language.catalogs import PSEUDO
from airwright.language.saying import current_language
from airwright.language.text import Text, message


def locale() -> str:
    """Babel's name of the language being spoken: "en_US"."""
    spoken = current_language()
    return "en_US" if spoken == PSEUDO else spoken.replace("-", "_")


def parts_with_comma() -> bool:
    """Whether the language being spoken writes 4.20 as "4,20"."""
    from babel.numbers import get_decimal_symbol

    return str(get_decimal_symbol(locale())) == ","


def said_date(day: dt.date, length: Literal["short", "medium", "long", "full"] = "full") -> str:
    """A date in words: "Saturday, May 22, 2027", "Samstag, 22. Mai 2027"."""
    from babel.dates import format_date

    return str(format_date(day, length, locale=locale()))


def said_part(day: dt.date, parts: str) -> str:
    """Some parts of a date: "yMMM" is "Jan 2027", "yMMMM" "January 2027", "MMMEEE" "Sat, Jan".

    Args:
        day: the date.
        parts: letters of CLDR's skeletons.
    """
    from babel.dates import format_skeleton

    return str(format_skeleton(parts, day, locale=locale()))


def said_share(share: Decimal) -> str:
    """A share as a percentage without needless digits: "8.25%", "19 %"."""
    from babel import Locale
    from babel.numbers import format_percent

    digits = max(0, -int((share * 100).normalize().as_tuple().exponent))
    own = str(Locale.parse(locale()).percent_formats[None].pattern)
    pattern = own.replace("0", "0." + "#" * digits, 1) if digits else own
    return str(format_percent(share, pattern, locale=locale()))


def said_money(amount: Decimal, currency: str) -> str:
    """An amount: "$184.50", "184,50 €"."""
    return _money(amount, currency, locale())


@cache
def _money(amount: Decimal, currency: str, name: str) -> str:
    from babel.numbers import format_currency

    return str(format_currency(amount, currency, locale=name))


def said_end(start: str, end: str) -> Text | str:
    """The time of day something ends: "18:00", or "01:00 the next day" when it began later.

    Args:
        start, end: times of day, "HH:MM".
    """
    return message("{clock} the next day", clock=end) if end and end <= start else end


def said_hours(hours: float, step_min: int = 1) -> Text:
    """A time to so many minutes: "45 min", "2 h 5 min"; one step at the least, if it is any."""
    steps = max(1, round(hours * 60 / step_min)) if hours > 0 else 0
    whole, rest = divmod(steps * step_min, 60)
    if not whole:
        return message("{minutes} min", minutes=rest)
    if not rest:
        return message("{hours} h", hours=whole)
    return message("{hours} h {minutes} min", hours=whole, minutes=rest)
