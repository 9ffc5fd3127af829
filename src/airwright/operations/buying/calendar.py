"""When a parcel comes: working days, delivery days, holidays, cut-off time."""

from __future__ import annotations

import datetime as dt
from functools import lru_cache

from airwright.operations.buying.values import Supplier

LONGEST_WAIT_DAYS = 400
"""A supplier who is closed for longer than this does not deliver."""


class UnknownRegion(ValueError):
    """There are no public holidays on file for a country or region."""


@lru_cache(maxsize=512)
def public_holidays(region: str, year: int) -> frozenset[dt.date]:
    """Public holidays of a year in "DE" or "DE-BE" (ISO 3166). Raises UnknownRegion."""
    import holidays

    country, _, part = region.partition("-")
    try:
        return frozenset(holidays.country_holidays(country, subdiv=part or None, years=year))
    except NotImplementedError as problem:
        raise UnknownRegion(region) from problem


def is_open(supplier: Supplier, day: dt.date) -> bool:
    """Whether it is no holiday and the supplier is not closed."""
    if day in supplier.closed:
        return False
    return not supplier.holidays or day not in public_holidays(supplier.holidays, day.year)


def is_working(supplier: Supplier, day: dt.date) -> bool:
    """Whether a day counts as a working day."""
    return day.weekday() in supplier.works and is_open(supplier, day)


def arrival(
    supplier: Supplier, order_on: dt.date, days: int | None = None, *, late: bool = False
) -> dt.date | None:
    """The day the parcel of an order comes.

    The lead days are the working days after the day of ordering; the parcel comes on the first
    delivery day that is no holiday, on or after the last of them.

    Args:
        supplier: its terms.
        order_on: the day of ordering.
        days: lead time [working days]; the supplier's late one by default.
        late: whether the order goes out after the cut-off time.

    Returns:
        The day, or None when none comes within `LONGEST_WAIT_DAYS`.
    """
    left = (supplier.late_days if days is None else days) + late
    day = order_on
    end = order_on + dt.timedelta(days=LONGEST_WAIT_DAYS)
    while left > 0 and day < end:
        day += dt.timedelta(days=1)
        left -= is_working(supplier, day)
    while day < end and not (day.weekday() in supplier.delivers and is_open(supplier, day)):
        day += dt.timedelta(days=1)
    return day if day < end else None


def is_late(supplier: Supplier, time: dt.time | None) -> bool:
    """Whether an order at this time of day misses the cut-off."""
    return time is not None and supplier.cutoff is not None and time > supplier.cutoff


def latest_order(
    supplier: Supplier, due: dt.date, today: dt.date, time: dt.time | None = None
) -> tuple[dt.date, dt.date] | None:
    """The last day to order so that the parcel is there in time, and the day it comes.

    Never a day on which the supplier does not work, unless that day is today.

    Returns:
        (order on, arrives on), or None when even an order of today comes too late.
    """
    first = arrival(supplier, today, late=is_late(supplier, time))
    if first is None or first > due:
        return None
    best = (today, first)
    day = due
    while day > today:
        if is_working(supplier, day):
            comes = arrival(supplier, day)
            if comes is not None and comes <= due:
                return day, comes
        day -= dt.timedelta(days=1)
    return best
