"""The agreement as one PDF for both sides."""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import dataclass
from typing import Any, Final

from airwright.language import message, speaking
from airwright.language.figures import said_date, said_money
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import A4, LETTER
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import shortened
from airwright.papers.edition.model import Edition, OfferedDue, OfferedOption
from airwright.units import System

PATH: Final = "accepted.pdf"


@dataclass(frozen=True, slots=True)
class Agreement:
    """A client's yes.

    Attributes:
        edition: what was on the page.
        print_of: SHA-256 of its bytes.
        option, name, note, at: what was said yes to, by whom, with what words, and when.
    """

    edition: Edition
    print_of: str
    option: OfferedOption
    name: str
    note: str
    at: dt.datetime


def render(agreed: Agreement, offer: bytes) -> Paper:
    """Typeset the yes and put it before the offer.

    Args:
        agreed: what was agreed.
        offer: the offer's PDF as sent; b"" for none.
    """
    with speaking(agreed.edition.language):
        paper = _page(agreed)
    data = _joined(paper.data, offer) if offer else paper.data
    return Paper(PATH, data, paper.fingerprint, paper.findings)


def _page(agreed: Agreement) -> Paper:
    edition, option = agreed.edition, agreed.option
    page = LETTER if edition.units == System.FEET.value else A4
    return typeset(
        "acceptance",
        PATH,
        {
            "author": edition.studio,
            "short": shortened(f"{edition.studio} · {edition.title}", 70),
            "palette": [shade.colour for shade in edition.shades[:8]],
            "title-words": edition.title,
            "option": option.name,
            "facts": _facts(agreed),
            "lines": [
                {
                    "what": line.what,
                    "quantity": f"{line.quantity.normalize():f}",
                    "price": said_money(line.price, edition.currency),
                }
                for line in option.lines
            ],
            "sums": _sums(edition, option),
            "dues": [_due(due, edition) for due in option.dues],
            "note": agreed.note,
            "terms": list(edition.terms),
            "print": agreed.print_of,
            "invented": edition.invented,
        },
        page=page,
        title=message("Accepted: {title}", title=edition.title),
        fingerprint=fingerprint([agreed.print_of, option.name, agreed.name, agreed.at.isoformat()]),
        mark=PaperMark("", agreed.at.date()),
    )


def _facts(agreed: Agreement) -> list[dict[str, Any]]:
    edition = agreed.edition
    moment = message(
        "{day}, {time} UTC", day=said_date(agreed.at.date(), "long"), time=f"{agreed.at:%H:%M}"
    )
    facts = [
        (message("Accepted by"), agreed.name),
        (message("When"), moment),
        (message("Offer"), message("Edition {n} of {day}", n=edition.number,
                                   day=said_date(edition.made, "long"))),
        (message("For"), edition.client),
        (message("Day"), said_date(edition.date) if edition.date else ""),
        (message("Venue"), edition.venue),
        (message("By"), edition.studio),
    ]  # fmt: skip
    return [{"label": label, "value": value} for label, value in facts if value]


def _sums(edition: Edition, option: OfferedOption) -> list[dict[str, Any]]:
    total = said_money(option.total, edition.currency)
    rows = []
    if option.tax and edition.basis == "on top":
        rows = [
            {"label": message("Without tax"), "amount": said_money(option.price, edition.currency)},
            {"label": edition.tax_name, "amount": said_money(option.tax, edition.currency)},
        ]
    elif option.tax:
        tax = said_money(option.tax, edition.currency)
        rows = [{"label": message("{tax} in it", tax=edition.tax_name), "amount": tax}]
    return [*rows, {"label": message("Agreed price"), "amount": total}]


def _due(due: OfferedDue, edition: Edition) -> dict[str, Any]:
    if due.anchor == "event":
        when = (
            message("{n} days before the event", n=-due.days)
            if due.days < 0
            else message("on the day of the event")
        )
    elif due.days:
        when = message("{n} days after acceptance", n=due.days)
    else:
        when = message("on acceptance")
    return {"what": due.what, "when": when, "amount": said_money(due.amount, edition.currency)}


def _joined(first: bytes, second: bytes) -> bytes:
    import pikepdf

    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(first)) as whole, pikepdf.open(io.BytesIO(second)) as offer:
        whole.pages.extend(offer.pages)
        whole.save(out, deterministic_id=True)
    return out.getvalue()
