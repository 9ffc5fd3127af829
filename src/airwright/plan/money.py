"""Cost and price, all in Decimal, with one rounding rule."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from functools import cache

from airwright.job.studio import Pricing
from airwright.plan.values import Money


@cache
def cent(currency: str) -> Decimal:
    """Smallest amount of a currency: 0.01 for USD, 1 for JPY, 0.001 for KWD (CLDR data)."""
    from babel.numbers import get_currency_precision

    return Decimal(1).scaleb(-get_currency_precision(currency))


def rounded(amount: Decimal, currency: str) -> Decimal:
    """The one rounding rule: to the currency's cent, halves away from zero."""
    return amount.quantize(cent(currency), rounding=ROUND_HALF_UP)


def reckon(
    currency: str,
    pricing: Pricing,
    *,
    materials: Decimal,
    labour: Decimal,
    transport: Decimal,
    rental: Decimal,
) -> Money:
    """One reckoning from direct costs to deposit.

    Args:
        currency: ISO 4217 code; amounts are rounded to its cent.
        pricing: overhead, margin, price step, tax and deposit.
        materials, labour, transport, rental: direct costs.

    Returns:
        Money whose parts add up exactly.
    """
    materials, labour, transport, rental = (
        rounded(part, currency) for part in (materials, labour, transport, rental)
    )
    direct = materials + labour + transport + rental
    overhead = rounded(direct * pricing.overhead, currency)
    cost = direct + overhead
    wanted = max(cost / (1 - pricing.margin), pricing.minimum if direct else Decimal(0))
    price = rounded(step_up(wanted, pricing.price_step), currency)
    tax = rounded(price * pricing.tax, currency)
    total = price + tax
    return Money(
        currency=currency,
        materials=materials,
        labour=labour,
        transport=transport,
        rental=rental,
        overhead=overhead,
        cost=cost,
        margin=price - cost,
        price=price,
        tax=tax,
        total=total,
        deposit=rounded(total * pricing.deposit, currency),
    )


def step_up(amount: Decimal, step: Decimal) -> Decimal:
    """The amount rounded up to a multiple of the price step."""
    return (amount / step).to_integral_value(rounding=ROUND_CEILING) * step


def shared(total: Decimal, weights: Sequence[Decimal], currency: str) -> tuple[Decimal, ...]:
    """A total dealt by weight so that the parts add up to it to the cent.

    Each part is rounded down first; the cents left over go to the largest remainders.

    Args:
        total: a multiple of the currency's cent, not negative.
        weights: not negative; all zero means equal shares.
        currency: ISO 4217 code.
    """
    if not weights:
        return ()
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


def show_money(amount: Decimal, currency: str, locale: str = "en_US") -> str:
    """An amount for people: "$184.50", "¥1,200"."""
    from babel.numbers import format_currency

    return format_currency(amount, currency, locale=locale)


def plain(amount: Decimal, currency: str) -> str:
    """An amount for programs: "184.50"."""
    return f"{rounded(amount, currency):f}"
