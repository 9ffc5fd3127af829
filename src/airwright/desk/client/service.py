"""An edition as its client may see it."""

from __future__ import annotations

from typing import Final

from sqlalchemy.orm import Session

from airwright.desk.client.contexts import Agreed, Choice, ClientPage, ClientPiece
from airwright.language import counted, message, say, speaking
from airwright.language.figures import said_date, said_end, said_money
from airwright.papers.edition import Edition, OfferedOption, read
from airwright.store import StoreError
from airwright.store.editions import Editions, Standing
from airwright.store.links import Links
from airwright.store.offer_tables import Acceptance, EditionRow
from airwright.store.tables import ClientLink
from airwright.store.types import now
from airwright.units import LENGTH, System, show

WIDEST_PX: Final = 300
"""Width of the widest drawing, so that it fits a phone; all others follow the same scale."""


class Ended(StoreError):
    """A link that opens nothing (any more)."""


def open_link(session: Session, token: str) -> tuple[ClientLink, EditionRow]:
    """The link of a token and its edition. Raises Ended, with the reason in words."""
    link = Links(session).find(token)
    if link is None:
        raise Ended(
            message("There is no offer behind this link."),
            message("Check that it was copied whole."),
        )
    if link.withdrawn is not None:
        raise Ended(
            message("The studio has withdrawn this link."), message("Ask it for a new one.")
        )
    if link.edition_id is None:
        raise Ended(
            message("This link is of an older kind."), message("Ask the studio for a new one.")
        )
    row = Editions(session).get(link.edition_id, link.job_id)
    if link.ends < now() and Editions(session).acceptance(row.id) is None:
        raise Ended(
            message("This link ended on {day}.", day=f"{link.ends:%Y-%m-%d}"),
            message("Ask the studio for a new one."),
        )
    return link, row


def page_of(
    row: EditionRow,
    standing: Standing,
    yes: Acceptance | None,
    action: str,
    *,
    typed: dict[str, str] | None = None,
    wrong: tuple[str, str] | None = None,
    thanks: str = "",
) -> ClientPage:
    """The page of an edition, said in the language it was sent in."""
    edition = read(row.content)
    with speaking(edition.language):
        widest = max((option.scale_m for option in edition.options), default=1.0) or 1.0
        return ClientPage(
            language=edition.language,
            studio=edition.studio,
            contact=edition.contact,
            terms=edition.terms,
            cautions=edition.cautions,
            title=edition.title,
            client=edition.client,
            when=said_date(edition.date) if edition.date else "",
            venue=edition.venue,
            times=(edition.guests, say(said_end(edition.guests, edition.strike))),
            options=tuple(
                _choice(option, edition, action, widest, at)
                for at, option in enumerate(edition.options)
            ),
            number=edition.number,
            made=said_date(edition.made, "long"),
            valid=said_date(edition.valid_until, "long"),
            state=standing,
            agreed=None if yes is None else Agreed(yes.option, yes.name, yes.at),
            logo=f"{action}/files/logo.png" if "logo.png" in edition.files else "",
            action=action,
            fingerprint=row.fingerprint,
            invented=edition.invented,
            typed=typed or {},
            wrong=wrong,
            thanks=thanks,
        )


def _choice(option: OfferedOption, edition: Edition, action: str, widest: float, at: int) -> Choice:
    code = edition.currency
    system = System(edition.units)
    return Choice(
        name=option.name,
        note=option.note,
        look=f"{action}/files/{option.look}" if option.look else "",
        scale=f"{action}/files/{option.scale}" if option.scale else "",
        scale_px=round(WIDEST_PX * option.scale_m / widest),
        pieces=tuple(
            ClientPiece(
                name=piece.name,
                count=piece.count,
                size=say(
                    message(
                        "{height} tall, {width} wide",
                        height=show(piece.height_m, LENGTH, system),
                        width=show(piece.width_m, LENGTH, system),
                    )
                ),
                contents=piece.contents,
                shades=tuple((shade.name, shade.colour) for shade in piece.shades),
            )
            for piece in option.pieces
        ),
        lines=tuple(
            (line.what, f"{line.quantity.normalize():f}", said_money(line.price, code))
            for line in option.lines
        ),
        balloons=option.balloons,
        price=said_money(option.price, code),
        tax=_tax(option, edition),
        total=said_money(option.total, code),
        dues=tuple((due.what, _when(due.anchor, due.days), said_money(due.amount, code))
                   for due in option.dues),
        solid=f"{action}/decor/{at}",
    )  # fmt: skip


def _tax(option: OfferedOption, edition: Edition) -> str:
    if not option.tax:
        return ""
    tax = said_money(option.tax, edition.currency)
    if edition.basis == "included":
        return say(message("{amount} {tax} in it", amount=tax, tax=edition.tax_name))
    return say(message("with {amount} {tax}", amount=tax, tax=edition.tax_name))


def _when(anchor: str, days: int) -> str:
    if anchor == "event":
        if days < 0:
            return say(counted("{n} day before the event", "{n} days before the event", -days))
        return say(message("on the day of the event"))
    if days:
        return say(counted("{n} day after acceptance", "{n} days after acceptance", days))
    return say(message("on acceptance"))
