"""The square that a bank's app reads: EPC069-12, drawn by segno."""

from __future__ import annotations

import io
from decimal import Decimal
from typing import Any

LEAST, MOST = Decimal("0.01"), Decimal("999999999.99")


def payment_code(
    name: str, iban: str, amount: Decimal, text: str, *, bic: str = "", currency: str = "EUR"
) -> Any | None:
    """A QR code for a transfer in euro; None where the standard has none.

    Args:
        name: who is paid, 70 characters at the most are kept.
        iban: checked already.
        amount: what is due.
        text: what the payer's bank passes on: the invoice's number.
        bic: of the bank; not needed within the EEA.
        currency: the standard knows the euro only.
    """
    if currency != "EUR" or not iban or not LEAST <= amount <= MOST:
        return None
    from segno import helpers

    return helpers.make_epc_qr(
        name=name[:70], iban=iban, amount=amount, text=text[:140], bic=bic or None, encoding="utf-8"
    )


def as_svg(code: Any) -> bytes:
    """The code as a drawing, with the quiet zone a reader needs."""
    out = io.BytesIO()
    code.save(out, kind="svg", border=4, xmldecl=False, svgns=True, nl=False)
    return out.getvalue()
