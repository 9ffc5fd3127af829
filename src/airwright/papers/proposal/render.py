"""A proposal as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final

from airwright.job.findings import Finding
from airwright.language import Text, counted, listing, message
from airwright.language.figures import said_date, said_hours, said_money, said_share
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.photographs import photograph
from airwright.papers.common.pictures import Picture
from airwright.papers.common.request import Request
from airwright.papers.common.trade_words import balloons
from airwright.papers.common.typeset import as_page, typeset
from airwright.papers.common.words import shortened
from airwright.papers.proposal.model import OptionOffer, PieceOffer, Proposal, proposal_of
from airwright.pictures.person import PERSON_M
from airwright.plan.wording import Words
from airwright.units import LENGTH, System, show

PATH: Final = "proposal.pdf"
MOST_NAMED: Final = 6
"""Pieces named on an option's card; its own page names all."""


@dataclass(frozen=True)
class OptionPictures:
    """How an option looks: the picture that sells it, and the drawing that shows its size."""

    look: Picture
    sizes: Picture


def make(request: Request) -> tuple[Paper, ...]:
    """proposal.pdf for a request."""
    model = proposal_of(request.plan, request.today)
    looks: list[OptionPictures] = []
    findings: list[Finding] = []
    for at, option in enumerate(request.plan.options):
        taken, problem = photograph(request.photos.get(option.name), f"look-{at}", option.name)
        findings += problem
        drawing = request.pictures.scene(option)
        drawn = request.pictures.picture(
            drawing, f"drawn-{at}.page", message("Drawing of {option}", option=option.name)
        )
        alt = message("Drawing of {option} beside a person", option=option.name)
        sizes = request.pictures.to_scale(drawing, drawn, f"person-{at}.svg", alt)
        looks.append(OptionPictures(taken or drawn, sizes))
    paper = render(model, looks, request.page, request.system, request.mark)
    return (Paper(paper.path, paper.data, paper.fingerprint, (*findings, *paper.findings)),)


def render(
    model: Proposal, looks: Sequence[OptionPictures], page: Page, system: System, mark: PaperMark
) -> Paper:
    """Typeset a proposal.

    Args:
        model: what it says.
        looks: one an option, in order.
        page: paper.
        system: the units that stand first.
    """
    data = {
        **asdict(model.masthead),
        "short": _sender(model),
        "job": asdict(model.occasion),
        "made": said_date(model.made, "long"),
        "valid": said_date(model.valid_until, "long"),
        "currency": model.currency,
        "palette": [swatch.colour for swatch in model.swatches],
        "swatches": [asdict(swatch) for swatch in model.swatches],
        "options": [
            _option(option, look, model, system)
            for option, look in zip(model.options, looks, strict=True)
        ],
        "cautions": [asdict(caution) for caution in model.cautions],
        "terms": [asdict(term) for term in model.terms],
        "deposit_rate": "" if model.deposit_rate is None else said_share(model.deposit_rate),
        "bad_weather": model.bad_weather,
        "invented": model.invented,
        "person": show(PERSON_M, LENGTH, system),
        "author": model.masthead.studio,
    }
    shown = {
        picture.file: picture
        for look in looks
        for picture in (look.look, *(part.picture for part in look.sizes.parts))
    }
    return typeset(
        "proposal",
        PATH,
        data,
        page=page,
        title=message("Proposal: {title}", title=model.occasion.title),
        fingerprint=fingerprint(
            {"model": fingerprint(model), "pictures": [fingerprint(p) for p in shown.values()]}
        ),
        pictures={file: _filed(picture) for file, picture in shown.items()},
        mark=mark,
    )


def _sender(model: Proposal) -> str:
    parts = (model.masthead.studio, model.masthead.contact)
    return " · ".join(shortened(part, 48) for part in parts if part)


def _option(
    option: OptionOffer, look: OptionPictures, model: Proposal, system: System
) -> dict[str, Any]:
    code = model.currency
    tax = []
    if model.tax_rate:
        rate: str = f"{model.tax_name} {said_share(model.tax_rate)}"
        if model.tax_included:
            rate = message("of which {tax}", tax=rate)
        tax = [{"name": rate, "amount": said_money(option.tax, code)}]
    return {
        "name": option.name,
        "note": option.note,
        "chosen": option.chosen,
        "look": _picture(look.look),
        "sizes": _picture(look.sizes),
        "pieces": [_piece(piece, code, system) for piece in option.pieces],
        "swatches": [asdict(swatch) for swatch in option.swatches],
        "balloons": balloons(option.balloons),
        "summary": _summary(option),
        "drawn": _shown(option),
        "height": show(option.height_m, LENGTH, system, 0),
        "site": said_hours(option.site_hours, 5),
        "strike": said_hours(option.strike_hours, 5),
        "price": said_money(option.price, code),
        "tax": tax,
        "tax_included": model.tax_included,
        "beside": [{"what": b.what, "price": said_money(b.price, code)} for b in option.beside],
        "total": said_money(option.total, code),
        "deposit": said_money(option.deposit, code),
    }


def _filed(picture: Picture) -> bytes:
    """An option's drawing is shown on several pages, and kept once."""
    return as_page(picture.data) if picture.file.endswith(".page") else picture.data


def _picture(picture: Picture) -> dict[str, Any]:
    return {
        "parts": [
            {
                "picture": _picture(part.picture),
                "left": part.left,
                "top": part.top,
                "width": part.width,
                "height": part.height,
            }
            for part in picture.parts
        ],
        "file": picture.file,
        "alt": picture.alt,
        "photograph": picture.photograph,
        "aspect": picture.aspect,
        "width": picture.width_m,
        "height": picture.height_m,
    }


def _piece(piece: PieceOffer, code: str, system: System) -> dict[str, Any]:
    return {
        "name": piece.name,
        "count": piece.count,
        "what": piece.what,
        "height": show(piece.height_m, LENGTH, system, 0),
        "width": show(piece.width_m, LENGTH, system, 0),
        "depth": show(piece.depth_m, LENGTH, system, 0),
        "top": "" if piece.top_m is None else show(piece.top_m, LENGTH, system, 0),
        "gust": "" if piece.gust_m_s is None else Words(system).limit(piece.gust_m_s),
        "contents": list(piece.contents),
        "swatches": [asdict(swatch) for swatch in piece.swatches],
        "price": said_money(piece.price, code),
        "each": said_money(piece.each, code) if piece.count > 1 else "",
    }


def _summary(option: OptionOffer) -> Text:
    names: list[str] = [_counted(piece) for piece in option.pieces]
    if len(names) > MOST_NAMED:
        rest = len(names) - MOST_NAMED + 1
        more = counted("{n} more piece", "{n} more pieces", rest)
        names = [*names[: MOST_NAMED - 1], more]
    return listing(names)


def _shown(option: OptionOffer) -> str:
    """What the reader must know about the picture."""
    if option.drawn == option.in_all:
        return ""
    return message(
        "The picture shows {drawn} of {all} pieces.", drawn=option.drawn, all=option.in_all
    )


def _counted(piece: PieceOffer) -> str:
    return piece.name if piece.count == 1 else f"{piece.count} × {piece.name}"
