"""What a proposal says, as plain values. Cost and margin have no place in it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from airwright.papers.common.parts import (
    Caution,
    Masthead,
    Occasion,
    Swatch,
    masthead,
    occasion,
    swatch_of,
    swatches,
)
from airwright.papers.common.pictures import shown
from airwright.papers.common.trade_words import kind_word
from airwright.papers.proposal.contents import contents
from airwright.papers.proposal.terms import Term, bad_weather, terms_of
from airwright.papers.proposal.warnings import client_cautions
from airwright.plan.values import OptionPlan, PiecePlan, Plan
from airwright.units import System

HUNG_M: Final = 0.3
"""A piece whose lowest point is higher than this hangs or floats [m]."""
INVENTED: Final = "invented"
"""A job whose note says this word carries the label that nothing in it is real."""


@dataclass(frozen=True, slots=True)
class PieceOffer:
    """One kind of piece in an option; sizes are of one.

    Attributes:
        what: its kind in words.
        top_m: floor to its highest point, where it hangs or floats [m].
        contents: what one is made of, one short line each.
        each: price of one, as told.
        price: what all of it adds to the option's price; a quantity price is in it.
        gust_m_s: gust above which it is taken in [m/s]; None indoors.
    """

    name: str
    what: str
    count: int
    height_m: float
    width_m: float
    depth_m: float
    top_m: float | None
    contents: tuple[str, ...]
    swatches: tuple[Swatch, ...]
    each: Decimal
    price: Decimal
    gust_m_s: float | None


@dataclass(frozen=True, slots=True)
class LineOffer:
    """A line beside the pieces: delivery, set-up, a discount."""

    what: str
    price: Decimal


@dataclass(frozen=True, slots=True)
class OptionOffer:
    """One way of filling the brief, as offered.

    Attributes:
        name: "" where the job names no options and all pieces together are the offer.
        drawn, in_all: pieces its picture shows, and how many there are.
        site_hours, strike_hours: for its crew [h].
        beside: lines of the whole option; pieces and they add up to the price.
        price, tax, total, deposit: total = price + tax, or where prices hold their tax already,
            total = price; the deposit is part of the total.
    """

    name: str
    note: str
    chosen: bool
    drawn: int
    in_all: int
    pieces: tuple[PieceOffer, ...]
    swatches: tuple[Swatch, ...]
    balloons: int
    height_m: float
    site_hours: float
    strike_hours: float
    beside: tuple[LineOffer, ...]
    price: Decimal
    tax: Decimal
    total: Decimal
    deposit: Decimal


@dataclass(frozen=True, slots=True)
class Proposal:
    """A whole proposal.

    Attributes:
        deposit_rate: None where the studio asks for a fixed amount.
        made, valid_until: the day it is made and the last day it holds.
        bad_weather: what the studio offers instead outdoors; "" where nothing stands there.
        invented: whether the job's note says that nothing in it is real.
    """

    masthead: Masthead
    occasion: Occasion
    made: dt.date
    valid_until: dt.date
    currency: str
    tax_name: str
    tax_rate: Decimal
    tax_included: bool
    deposit_rate: Decimal | None
    options: tuple[OptionOffer, ...]
    swatches: tuple[Swatch, ...]
    cautions: tuple[Caution, ...]
    terms: tuple[Term, ...]
    bad_weather: str
    invented: bool


def proposal_of(plan: Plan, today: dt.date) -> Proposal:
    """Read a proposal off a plan.

    Args:
        plan: the whole job, planned.
        today: the day the offer is made; it holds for the studio's `validity_days`, at the
            longest until the day of the event.
    """
    head, studio = plan.job.job, plan.studio
    last = today + dt.timedelta(days=studio.studio.validity_days)
    return Proposal(
        masthead=masthead(plan),
        occasion=occasion(plan),
        made=today,
        valid_until=min(last, head.date) if head.date >= today else last,
        currency=head.currency,
        tax_name=studio.pricing.tax_name,
        tax_rate=studio.pricing.tax,
        tax_included=studio.pricing.told == "with tax",
        deposit_rate=studio.pricing.deposit if studio.payment.deposit is None else None,
        options=tuple(
            _option(option, head.chosen, bool(plan.job.options), studio.studio.units)
            for option in plan.options
        ),
        swatches=swatches(_offered(plan)),
        cautions=client_cautions(plan.findings, _offered(plan)),
        terms=terms_of(plan),
        bad_weather=bad_weather(plan) if _outdoors(plan) else "",
        invented=INVENTED in head.note.lower(),
    )


def _outdoors(plan: Plan) -> bool:
    return any(piece.take_in_gust_m_s is not None for piece in _offered(plan))


def _offered(plan: Plan) -> Sequence[PiecePlan]:
    return [piece for option in plan.options for piece in option.pieces]


def _option(option: OptionPlan, chosen: str | None, named: bool, system: System) -> OptionOffer:
    money = option.money
    return OptionOffer(
        name=option.name if named else "",
        drawn=sum(one.count for one in shown(option) if one.door is None),
        in_all=sum(piece.count for piece in option.pieces),
        note=option.option.note,
        chosen=option.name == chosen,
        pieces=tuple(
            _piece(piece, price, system)
            for piece, price in zip(option.pieces, option.piece_prices, strict=True)
        ),
        beside=tuple(LineOffer(line.what, line.price) for line in option.beside),
        swatches=tuple(
            dict.fromkeys(
                swatch
                for piece in option.pieces
                for swatch in (*swatches([piece]), *_fabric_swatches(piece))
            )
        ),
        balloons=option.balloons,
        height_m=max((piece.assembly.height_m for piece in option.pieces), default=0.0),
        site_hours=option.site_hours,
        strike_hours=option.strike_hours,
        price=money.price,
        tax=money.tax,
        total=money.total,
        deposit=money.deposit,
    )


def _piece(piece: PiecePlan, price: Decimal, system: System) -> PieceOffer:
    assembly = piece.assembly
    hung = assembly.bottom_m > HUNG_M
    return PieceOffer(
        name=piece.name,
        what=kind_word(piece.spec.kind),
        count=piece.count,
        height_m=assembly.own_height_m if hung else assembly.height_m,
        width_m=assembly.width_m,
        depth_m=assembly.depth_m,
        top_m=assembly.height_m if hung else None,
        contents=contents(piece, system),
        swatches=(*swatches([piece]), *_fabric_swatches(piece)),
        each=piece.price.unit_price if piece.price is not None else price,
        price=price,
        gust_m_s=piece.take_in_gust_m_s,
    )


def _fabric_swatches(piece: PiecePlan) -> list[Swatch]:
    """Shades of sleeves that no balloon has."""
    balloons = {swatch.name for swatch in swatches([piece])}
    return [
        swatch_of(fabric.shade)
        for fabric in piece.assembly.fabrics
        if fabric.shade.name not in balloons
    ]
