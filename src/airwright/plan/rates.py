"""A studio's amounts in the currency of one job, at dated rates; never one to one. And which
prices and rates are so old that they want another look."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Final

from pydantic import BaseModel

from airwright.catalog import Balloon, Catalog, Hardware, starting_rates
from airwright.job.findings import Finding, caution, error, hint
from airwright.job.price_notes import DistanceBand, Instalment
from airwright.job.studio import Cylinder, Pricing, Studio
from airwright.language import message
from airwright.money.amount import MoneyError, is_currency
from airwright.money.currency import OLD_DAYS, Rate, factor, find_rate
from airwright.plan.piece_values import Need

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

OLD_PRICE_DAYS: Final = 365
"""Days after which a price is worth another look (common practice: a price list a year)."""

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


def priced(
    catalog: Catalog, studio: Studio, currency: str
) -> tuple[Catalog, Studio, tuple[Finding, ...]]:
    """Catalogue and cylinders with every price in a job's currency, each row from its own.

    Args:
        catalog: as the studio has it.
        studio: from `in_currency`: its `catalog_rate` leads from the catalogue's currency.
        currency: of the job.

    Returns:
        Both to reckon with (the studio's `catalog_rate` is 1), and errors for rates that lack,
        cautions for starting rates.
    """
    row_rates = _RowRates(studio, currency)
    if row_rates.needless(catalog):
        return catalog, studio, ()
    balloons = [row_rates.balloon(row) for row in catalog.balloons.values()]
    hardware = [row_rates.hardware(row) for row in catalog.hardware.values()]
    cylinders = tuple(row_rates.cylinder(row) for row in studio.cylinders)
    pricing = studio.pricing.model_copy(update={"catalog_rate": Decimal(1)})
    shop = studio.model_copy(update={"cylinders": cylinders, "pricing": pricing})
    own = replace(catalog.with_rows(balloons=balloons, hardware=hardware), currency=currency)
    return own, shop, tuple(dict.fromkeys(row_rates.found))


class _RowRates:
    """What one unit of a row's currency is in the job's; what is wrong is kept in `found`."""

    def __init__(self, studio: Studio, quote: str) -> None:
        self._studio, self._quote = studio, quote
        self._known: dict[str | None, Decimal] = {None: studio.pricing.catalog_rate}
        self.found: list[Finding] = []

    def needless(self, catalog: Catalog) -> bool:
        """Whether every price is in the job's currency as it stands."""
        named = {row.currency for row in catalog.balloons.values()}
        named |= {row.currency for row in catalog.hardware.values()}
        named |= {row.currency for row in self._studio.cylinders}
        return self._known[None] == 1 and named <= {None, self._quote}

    def balloon(self, row: Balloon) -> Balloon:
        rate = self._rate(row.currency)
        packs = tuple(pack.model_copy(update={"price": pack.price * rate}) for pack in row.packs)
        return row.model_copy(update={"packs": packs, "currency": self._quote})

    def hardware(self, row: Hardware) -> Hardware:
        price = row.price * self._rate(row.currency)
        return row.model_copy(update={"price": price, "currency": self._quote})

    def cylinder(self, row: Cylinder) -> Cylinder:
        rate = self._rate(row.currency)
        told = {"price": row.price * rate, "rent": row.rent * rate, "currency": self._quote}
        return row.model_copy(update=told)

    def _rate(self, base: str | None) -> Decimal:
        if base not in self._known and base is not None:
            pricing = self._studio.pricing.model_copy(update={"currency": base})
            if is_currency(base):
                rate, problem = _own_rate(pricing, rates_of(self._studio), self._quote)
            else:
                what = message('"{code}" is no currency.', code=base)
                mend = message('Use one like "USD" or "EUR".')
                rate, problem = Decimal(1), [error("currency", "", what, mend)]
            self._known[base] = rate
            self.found += problem
        return self._known[base]


def old_figures(
    needs: Sequence[Need], catalog: Catalog, studio: Studio, currency: str, today: dt.date
) -> Iterator[Finding]:
    """Prices of the studio's own that a job takes and that are old, and old rates it takes.

    Args:
        needs: of the job.
        catalog, studio: as the studio file has them.
        currency: of the job.
        today: what age is counted to.
    """
    taken = {need.item for need in needs}
    listed = (catalog.balloon_listed(need.item) for need in needs if need.kind == "balloon")
    rows: dict[str, Balloon | Hardware | Cylinder] = {
        **{row.size: row for row in listed},
        **{row.item: row for row in catalog.hardware.values() if row.item in taken},
        **{row.name: row for row in studio.cylinders if row.name in taken},
    }
    old = [
        (row.priced_on, name)
        for name, row in rows.items()
        if row.priced_on is not None and (today - row.priced_on).days > OLD_PRICE_DAYS
    ]
    if old:
        day, name = min(old)
        what = message(
            "Prices older than a year: {n}. The oldest is that of {name}, from {day}.",
            n=len(old),
            name=name,
            day=day.isoformat(),
        )
        mend = message("Look them up anew, and write the day beside the price in the catalog.")
        yield hint("old-prices", "", what, mend)
    bases = {row.currency or catalog.currency for row in rows.values()} | {studio.pricing.currency}
    for base in sorted(bases - {currency}):
        rate = find_rate(rates_of(studio), base, currency)
        if rate is not None and (today - rate.date).days > OLD_DAYS:
            what = message(
                "The rate from {base} to {quote} is of {day}.",
                base=base,
                quote=currency,
                day=rate.date.isoformat(),
            )
            mend = message("Enter a younger one under Prices, or leave it if it still holds.")
            yield hint("old-rate", "job.currency", what, mend)


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
