"""What has to be bought or brought: balloons with spares and bags, hardware, consumables."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal

from airwright.catalog import Balloon, Catalog, Family
from airwright.job.studio import Studio
from airwright.plan.gas import gas_needs
from airwright.plan.hours import is_jumbo
from airwright.plan.packs import cheapest, unit_price
from airwright.plan.piece_values import Need, PiecePlan
from airwright.plan.spares import Line, chance_enough, cheapest_spares
from airwright.plan.stability import Stability
from airwright.units import INCH_M

CONSUMABLE_SPARE = 0.10
"""Extra of ribbon, line and strips for cutting and knots (common practice)."""


def needs_of(pieces: Sequence[PiecePlan], catalog: Catalog, studio: Studio) -> tuple[Need, ...]:
    """Everything the pieces take together, each times its count.

    Args:
        pieces: the pieces in scope.
        catalog: bags, prices, failure rates.
        studio: the accepted chance of running short, and the catalogue's rate.
    """
    return (
        *_balloons(pieces, catalog, studio),
        *_hardware(pieces, catalog, studio),
        *_weights(pieces),
        *gas_needs(pieces, studio),
    )


def _balloons(pieces: Sequence[PiecePlan], catalog: Catalog, studio: Studio) -> list[Need]:
    used: dict[tuple[str, str], int] = defaultdict(int)
    reserve: dict[tuple[str, str], int] = defaultdict(int)
    floating: set[tuple[str, str]] = set()
    for piece in pieces:
        for line in piece.balloons:
            for bag in line.bags or (line.shade,):
                used[line.size, bag] += line.count * piece.count
                if line.helium:
                    floating.add((line.size, bag))
        bags = {shade.name: shade.bags for shade in piece.assembly.shades}
        for size, shade, count in piece.assembly.reserve:
            for bag in bags.get(shade, (shade,)):
                used[size, bag] += 0  # a shade that only the most layers come to
                reserve[size, bag] += count * piece.count
    for key, parts in _ties(pieces).items():
        used[key] += math.ceil(parts - 1e-9)
    keys = sorted(used, key=lambda key: _by_size(key, catalog))
    rows = [catalog.balloon(size) for size, _ in keys]
    always = studio.crew.spare_of_each == "yes"
    lines = [
        Line(
            need=used[key] + reserve[key],
            rate=row.failure_rate,
            seen=row.failure_seen,
            cost=float(unit_price(row.packs)),
            least=int(always and (key in floating or _precious(row))),
        )
        for key, row in zip(keys, rows, strict=True)
    ]
    spares = cheapest_spares(lines, studio.crew.shortage_risk)
    whole = zip(keys, rows, lines, spares, strict=True)
    return [
        _balloon(key, row, line, spare, reserve[key], studio) for key, row, line, spare in whole
    ]


def _precious(row: Balloon) -> bool:
    """Jumbos and foil: one that fails leaves a hole that nothing else fills."""
    return row.family is Family.FOIL or is_jumbo(row.family, row.nominal_in * INCH_M)


def _balloon(
    key: tuple[str, str], row: Balloon, line: Line, spare: int, reserve: int, studio: Studio
) -> Need:
    rate = studio.pricing.catalog_rate
    total = line.need + spare
    return Need(
        item=row.item,
        kind="balloon",
        size_in=row.nominal_in,
        shade=key[1],
        used=line.need - reserve,
        spare=spare + reserve,
        reserve=reserve,
        unit="each",
        packs=cheapest(row.packs, total, rate),
        unit_cost=unit_price(row.packs) * rate,
        mass_kg=row.mass_g * total / 1000,
        failure_rate=row.failure_rate,
        failure_seen=row.failure_seen,
        chance_short=1.0 - chance_enough(line, spare),
    )


def chance_short(needs: Sequence[Need]) -> float:
    """Chance that any balloon of these needs is short, each line failing for itself [-]."""
    return 1.0 - math.prod(1.0 - need.chance_short for need in needs)


def _ties(pieces: Sequence[PiecePlan]) -> dict[tuple[str, str], float]:
    """260s as ties over the whole job: loops of several pieces are cut from the same one."""
    parts: dict[tuple[str, str], float] = defaultdict(float)
    for piece in pieces:
        for strand in piece.assembly.strands:
            if strand.stock_size is not None:
                parts[strand.stock_size, strand.shade.bags[0]] += strand.balloons * piece.count
    return parts


def _by_size(key: tuple[str, str], catalog: Catalog) -> tuple[str, float, str, str]:
    row = catalog.balloon(key[0])
    return ((row.family.value != "round" and row.family.value) or "", -row.nominal_in, *key)


def _hardware(pieces: Sequence[PiecePlan], catalog: Catalog, studio: Studio) -> list[Need]:
    used: dict[tuple[str, str | None, float | None], float] = defaultdict(float)
    for piece in pieces:
        for line in piece.hardware:
            used[line.item, line.shade, line.depth_m] += line.quantity * piece.count
    needs = []
    for (item, shade, depth_m), quantity in used.items():
        row = catalog.item(item)
        spare = 0.0
        if row.unit == "m" and row.reuses == 1:
            quantity = round(quantity, 2)
            spare = round(math.ceil(quantity * (1 + CONSUMABLE_SPARE)) - quantity, 2)
        elif row.use == "band":
            spare = math.ceil(quantity * CONSUMABLE_SPARE)
        total = quantity + spare
        needs.append(
            Need(
                item=item,
                kind=row.use,
                size_in=None,
                shade=shade,
                used=quantity,
                spare=spare,
                unit=row.unit,
                unit_cost=row.price * studio.pricing.catalog_rate,
                reuses=row.reuses,
                mass_kg=row.mass_kg * total,
                bulk_m3=row.bulk_m3 * total,
                depth_m=depth_m,
            )
        )
    return needs


BALLAST_ITEM = "water or sand for the bases"
SANDBAG_ITEM = "sandbags"
EXTRA_WEIGHT_ITEM = "extra weights for floating balloons"


def _weights(pieces: Sequence[PiecePlan]) -> list[Need]:
    """What keeps pieces down: filling for the bases, sandbags on them, and weights that floating
    ones lack [kg]."""
    ballast = sum(
        piece.stability.ballast_kg * piece.count
        for piece in pieces
        if isinstance(piece.stability, Stability)
    )
    bags = sum(
        piece.stability.sandbags_kg * piece.count
        for piece in pieces
        if isinstance(piece.stability, Stability)
    )
    extra = sum(
        math.ceil(10 * piece.weighting.missing_kg) / 10 * piece.count
        for piece in pieces
        if piece.weighting is not None
    )
    return [
        Need(item, "ballast", None, None, round(kg, 1), 0, "kg", reuses=100, mass_kg=kg)
        for item, kg in (
            (BALLAST_ITEM, ballast),
            (SANDBAG_ITEM, bags),
            (EXTRA_WEIGHT_ITEM, extra),
        )
        if kg > 0
    ]


def material_cost(needs: Sequence[Need]) -> Decimal:
    """What is used up: balloons, ribbon, bands, strips, gas; what is left over stays in stock, and
    so does what was bought for layers that hands may come to but seldom do."""
    return sum(
        (
            need.unit_cost * Decimal(str(need.total - need.reserve))
            for need in needs
            if need.reuses == 1 and not need.rented
        ),
        Decimal(0),
    )


def rental_cost(needs: Sequence[Need]) -> Decimal:
    """The job's share of what lasts for many jobs, and the rent of what is rented."""
    return sum(
        (
            need.unit_cost * Decimal(str(need.total)) / need.reuses
            for need in needs
            if need.reuses > 1 or need.rented
        ),
        Decimal(0),
    )
