"""A studio's amounts in the currency of one job, at dated rates; never one to one."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Final

from pydantic import BaseModel

from airwright.catalog import starting_rates
from airwright.job.findings import Finding, caution, error, hint
from airwright.job.price_notes import DistanceBand, Instalment
from airwright.job.studio import Pricing, Studio
from airwright.language import message
from airwright.money.amount import MoneyError, is_currency
from airwright.money.currency import Rate, factor, find_rate

AMOUNTS: Final = {
    "pricing": ("labour_rate", "transport_rate", "minimum"),
    "delivery": ("price", "beyond"),
    "set_up": ("price",),
    "take_down": ("price",),
    "out_of_hours": ("price",),
    "rush": ("price",),
    "hire": ("price",),
    "payment": ("deposit",),
}
"""Amounts of the studio file in the studio's currency, table by table."""

_STEPS: Final = (Decimal(1), Decimal(2), Decimal(5), Decimal(10))


def rates_of(studio: Studio) -> tuple[Rate, ...]:
    """The studio's rates; what is no currency is left out (it is a finding)."""
    return tuple(
        Rate(row.base, row.quote, row.rate, row.date)
        for row in studio.pricing.rates
        if is_currency(row.base) and is_currency(row.quote)
    )


def in_currency(
    studio: Studio, currency: str, catalog_currency: str
) -> tuple[Studio, tuple[Finding, ...]]:
    """The studio with every amount in a job's currency.

    Args:
        studio: as the studio file has it.
        currency: of the job.
        catalog_currency: of the prices in the catalogue.

    Returns:
        The studio, and findings: a caution for a starting rate of ours, an error for a rate that
        is missing (amounts then stand as they are, and no plan may be made of them), a hint for
        one without a day.
    """
    rates, pricing = rates_of(studio), studio.pricing
    found: list[Finding] = []
    if not is_currency(currency):
        what = message('"{code}" is no currency.', code=currency)
        mend = message('Use one like "USD" or "EUR".')
        return studio, (error("currency", "job.currency", what, mend),)
    own, problem = _own_rate(pricing, rates, currency)
    found += problem
    catalog_rate, problem = _catalog_rate(studio, rates, catalog_currency, currency)
    found += [finding for finding in problem if finding not in found]
    if own != 1:
        studio = _times(studio, own)
    changed = studio.pricing.model_copy(update={"catalog_rate": catalog_rate, "currency": currency})
    return studio.model_copy(update={"pricing": changed}), tuple(found)


def _own_rate(pricing: Pricing, rates: Iterable[Rate], quote: str) -> tuple[Decimal, list[Finding]]:
    """What one unit of the studio's currency is in the job's."""
    base = pricing.currency
    try:
        return factor(rates, base, quote), []
    except MoneyError:
        start = _starting(base, quote)
    if start is not None:
        return start.rate, [_started(start)]
    what = message(
        "Your prices are in {base}, the job is in {quote}, and there is no rate between them.",
        base=base,
        quote=quote,
    )
    return Decimal(1), [_no_rate(what, base, quote)]


def _starting(base: str, quote: str) -> Rate | None:
    return find_rate([Rate(r.base, r.quote, r.rate, r.date) for r in starting_rates()], base, quote)


def _started(rate: Rate) -> Finding:
    """One finding, however many amounts follow the rate."""
    said = {"base": rate.base, "quote": rate.quote, "rate": f"{rate.rate:.5g}"}
    what = message(
        "Prices in {base} are counted at {rate} {quote} for one {base}, a rate from memory of "
        "{year}.",
        **said,
        year=str(rate.date.year),
    )
    mend = message(
        "Enter today's rate in the studio file, among the rates under [pricing], like "
        '"1 {base} = {rate} {quote} on 2027-01-04".',
        **said,
    )
    return caution("starting-rate", "job.currency", what, mend)


def _no_rate(what: str, base: str, quote: str) -> Finding:
    mend = message(
        "Enter one with its day in the studio file, among the rates under [pricing], like "
        '"1 {base} = 1.10 {quote} on 2027-01-04", or make the job in {base}.',
        base=base,
        quote=quote,
    )
    return error("no-rate", "job.currency", what, mend)


def _catalog_rate(
    studio: Studio, rates: Iterable[Rate], base: str, quote: str
) -> tuple[Decimal, list[Finding]]:
    """What one unit of the catalogue's currency is in the job's."""
    try:
        return factor(rates, base, quote), []
    except MoneyError:
        by_hand = studio.pricing.catalog_rate
    if by_hand == 1:
        start = _starting(base, quote)
        if start is not None:
            return start.rate, [_started(start)]
        return by_hand, [
            _no_rate(
                message(
                    "Prices of balloons and hardware are in {base}, the job is in {quote}, and "
                    "there is no rate between them.",
                    base=base,
                    quote=quote,
                ),
                base,
                quote,
            )
        ]
    said = {"base": base, "quote": quote, "rate": str(by_hand)}
    what = message("The rate from {base} to {quote} ({rate}) has no day.", **said)
    mend = message(
        'Write it under Prices as a rate: "1 {base} = {rate} {quote} on 2027-01-04".', **said
    )
    return by_hand, [hint("undated-rate", "", what, mend)]


def _times(studio: Studio, rate: Decimal) -> Studio:
    changes: dict[str, BaseModel] = {}
    for name, keys in AMOUNTS.items():
        table: BaseModel = getattr(studio, name)
        amounts = {key: getattr(table, key) for key in keys}
        changes[name] = table.model_copy(
            update={key: value * rate for key, value in amounts.items() if value is not None}
        )
    bands = [DistanceBand(b.up_to_m, b.price * rate) for b in studio.delivery.bands]
    changes["delivery"] = changes["delivery"].model_copy(update={"bands": bands})
    parts = [
        Instalment(i.share, None if i.amount is None else i.amount * rate, i.anchor, i.days)
        for i in studio.payment.instalments
    ]
    changes["payment"] = changes["payment"].model_copy(update={"instalments": parts})
    step = {"price_step": _round_step(studio.pricing.price_step * rate)}
    changes["pricing"] = changes["pricing"].model_copy(update=step)
    return studio.model_copy(update=changes)


def _round_step(step: Decimal) -> Decimal:
    """A converted price step as a round one: 1, 2 or 5 times a power of ten, the nearest."""
    power = Decimal(1).scaleb(step.adjusted())
    return min((power * digit for digit in _STEPS), key=lambda near: abs(near - step))
