"""Amounts as people type them: "1,200", "$4.20", "4,20 EUR", "1.200,50"."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final

from airwright.language import message
from airwright.language.figures import parts_with_comma
from airwright.money.amount import LARGEST, Amount, MoneyError, cent, is_currency

_CURRENCY: Final = r"(?:[A-Za-z]{3}|[^\w\s.,+-])?"
_AMOUNT: Final = re.compile(rf"{_CURRENCY}\s*(?P<digits>\d[\d.,' \u00a0\u202f]*){_CURRENCY}")
_LONGEST: Final = 24
_POINTS: Final = re.compile(r"[^\d]*[1-9]\d{0,2}(?:\.\d{3})+[^\d]*")
_COMMAS: Final = re.compile(r"[^\d]*[1-9]\d{0,2}(?:,\d{3})+[^\d]*")


def read_amount(text: str) -> Decimal | None:
    """A plain amount, not negative, in whatever currency; None for what is none.

    A last comma or point with one or two digits behind it parts the cents ("4,20"); a comma
    before three digits parts thousands ("1,200"), unless the language being spoken parts
    decimals by it or nothing but a zero stands before it; a point alone does not ("1.125" is
    a price).
    """
    text = text.strip()
    match = _AMOUNT.fullmatch(text) if len(text) <= _LONGEST else None
    if match is None:
        return None
    digits = re.sub(r"['\s]", "", match["digits"])
    comma, point = digits.rfind(","), digits.rfind(".")
    decimal = digits.count(",") == 1 and (digits.startswith("0,") or parts_with_comma())
    if comma > point and (point >= 0 or decimal or len(digits) - comma <= 3):
        digits = digits.replace(".", "").replace(",", ".")
    else:
        digits = digits.replace(",", "")
    return Decimal(digits) if re.fullmatch(r"\d+(\.\d*)?", digits) else None


def read_sum(text: str) -> Decimal | None:
    """A sum that is paid or asked, which nobody writes in thousandths; None for what is none.

    "1.500" is 1500 where a comma parts the cents, and "1,500" where a point does. Written with
    the other sign it may be meant either way ("1.500" of an English desk) and is none.
    """
    comma = parts_with_comma()
    if _POINTS.fullmatch(text.strip()):
        return read_amount(text.replace(".", "")) if comma else None
    if comma and _COMMAS.fullmatch(text.strip()):
        return None
    return read_amount(text)


def read_money(
    text: str, currency: str, *, least: Decimal | None = None, negative: bool = False
) -> Amount:
    """An amount in one currency, exact, or what is wrong with it in words.

    Args:
        text: as typed.
        currency: the one it must be in; a sign or code of another is refused.
        least: the smallest amount taken.
        negative: whether an amount below zero makes sense here.

    Raises:
        MoneyError: nothing typed, no amount, negative, too precise, too large, another currency.
    """
    said = text.strip()
    if not said:
        raise MoneyError(
            message("No amount is written."),
            message('Write one like "{currency}".', currency=_example(currency)),
        )
    below = said[:1] in "-−"
    _same_currency(said, currency)
    # a sign of several letters ("US$", "kr") is known by now; the digits are read without it
    digits = re.sub(r"^[^\d]+|[^\d]+$", "", re.sub(r"^\W*(?=[.,]\d)", "0", said))
    found = read_amount(digits) if cent(currency) < Decimal("0.01") else read_sum(digits)
    if found is None and (found := read_amount(digits)) is not None and _whole(found, currency):
        raise MoneyError(
            message('"{said}" can be read in two ways.', said=said[:20]),
            message("Leave out what parts the thousands, or write the cents with two digits."),
        )
    if found is None:
        raise MoneyError(
            message('"{said}" is no amount.', said=said[:20]),
            message('Write it like "{currency}".', currency=_example(currency)),
        )
    if below and found and not negative:
        raise MoneyError(
            message("{said} is below zero.", said=said[:20]), message("Write an amount above zero.")
        )
    if found > LARGEST:
        raise MoneyError(
            message("{said} is too large.", said=said[:20]),
            message("Stay below {largest}.", largest=f"{LARGEST:f}"),
        )
    if not _whole(found, currency):
        raise MoneyError(
            message(
                "{said} is more precise than {currency} can be paid.",
                said=said[:20],
                currency=currency,
            ),
            message("Round it to a multiple of {currency}.", currency=f"{cent(currency):f}"),
        )
    amount = Amount(-found if below else found, currency)
    if least is not None and amount.number < least:
        raise MoneyError(
            message("{said} is too little.", said=said[:20]),
            message("The least is {least}.", least=f"{least:f}"),
        )
    return amount


def _whole(amount: Decimal, currency: str) -> bool:
    return amount > LARGEST or amount == amount.quantize(cent(currency))


def _example(currency: str) -> str:
    return f"{Decimal('120').quantize(cent(currency)):f}"


def _same_currency(text: str, currency: str) -> None:
    for word in re.findall(r"[^\d\s.,'\u00a0\u202f+−-]+", text):
        if word.upper() == currency or word in _signs(currency):
            continue
        if is_currency(word.upper()) or re.search(r"[^\w]", word):
            raise MoneyError(
                message('"{text}" is not in {currency}.', text=text[:20], currency=currency),
                message(
                    "Write it in {currency}, converted at the rate of the day.", currency=currency
                ),
            )


def _signs(currency: str) -> tuple[str, ...]:
    """Signs that stand for a currency: "US$", "$"."""
    from babel.numbers import get_currency_symbol

    sign = get_currency_symbol(currency, "en")
    return (sign,) if sign[-1].isalpha() else (sign, sign[-1], currency[:2] + sign[-1])
