"""Hands' time, from labour standards and what the Assembly holds."""

from __future__ import annotations

from collections import Counter

from airwright.catalog import Catalog, Family
from airwright.decor.assembly import Assembly
from airwright.job.models import Job
from airwright.plan.values import WorkLine
from airwright.units import INCH_M

SMALL_M = 6.5 * INCH_M
MEDIUM_M = 12.5 * INCH_M
LARGE_M = 20.5 * INCH_M
"""Nominal sizes up to which a balloon counts as small, medium, large; above it is a jumbo."""

ROUND_TRIPS = 2
"""Once to build, once to take down."""


def piece_work(assembly: Assembly, catalog: Catalog) -> tuple[WorkLine, ...]:
    """Time for one piece, operation by operation."""
    done: Counter[str] = Counter()
    for stock_at, count in Counter(assembly.stock.tolist()).items():
        stock = assembly.stocks[stock_at]
        done[inflating(stock.family, stock.nominal_m)] += count
        if stock.helium:
            done["fill helium"] += count
    done["tie cluster"] += len(assembly.clusters)
    done["place piece"] += 1
    done["strike piece"] += 1
    quantities: dict[str, float] = dict(done)
    for row in assembly.operations:
        quantities[row.operation] = quantities.get(row.operation, 0.0) + row.quantity
    return _lines(quantities, catalog)


def inflating(family: Family, nominal_m: float) -> str:
    """The labour standard that inflating one balloon falls under."""
    if family is Family.FOIL:
        return "inflate foil"
    if family is Family.MODELLING or nominal_m <= SMALL_M:
        return "inflate small"
    if nominal_m <= MEDIUM_M:
        return "inflate medium"
    return "inflate large" if nominal_m <= LARGE_M else "inflate jumbo"


def is_jumbo(family: Family, nominal_m: float) -> bool:
    """Whether a balloon is of the largest, each blown up and tied by itself."""
    return inflating(family, nominal_m) == "inflate jumbo"


def job_work(job: Job, catalog: Catalog, hands: int) -> tuple[WorkLine, ...]:
    """Time that belongs to no piece: loading, and driving with the whole crew."""
    kilometres = 2 * ROUND_TRIPS * job.venue.drive / 1000
    return _lines({"load and unload": 1, "drive": kilometres * hands}, catalog)


def _lines(quantities: dict[str, float], catalog: Catalog) -> tuple[WorkLine, ...]:
    lines = []
    for name, quantity in quantities.items():
        if quantity <= 0:
            continue
        standard = catalog.operation(name)
        allowance = 1.0 if standard.place == "road" else 1.0 + catalog.allowance
        hours = standard.minutes * quantity * allowance / 60
        lines.append(WorkLine(name, standard.what, standard.place, quantity, hours))
    return tuple(lines)
