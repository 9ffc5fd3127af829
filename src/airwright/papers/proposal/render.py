"""A proposal as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any, Final

from airwright.job.findings import Finding
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.parts import long_date
from airwright.papers.common.photographs import photograph
from airwright.papers.common.pictures import Picture
from airwright.papers.common.request import Request
from airwright.papers.common.typeset import as_page, typeset
from airwright.papers.common.words import listed, plural, shortened
from airwright.papers.proposal.model import OptionOffer, PieceOffer, Proposal, proposal_of
from airwright.plan.money import show_money
from airwright.units import LENGTH, SPEED, System, show

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
        drawn = request.pictures.picture(drawing, f"drawn-{at}.page", f"Drawing of {option.name}")
        alt = f"Drawing of {option.name} beside a person of 1.70 m"
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
        "made": long_date(model.made),
        "valid": long_date(model.valid_until),
        "currency": model.currency,
        "palette": [swatch.colour for swatch in model.swatches],
        "swatches": [asdict(swatch) for swatch in model.swatches],
        "options": [
            _option(option, look, model, system)
            for option, look in zip(model.options, looks, strict=True)
        ],
        "cautions": [asdict(caution) for caution in model.cautions],
        "terms": list(model.terms),
        "deposit_rate": "" if model.deposit_rate is None else _percent(model.deposit_rate),
        "gust": _gust(model.gust_m_s, system),
        "invented": model.invented,
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
        title=f"Proposal: {model.occasion.title}",
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
        rate = f"{model.tax_name} {_percent(model.tax_rate)}"
        if model.tax_included:
            rate = f"of which {rate}"
        tax = [{"name": rate, "amount": show_money(option.tax, code)}]
    return {
        "name": option.name,
        "note": option.note,
        "chosen": option.chosen,
        "look": _picture(look.look),
        "sizes": _picture(look.sizes),
        "pieces": [_piece(piece, code, system) for piece in option.pieces],
        "swatches": [asdict(swatch) for swatch in option.swatches],
        "balloons": plural(option.balloons, "balloon"),
        "summary": _summary(option),
        "drawn": _shown(option),
        "height": show(option.height_m, LENGTH, system, 0),
        "site": _hours(option.site_hours),
        "strike": _hours(option.strike_hours),
        "price": show_money(option.price, code),
        "tax": tax,
        "tax_included": model.tax_included,
        "beside": [{"what": b.what, "price": show_money(b.price, code)} for b in option.beside],
        "total": show_money(option.total, code),
        "deposit": show_money(option.deposit, code),
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
        "contents": list(piece.contents),
        "swatches": [asdict(swatch) for swatch in piece.swatches],
        "price": show_money(piece.price, code),
        "each": show_money(piece.each, code) if piece.count > 1 else "",
    }


def _summary(option: OptionOffer) -> str:
    names = [_counted(piece) for piece in option.pieces]
    if len(names) > MOST_NAMED:
        rest = len(names) - MOST_NAMED + 1
        names = [*names[: MOST_NAMED - 1], plural(rest, "more piece")]
    return listed(names)


def _shown(option: OptionOffer) -> str:
    """What the reader must know about the picture."""
    if option.drawn == option.in_all:
        return ""
    return f"The picture shows {option.drawn} of {option.in_all:,} pieces."


def _counted(piece: PieceOffer) -> str:
    return piece.name if piece.count == 1 else f"{piece.count} × {piece.name}"


def _percent(share: Decimal) -> str:
    return f"{(share * 100).normalize():f} %"


def _hours(hours: float) -> str:
    """Time to the next quarter of an hour: "about 1 h 45 min"."""
    quarters = max(1, -int(-hours * 4 // 1))
    whole, rest = divmod(quarters, 4)
    parts = ([f"{whole} h"] if whole else []) + ([f"{15 * rest} min"] if rest else [])
    return "about " + " ".join(parts)


def _gust(speed: float | None, system: System) -> str:
    if speed is None:
        return ""
    other = System.METRIC if system is System.FEET else System.FEET
    return f"{show(speed, SPEED, system)} ({show(speed, SPEED, other)})"
