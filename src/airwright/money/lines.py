"""Lines: what is sold, how many, for how much. An offer's price is the sum of its lines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from airwright.money.amount import ZERO, rounded
from airwright.money.tax import NO_TAX, Tax


class LineKind(StrEnum):
    """What a line is for."""

    PIECE = "piece"
    QUANTITY = "quantity price"
    DELIVERY = "delivery"
    SET_UP = "set-up"
    TAKE_DOWN = "take-down"
    OUT_OF_HOURS = "out of hours"
    RUSH = "rush"
    GAS = "gas"
    HIRE = "hire"
    PERMITS = "permits"
    DISCOUNT = "discount"
    PACKAGE = "package price"
    MINIMUM = "minimum order"
    DEPOSIT = "deposit"
    OTHER = "other"


JOB_KINDS: Final = (
    LineKind.DELIVERY,
    LineKind.SET_UP,
    LineKind.TAKE_DOWN,
    LineKind.OUT_OF_HOURS,
    LineKind.RUSH,
    LineKind.GAS,
    LineKind.HIRE,
    LineKind.PERMITS,
)
"""Lines beside the pieces, each with a rule the studio sets."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an offer or an invoice.

    Attributes:
        what: in the client's words: "Swirl column", "Delivery, 22 km".
        quantity: how many; not negative.
        unit_price: of one; negative for what is taken off.
        price: quantity times unit price, rounded once.
        piece: name of the piece it is of, None for a line of the whole job.
        tax: the tax it bears.
        reason: why a price was set by hand, for the studio's eyes.
    """

    kind: LineKind
    what: str
    quantity: Decimal
    unit_price: Decimal
    price: Decimal
    piece: str | None = None
    tax: Tax = NO_TAX
    reason: str = ""


def line(
    kind: LineKind,
    what: str,
    unit_price: Decimal,
    currency: str,
    *,
    quantity: Decimal = Decimal(1),
    piece: str | None = None,
    tax: Tax = NO_TAX,
    reason: str = "",
) -> Line:
    """A line whose price is worked out by the one rounding rule."""
    each = rounded(unit_price, currency)
    price = rounded(each * quantity, currency)
    return Line(kind, what, quantity, each, price, piece, tax, reason)


def sum_of(lines: Iterable[Line]) -> Decimal:
    """What lines come to together."""
    return sum((one.price for one in lines), ZERO)
