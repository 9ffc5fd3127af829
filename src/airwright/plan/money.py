"""Cost and price, all in Decimal, with one rounding rule."""

from __future__ import annotations

from decimal import Decimal

from airwright.job.studio import Pricing
from airwright.money.amount import cent, plain, rounded, shared, show_money, step_up
from airwright.plan.values import Money

__all__ = ["cent", "plain", "reckon", "rounded", "shared", "show_money", "step_up"]


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
