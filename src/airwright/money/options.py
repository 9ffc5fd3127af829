"""An option's lines: pieces at their own prices, quantity price, job lines, and what comes off.

The lines add up to the option's price exactly. A piece's unit price is never touched: what comes
off for several of it, for the whole option, or up to a package price stands on a line of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from airwright.job.models import OptionSpec
from airwright.job.price_notes import QuantityStep
from airwright.job.studio import Pricing
from airwright.language import message
from airwright.money.amount import ZERO, MoneyError, rounded, shared
from airwright.money.lines import Line, LineKind, line, sum_of
from airwright.money.tax import Tax


@dataclass(frozen=True, slots=True)
class PieceSale:
    """One kind of piece in an option: its name, how many, and what one of it is sold for."""

    name: str
    count: int
    unit_price: Decimal
    tax: Tax
    reason: str = ""


def quantity_off(count: int, steps: Sequence[QuantityStep]) -> Decimal:
    """Share that comes off so many equal pieces: the last step they reach."""
    reached = [step for step in steps if count >= step.least]
    return max(reached, key=lambda step: step.least).off if reached else ZERO


def piece_lines(sales: Sequence[PieceSale], pricing: Pricing, currency: str) -> tuple[Line, ...]:
    """Lines of the pieces, each with its quantity price behind it."""
    found: list[Line] = []
    for sale in sales:
        own = line(
            LineKind.PIECE,
            sale.name,
            sale.unit_price,
            currency,
            quantity=Decimal(sale.count),
            piece=sale.name,
            tax=sale.tax,
            reason=sale.reason,
        )
        found.append(own)
        off = quantity_off(sale.count, pricing.quantity)
        taken = rounded(own.price * off, currency)
        if taken > 0:
            percent = f"{(off * 100).normalize():f} %"
            what = message(
                "{percent} off {count} × {name}",
                percent=percent,
                count=sale.count,
                name=sale.name,
            )
            found.append(
                line(LineKind.QUANTITY, what, -taken, currency, piece=sale.name, tax=sale.tax)
            )
    return tuple(found)


def option_lines(
    pieces: Sequence[Line],
    beside: Sequence[Line],
    spec: OptionSpec,
    pricing: Pricing,
    currency: str,
    *,
    minimum: bool = True,
) -> tuple[Line, ...]:
    """All lines of one option; their sum is its price, above zero.

    Args:
        pieces: from `piece_lines`.
        beside: from `charges.job_lines`.
        spec: discount and package price of the option.
        pricing: the studio's minimum order.
        currency: ISO 4217 code.
        minimum: whether the minimum order holds for it.

    Raises:
        MoneyError: what comes off leaves nothing of the price.
    """
    lines = [*pieces, *beside]
    if not lines:
        return ()
    if spec.discount < 0 or spec.amount_off < 0:
        raise MoneyError(
            message("A discount below zero is none."), message("Raise a piece's price instead.")
        )
    whole = sum_of(lines)
    off = rounded(whole * spec.discount, currency) + rounded(spec.amount_off, currency)
    if spec.package_price is not None:
        price = rounded(spec.package_price, currency)
        if not price > 0:
            raise MoneyError(
                message(
                    "A package price of {package_price} is none.", package_price=spec.package_price
                ),
                message("Set one above zero."),
            )
        lines += _spread(LineKind.PACKAGE, message("Package price"), price - whole, lines, currency,
                         spec.price_reason)  # fmt: skip
        return tuple(lines)
    if off >= whole > 0:
        raise MoneyError(
            message("{off} is taken off a price of {whole}.", off=f"{off:f}", whole=f"{whole:f}"),
            message("Take off less than the whole, or set a package price."),
        )
    if off > 0:
        lines += _spread(LineKind.DISCOUNT, _off_words(spec), -off, lines, currency,
                         spec.price_reason)  # fmt: skip
    least = rounded(pricing.minimum, currency)
    missing = least - sum_of(lines)
    if minimum and missing > 0:
        lines += _spread(
            LineKind.MINIMUM, message("Up to our minimum order"), missing, lines, currency, ""
        )
    return tuple(lines)


def _off_words(spec: OptionSpec) -> str:
    if spec.discount > 0 and spec.amount_off == 0:
        return message("Discount {share} %", share=f"{(spec.discount * 100).normalize():f}")
    return message("Discount")


def _spread(
    kind: LineKind,
    what: str,
    amount: Decimal,
    over: Sequence[Line],
    currency: str,
    reason: str,
) -> list[Line]:
    """An amount on the whole option, one line a tax it falls under, in proportion to the lines."""
    if amount == 0:
        return []
    taxes: dict[tuple[str, Decimal], Tax] = {}
    weights: dict[tuple[str, Decimal], Decimal] = {}
    for one in over:
        taxes.setdefault(one.tax.key, one.tax)
        weights[one.tax.key] = weights.get(one.tax.key, ZERO) + max(one.price, ZERO)
    parts = shared(amount, list(weights.values()), currency)
    return [
        line(kind, what, part, currency, tax=tax, reason=reason)
        for part, tax in zip(parts, taxes.values(), strict=True)
        if part != 0
    ]
