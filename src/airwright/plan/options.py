"""Options reckoned side by side, each for itself alone."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from airwright.catalog import Catalog
from airwright.job.models import Job, OptionSpec
from airwright.job.studio import Studio
from airwright.plan.hours import ROUND_TRIPS
from airwright.plan.money import reckon, shared
from airwright.plan.needs import material_cost, needs_of, rental_cost
from airwright.plan.values import Money, OptionPlan, PiecePlan, WorkLine

STRIKE_OPERATION = "strike piece"


def plan_option(
    option: OptionSpec,
    pieces: Sequence[PiecePlan],
    job: Job,
    common: Sequence[WorkLine],
    catalog: Catalog,
    studio: Studio,
) -> OptionPlan:
    """One option: hours, money, and what each piece adds to the price."""
    own = tuple(pieces)
    money, hours = reckon_pieces(own, job, common, catalog, studio)
    weights = [_direct(piece, catalog, studio) for piece in own]
    strike = sum(_strike(piece) * piece.count for piece in own)
    site = sum(piece.hours_at("site") * piece.count for piece in own) - strike
    site += sum(line.hours for line in common if line.place == "site")
    return OptionPlan(
        option=option,
        pieces=own,
        balloons=sum(len(piece.assembly) * piece.count for piece in own),
        hours=hours,
        site_hours=site / studio.crew.hands,
        strike_hours=strike / studio.crew.hands,
        money=money,
        piece_prices=shared(money.price, weights, money.currency),
    )


def reckon_pieces(
    pieces: Sequence[PiecePlan],
    job: Job,
    common: Sequence[WorkLine],
    catalog: Catalog,
    studio: Studio,
) -> tuple[Money, float]:
    """Money and hands' time [h] of some pieces as one job of their own."""
    needs = needs_of(pieces, catalog, studio)
    hours = sum(piece.hours * piece.count for piece in pieces)
    hours += sum(line.hours for line in common) if pieces else 0.0
    kilometres = Decimal(str(2 * ROUND_TRIPS * job.venue.drive / 1000)) if pieces else Decimal(0)
    money = reckon(
        job.job.currency,
        studio.pricing,
        materials=material_cost(needs),
        labour=Decimal(str(round(hours, 6))) * studio.pricing.labour_rate,
        transport=kilometres * studio.pricing.transport_rate,
        rental=rental_cost(needs),
    )
    return money, hours


def _strike(piece: PiecePlan) -> float:
    return sum(line.hours for line in piece.work if line.operation == STRIKE_OPERATION)


def _direct(piece: PiecePlan, catalog: Catalog, studio: Studio) -> Decimal:
    """What a piece costs by itself, counts included: the weight it carries of the price."""
    needs = needs_of([piece], catalog, studio)
    labour = Decimal(str(round(piece.hours * piece.count, 6))) * studio.pricing.labour_rate
    return material_cost(needs) + rental_cost(needs) + labour
