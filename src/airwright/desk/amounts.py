"""Amounts as people type them: "1,200", "$4.20", "4,20 EUR", "1.200,50"."""

from __future__ import annotations

import re
from decimal import Decimal

_CURRENCY = r"(?:[A-Za-z]{3}|[^\w\s.,+-])?"
_AMOUNT = re.compile(rf"{_CURRENCY}\s*(?P<digits>\d[\d.,' \u00a0\u202f]*){_CURRENCY}")
_LONGEST = 24


def read_amount(text: str) -> Decimal | None:
    """An amount, or None for what is none.

    A last comma or point with one or two digits behind it parts the cents ("4,20"); a comma
    before three digits parts thousands ("1,200"), a point alone does not ("1.125" is a price).
    """
    text = text.strip()
    match = _AMOUNT.fullmatch(text) if len(text) <= _LONGEST else None
    if match is None:
        return None
    digits = re.sub(r"['\s]", "", match["digits"])
    comma, point = digits.rfind(","), digits.rfind(".")
    if comma > point and (point >= 0 or len(digits) - comma <= 3):
        digits = digits.replace(".", "").replace(",", ".")
    else:
        digits = digits.replace(",", "")
    return Decimal(digits) if re.fullmatch(r"\d+(\.\d*)?", digits) else None
