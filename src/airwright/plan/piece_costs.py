"""What one piece costs, and so what it is sold for, from the piece and the studio alone.

Nothing of the venue, the day or the other pieces is in it: spares pooled over a job, cylinders
rented whole, carrying and ballast belong to the job and its lines.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from typing import Final

from airwright.catalog import Catalog
from airwright.job.studio import Studio
from airwright.money.amount import ZERO
from airwright.money.price import PieceCost, PiecePrice, piece_price
from airwright.physics.errors import PhysicsError
from airwright.plan.floating import float_lines
from airwright.plan.gas import usable_m3
from airwright.plan.hours import HELIUM, INFLATING, STACKING, usual_way, with_work
from airwright.plan.needs import CONSUMABLE_SPARE
from airwright.plan.packs import unit_price
from airwright.plan.piece_values import PiecePlan, WorkLine
from airwright.plan.surroundings import EVERYDAY

BUILT_ON_SITE: Final = INFLATING | {
    "frame", "panel", "foot", "fix to frame", "hang garland", "net", HELIUM, STACKING, "bouquet",
}  # fmt: skip
"""Work on site that makes the piece, and grows with it; all other work there is set-up."""
FOR_THE_VAN: Final = frozenset({"load", "ready the van", "load and unload"})
"""Work in the workshop that belongs to the trip."""


def is_own(line: WorkLine) -> bool:
    """Whether work makes the piece itself, rather than bringing, placing or striking it."""
    if line.operation in BUILT_ON_SITE:
        return True
    return line.place == "workshop" and line.operation not in FOR_THE_VAN


def is_take_down(line: WorkLine) -> bool:
    """Whether work comes after the event."""
    return line.place == "take-down" or line.operation == "strike piece"


def is_set_up(line: WorkLine) -> bool:
    """Whether work brings and places pieces before guests come, the road left out."""
    return not (is_own(line) or is_take_down(line) or line.place == "road")


def wage(lines: Iterable[WorkLine], studio: Studio) -> Decimal:
    """What the hands' time of some work costs."""
    hours = sum(line.hours for line in lines)
    return Decimal(str(round(hours, 6))) * studio.pricing.labour_rate


def piece_cost(piece: PiecePlan, catalog: Catalog, studio: Studio) -> PieceCost:
    """Direct cost of one piece, in the currency of the studio's amounts."""
    work = piece.work
    return PieceCost(
        materials=_balloons(piece, catalog, studio) + _consumables(piece, catalog, studio),
        labour=wage(filter(is_own, work), studio),
        wear=_wear(piece, catalog, studio),
        gas=_gas(piece, catalog, studio),
        set_up=wage(filter(is_set_up, work), studio),
        take_down=wage(filter(is_take_down, work), studio),
    )


def with_price(piece: PiecePlan, catalog: Catalog, studio: Studio, currency: str) -> PiecePlan:
    """The piece with what one of it is sold for.

    Made by the studio's usual hands and placed in an everyday room, without ballast, so that
    nothing of a venue is in the price.
    """
    bare = replace(piece, stability=None, weighting=None)
    usual = with_work(bare, catalog, usual_way(studio))
    return replace(piece, price=price_of(usual, catalog, studio, currency))


def price_of(piece: PiecePlan, catalog: Catalog, studio: Studio, currency: str) -> PiecePrice:
    """What one piece is sold for."""
    spec = piece.spec
    return piece_price(
        piece_cost(piece, catalog, studio),
        studio,
        currency,
        by_hand=spec.price,
        reason=spec.price_reason,
    )


def _balloons(piece: PiecePlan, catalog: Catalog, studio: Studio) -> Decimal:
    """Balloons used, and those that fail on the way: count / (1 - failure rate)."""
    used = [(line.size, Decimal(line.count)) for line in piece.balloons]
    used += [
        (strand.stock_size, Decimal(str(round(strand.balloons, 6))))
        for strand in piece.assembly.strands
        if strand.stock_size is not None
    ]
    total = ZERO
    for size, count in used:
        row = catalog.balloon(size)
        survive = 1 - Decimal(str(round(row.failure_rate, 6)))
        total += count * unit_price(row.packs) / survive
    return total * studio.pricing.catalog_rate


def _consumables(piece: PiecePlan, catalog: Catalog, studio: Studio) -> Decimal:
    """Ribbon, line, bands and strips, with what is cut off."""
    total = ZERO
    for line in piece.hardware:
        row = catalog.item(line.item)
        if row.reuses == 1:
            waste = Decimal(str(1 + CONSUMABLE_SPARE)) if row.unit == "m" else Decimal(1)
            total += Decimal(str(round(line.quantity, 6))) * row.price * waste
    return total * studio.pricing.catalog_rate


def _wear(piece: PiecePlan, catalog: Catalog, studio: Studio) -> Decimal:
    """The share of one job in hardware that lasts for many."""
    total = ZERO
    for line in piece.hardware:
        row = catalog.item(line.item)
        if row.reuses > 1:
            total += Decimal(str(round(line.quantity, 6))) * row.price / row.reuses
    return total * studio.pricing.catalog_rate


def _gas(piece: PiecePlan, catalog: Catalog, studio: Studio) -> Decimal:
    """Helium by use, as an everyday job draws it, at the studio's dearest cylinder.

    The smallest cylinder's gas is the dearest; a small job takes it, a large one does better.
    """
    prices = [
        (kind.price - kind.rent) / Decimal(str(round(usable_m3(kind), 6)))
        for kind in studio.cylinders
        if kind.most > 0 and usable_m3(kind) > 0
    ]
    if not prices or not any(line.helium for line in piece.balloons):
        return ZERO
    try:
        lines = float_lines(piece.assembly, catalog, EVERYDAY, studio.helium)
    except PhysicsError:
        return ZERO  # told as a finding about the balloon's size
    cubic_metres = sum(line.gas_m3 * line.count for line in lines) * (1 + studio.helium.waste)
    return Decimal(str(round(cubic_metres, 6))) * max(prices) * studio.pricing.catalog_rate
