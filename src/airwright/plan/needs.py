"""What has to be bought or brought: balloons with spares and bags, hardware, consumables."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal

from airwright.catalog import Catalog, Family
from airwright.job.studio import Studio
from airwright.plan.gas import gas_needs
from airwright.plan.packs import cheapest, unit_price
from airwright.plan.spares import to_buy
from airwright.plan.stability import Stability
from airwright.plan.values import Need, PiecePlan

CONSUMABLE_SPARE = 0.10
"""Extra of ribbon, line and strips for cutting and knots (common practice)."""

_FAMILY_WORD = {
    Family.ROUND: "round balloon",
    Family.LINK: "link balloon",
    Family.MODELLING: "modelling balloon",
    Family.FOIL: "foil balloon",
}


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
    for piece in pieces:
        for line in piece.balloons:
            used[line.size, line.shade] += line.count * piece.count
    for key, parts in _ties(pieces).items():
        used[key] += math.ceil(parts - 1e-9)
    rate = studio.pricing.catalog_rate
    needs = []
    for (size, shade), count in sorted(used.items(), key=lambda row: _by_size(row[0], catalog)):
        row = catalog.balloon(size)
        total = to_buy(count, row.failure_rate, studio.crew.shortage_risk)
        needs.append(
            Need(
                item=f"{size} {_FAMILY_WORD[row.family]}"
                if row.family is not Family.FOIL
                else size,
                kind="balloon",
                size_in=row.nominal_in,
                shade=shade,
                used=count,
                spare=total - count,
                unit="each",
                packs=cheapest(row.packs, total, rate),
                unit_cost=unit_price(row.packs) * rate,
                mass_kg=row.mass_g * total / 1000,
            )
        )
    return needs


def _ties(pieces: Sequence[PiecePlan]) -> dict[tuple[str, str], float]:
    """260s as ties over the whole job: loops of several pieces are cut from the same one."""
    parts: dict[tuple[str, str], float] = defaultdict(float)
    for piece in pieces:
        for strand in piece.assembly.strands:
            if strand.stock_size is not None:
                parts[strand.stock_size, strand.shade.name] += strand.balloons * piece.count
    return parts


def _by_size(key: tuple[str, str], catalog: Catalog) -> tuple[str, float, str, str]:
    row = catalog.balloon(key[0])
    return ((row.family.value != "round" and row.family.value) or "", -row.nominal_in, *key)


def _hardware(pieces: Sequence[PiecePlan], catalog: Catalog, studio: Studio) -> list[Need]:
    used: dict[str, float] = defaultdict(float)
    for piece in pieces:
        for line in piece.hardware:
            used[line.item] += line.quantity * piece.count
    needs = []
    for item, quantity in used.items():
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
                shade=None,
                used=quantity,
                spare=spare,
                unit=row.unit,
                unit_cost=row.price * studio.pricing.catalog_rate,
                reuses=row.reuses,
                mass_kg=row.mass_kg * total,
                bulk_m3=row.bulk_m3 * total,
            )
        )
    return needs


BALLAST_ITEM = "water or sand for the bases"
EXTRA_WEIGHT_ITEM = "extra weights for floating balloons"


def _weights(pieces: Sequence[PiecePlan]) -> list[Need]:
    """What keeps pieces down: filling for the bases, and weights that floating ones lack [kg]."""
    ballast = sum(
        piece.stability.ballast_kg * piece.count
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
        for item, kg in ((BALLAST_ITEM, ballast), (EXTRA_WEIGHT_ITEM, extra))
        if kg > 0
    ]


def material_cost(needs: Sequence[Need]) -> Decimal:
    """What is used up: balloons, ribbon, bands, strips; bag leftovers stay in stock."""
    return sum(
        (need.unit_cost * Decimal(str(need.total)) for need in needs if need.reuses == 1),
        Decimal(0),
    )


def rental_cost(needs: Sequence[Need]) -> Decimal:
    """The job's share of what lasts for many jobs."""
    return sum(
        (
            need.unit_cost * Decimal(str(need.total)) / need.reuses
            for need in needs
            if need.reuses > 1
        ),
        Decimal(0),
    )
