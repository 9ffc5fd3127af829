"""One reckoning of an option or a job: what it costs, and what its lines come to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from airwright.job.studio import Studio
from airwright.language import message
from airwright.money.amount import ZERO, rounded
from airwright.money.lines import Line, sum_of
from airwright.money.payment_plan import Anchor, Part, deposit_of
from airwright.money.price import basis_of
from airwright.money.totals import totals_as_told
from airwright.plan.piece_values import Money


@dataclass(frozen=True, slots=True)
class Costs:
    """Direct costs, not rounded; `other` is passed on as it is and bears no overhead."""

    materials: Decimal = ZERO
    labour: Decimal = ZERO
    transport: Decimal = ZERO
    rental: Decimal = ZERO
    other: Decimal = ZERO


def reckon(currency: str, studio: Studio, costs: Costs, lines: Sequence[Line]) -> Money:
    """Cost, price, tax and deposit of one set of lines.

    Args:
        currency: ISO 4217 code; amounts are rounded to its cent.
        studio: overhead, how prices are told, payment terms.
        costs: direct costs.
        lines: what is sold, as told.

    Returns:
        Money whose parts add up exactly.
    """
    materials, labour, transport, rental, other = (
        rounded(part, currency)
        for part in (costs.materials, costs.labour, costs.transport, costs.rental, costs.other)
    )
    direct = materials + labour + transport + rental
    overhead = rounded(direct * studio.pricing.overhead, currency)
    cost = direct + overhead + other
    price = rounded(sum_of(lines), currency)
    sums = totals_as_told(currency, lines, basis_of(studio.pricing))
    total = sums.due
    # the cent that no net amount leads to (BT-114) stays with the tax on screen and paper
    tax = total - sums.net
    return Money(
        currency=currency,
        materials=materials,
        labour=labour,
        transport=transport,
        rental=rental,
        overhead=overhead,
        cost=cost,
        margin=sums.net - cost,
        price=price,
        tax=tax,
        total=total,
        deposit=deposit_of(total, currency, payment_parts(studio)),
        other=other,
        net=sums.net,
    )


def payment_parts(studio: Studio) -> tuple[Part, ...]:
    """Deposit and instalments as the studio asks for them."""
    terms, pricing = studio.payment, studio.pricing
    deposit = (
        Part(message("Deposit"), share=pricing.deposit)
        if terms.deposit is None
        else Part(message("Deposit"), amount=terms.deposit)
    )
    rest = [
        Part(
            message("Instalment {n}", n=at),
            share=row.share,
            amount=row.amount,
            anchor=Anchor(row.anchor),
            days=row.days,
        )
        for at, row in enumerate(terms.instalments, start=1)
    ]
    return (deposit, *rest)


def balance_part(studio: Studio) -> Part:
    """When the rest is due."""
    days = -studio.payment.balance_days
    return Part(message("Balance"), share=ZERO, anchor=Anchor.EVENT, days=days)
