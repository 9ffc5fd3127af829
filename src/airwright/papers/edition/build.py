"""An edition read off a plan."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from airwright.language import say, speaking
from airwright.money.lines import Line
from airwright.money.payment_plan import shares
from airwright.money.price import basis_of
from airwright.papers.common.parts import swatches
from airwright.papers.edition.model import (
    Edition,
    OfferedDue,
    OfferedLine,
    OfferedOption,
    OfferedPiece,
    OfferedShade,
)
from airwright.papers.proposal.model import PieceOffer, Proposal, proposal_of
from airwright.plan.money import balance_part, payment_parts
from airwright.plan.values import OptionPlan, PiecePlan, Plan


@dataclass(frozen=True, slots=True)
class Drawn:
    """Names of an option's pictures, and the width that the one to scale shows [m]."""

    look: str = ""
    scale: str = ""
    scale_m: float = 0.0


def edition_of(
    plan: Plan,
    number: int,
    today: dt.date,
    *,
    drawn: Mapping[str, Drawn] | None = None,
    files: Mapping[str, str] | None = None,
) -> Edition:
    """Everything the client is to see, said in the studio's language.

    Args:
        plan: the whole job, planned.
        number: of the edition.
        today: the day it is made.
        drawn: an option's name → its pictures.
        files: a picture's name → its SHA-256.
    """
    with speaking(plan.job.job.client_language or plan.studio.studio.language):
        return _edition(plan, proposal_of(plan, today), number, drawn or {}, files or {})


def _edition(
    plan: Plan, offer: Proposal, number: int, drawn: Mapping[str, Drawn], files: Mapping[str, str]
) -> Edition:
    house, head = plan.studio.studio, plan.job.job
    pieces = {piece.name: piece for piece in plan.pieces}
    return Edition(
        number=number,
        made=offer.made,
        valid_until=offer.valid_until,
        language=head.client_language or house.language,
        units=house.units.value,
        currency=offer.currency,
        basis=basis_of(plan.studio.pricing).value,
        tax_name=offer.tax_name,
        studio=house.name,
        address=house.address,
        contact=house.contact,
        title=head.title,
        client=head.client,
        date=head.date,
        guests=head.guests or "",
        strike=head.strike or "",
        venue=plan.job.venue.name,
        options=tuple(
            _option(option, offered.pieces, pieces, plan, drawn.get(option.name, Drawn()))
            for option, offered in zip(plan.options, offer.options, strict=True)
        ),
        shades=_shades([piece for option in plan.options for piece in option.pieces]),
        cautions=tuple((say(c.what), say(c.mend)) for c in offer.cautions),
        terms=tuple(say(term.line) for term in offer.terms),
        invented=offer.invented,
        files=dict(files),
    )


def _option(
    option: OptionPlan,
    offered: tuple[PieceOffer, ...],
    pieces: Mapping[str, PiecePlan],
    plan: Plan,
    drawn: Drawn,
) -> OfferedOption:
    money = option.money
    return OfferedOption(
        name=option.name,
        note=option.option.note,
        pieces=tuple(
            OfferedPiece(
                name=piece.name,
                kind=pieces[piece.name].spec.kind,
                count=piece.count,
                height_m=round(piece.height_m, 4),
                width_m=round(piece.width_m, 4),
                depth_m=round(piece.depth_m, 4),
                contents=tuple(say(line) for line in piece.contents),
                shades=_shades([pieces[piece.name]]),
            )
            for piece in offered
        ),
        lines=tuple(_line(line) for line in option.lines),
        balloons=option.balloons,
        site_hours=round(option.site_hours, 3),
        strike_hours=round(option.strike_hours, 3),
        price=money.price,
        tax=money.tax,
        total=money.total,
        dues=dues_of(option, plan),
        look=drawn.look,
        scale=drawn.scale,
        scale_m=round(drawn.scale_m, 4),
    )


def dues_of(option: OptionPlan, plan: Plan) -> tuple[OfferedDue, ...]:
    """When what is due."""
    money, studio = option.money, plan.studio
    parts = shares(money.total, money.currency, payment_parts(studio), balance_part(studio))
    return tuple(
        OfferedDue(what=say(part.what), amount=amount, anchor=part.anchor.value, days=part.days)
        for part, amount in parts
    )


def _line(line: Line) -> OfferedLine:
    return OfferedLine(
        kind=line.kind.value,
        what=say(line.what),
        quantity=line.quantity,
        unit_price=line.unit_price,
        price=line.price,
        piece=line.piece,
        tax_rate=line.tax.rate,
        tax_category=line.tax.category.value,
        tax_name=say(line.tax.name),
        tax_reason=say(line.tax.reason),
    )


def _shades(pieces: list[PiecePlan]) -> tuple[OfferedShade, ...]:
    found = [OfferedShade(name=s.name, colour=s.colour) for s in swatches(pieces)]
    return tuple(dict.fromkeys(found))


def planned_of(plan: Plan) -> dict[str, Any]:
    """The studio's own side of an edition: hours and costs of each option, never for clients."""
    return {"options": {option.name: _planned(option) for option in plan.options}}


def _planned(option: OptionPlan) -> dict[str, Any]:
    money = option.money
    names = ("materials", "labour", "transport", "rental", "overhead", "cost", "margin", "price")
    return {
        **{name: str(getattr(money, name)) for name in names},
        "currency": money.currency,
        "net": str(money.cost + money.margin),
        "hours": str(round(option.hours, 6)),
    }
