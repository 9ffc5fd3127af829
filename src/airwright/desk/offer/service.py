"""Options as cards, without what a person may not see."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import tomlkit
from sqlalchemy.orm import Session

from airwright.desk.access import Actor
from airwright.desk.drawings import svg
from airwright.desk.editing.builder import Evaluation
from airwright.desk.editing.edits import EditError
from airwright.desk.editing.tables import document_of
from airwright.desk.offer.contexts import (
    AgreementMail,
    CostLine,
    EditionLine,
    LinkLine,
    OptionCard,
    OptionTerms,
    PiecePriceLine,
)
from airwright.desk.offer.freezing import current
from airwright.desk.pages import money
from airwright.language import message, say, speaking
from airwright.money.lines import Line
from airwright.money.price import PiecePrice
from airwright.papers.edition import changes, read
from airwright.papers.photographs import option_scene
from airwright.plan.values import Money, OptionPlan
from airwright.store.editions import Editions
from airwright.store.links import Links
from airwright.store.mails import BOUNCED, DRAFT, FAILED, SENDING, SENT, WAITING, Mails
from airwright.store.tables import ClientLink
from airwright.store.types import now


def cards(evaluation: Evaluation, actor: Actor) -> tuple[OptionCard, ...]:
    """One card an option."""
    plan = evaluation.plan
    if plan is None:
        return ()
    return tuple(_card(evaluation, option, at, actor) for at, option in enumerate(plan.options))


def _card(evaluation: Evaluation, option: OptionPlan, at: int, actor: Actor) -> OptionCard:
    sums, currency = option.money, option.money.currency
    scene = option_scene(option)
    cost = actor.sees_cost
    job = evaluation.job
    return OptionCard(
        index=at,
        name=option.name,
        note=option.option.note,
        pieces=tuple((piece.name, piece.count) for piece in option.pieces),
        picture=svg(scene, f"o{at}-"),
        balloons=option.balloons,
        hours=option.hours,
        site_hours=option.site_hours,
        price=money(sums.price, currency) if actor.sees_price else "",
        total=money(sums.total, currency) if actor.sees_price else "",
        tax=bool(sums.tax) and sums.total != sums.price,
        lines=tuple(
            (_said(line), money(line.price, currency), line.piece is None) for line in option.lines
        )
        if actor.sees_price
        else (),
        cost=money(sums.cost, currency) if cost else "",
        margin=money(sums.margin, currency) if cost else "",
        margin_share=_percent(sums.margin, sums.net) if cost else 0,
        raw_price=str(sums.price) if cost else "",
        raw_net=str(sums.net) if cost else "",
        raw_cost=str(sums.cost) if cost else "",
        driven_by=tuple(_driven_by(sums)) if cost else (),
        floor=str(plan_floor(evaluation)) if cost else "",
        terms=_terms(option),
        chosen=job is not None and job.job.chosen == option.name,
    )


def _said(line: Line) -> str:
    """A line in words; several of a piece with their number: "2 × Swirl column"."""
    return line.what if line.quantity == 1 else f"{line.quantity:f} × {line.what}"


def piece_prices(evaluation: Evaluation, actor: Actor) -> tuple[PiecePriceLine, ...]:
    """What each piece is sold for, for those who see costs."""
    plan = evaluation.plan
    if plan is None or not actor.sees_cost:
        return ()
    return tuple(
        _piece_price(at, piece.name, piece.price, plan.money.currency, plan_floor(evaluation))
        for at, piece in enumerate(plan.pieces)
        if piece.price is not None
    )


def _piece_price(
    at: int, name: str, price: PiecePrice, currency: str, floor: Decimal
) -> PiecePriceLine:
    return PiecePriceLine(
        place=at,
        name=name,
        unit_price=money(price.unit_price, currency),
        by_rule=money(price.by_rule, currency),
        cost=money(price.full_cost, currency),
        margin=money(price.margin, currency),
        margin_share=_percent(price.margin, price.net),
        low=price.margin_share < floor,
        by_hand=f"{price.unit_price:f}" if price.by_hand else "",
        reason=price.reason,
        raw_price=f"{price.unit_price:f}",
        raw_net=f"{price.net:f}",
        raw_cost=f"{price.full_cost:f}",
    )


def plan_floor(evaluation: Evaluation) -> Decimal:
    """Share of profit below which the studio wants to be warned."""
    return evaluation.studio.pricing.floor


def _terms(option: OptionPlan) -> OptionTerms:
    spec = option.option
    return OptionTerms(
        counts=tuple((piece.name, piece.count) for piece in option.pieces),
        package_price="" if spec.package_price is None else f"{spec.package_price:f}",
        discount=f"{(spec.discount * 100).normalize():f}" if spec.discount else "",
        reason=spec.price_reason,
    )


def _driven_by(sums: Money) -> list[CostLine]:
    parts = [
        (message("Balloons and what is used up"), sums.materials),
        (message("Work"), sums.labour),
        (message("Driving"), sums.transport),
        (message("Hardware that comes back"), sums.rental),
        (message("Overhead"), sums.overhead),
        (message("Permits and fees"), sums.other),
    ]
    return [
        CostLine(what, money(amount, sums.currency), _percent(amount, sums.cost))
        for what, amount in sorted(parts, key=lambda part: -part[1])
        if amount
    ]


def _percent(part: Decimal, whole: Decimal) -> int:
    return int((100 * part / whole).to_integral_value()) if whole else 0


def link_lines(session: Session, job_id: str) -> tuple[LinkLine, ...]:
    """Links of a job, newest first, with when each was opened."""
    moment = now()
    numbers = {row.id: row.number for row in Editions(session).of_job(job_id)}
    opened = Editions(session).openings(job_id)

    def state(link: ClientLink) -> str:
        if link.withdrawn is not None:
            return "withdrawn"
        return "ended" if link.ends < moment else "open"

    return tuple(
        LinkLine(
            link.id,
            link.made,
            link.ends,
            state(link),
            link.choice or "",
            link.note,
            numbers.get(link.edition_id or "", 0),
            link.recipient,
            tuple(opened.get(link.id, ())[:5]),
        )
        for link in Links(session).of_job(job_id)
    )


def edition_lines(session: Session, job_id: str, today: dt.date) -> tuple[EditionLine, ...]:
    """Editions of a job, newest first, with how each stands."""
    editions = Editions(session)
    found = []
    for row in editions.of_job(job_id):
        edition, yes = read(row.content), editions.acceptance(row.id)
        found.append(
            EditionLine(
                id=row.id,
                number=row.number,
                made=row.made,
                by=row.made_by,
                valid=row.valid_until,
                state=editions.standing(row, today),
                totals=tuple((o.name, money(o.total, edition.currency)) for o in edition.options),
                fingerprint=row.fingerprint[:12],
                accepted="" if yes is None else f"{yes.option}, {yes.name}",
                accepted_at=None if yes is None else yes.at,
            )
        )
    return tuple(found)


MAIL_WORDS = {
    DRAFT: message("is written and waits for you"),
    WAITING: message("goes out in a moment"),
    SENDING: message("is going out"),
    SENT: message("was sent"),
    FAILED: message("did not go out"),
    BOUNCED: message("came back"),
}


def agreement_mail(session: Session, job_id: str) -> AgreementMail | None:
    """The newest letter with what was agreed."""
    for row in Mails(session).of_job(job_id):
        if row.kind == "accepted":
            return AgreementMail(row.id, row.recipient, MAIL_WORDS[row.state])
    return None


def changed_since(
    session: Session, job_id: str, evaluation: Evaluation, today: dt.date
) -> tuple[int, tuple[str, ...]]:
    """Number of the newest edition, and what changed since, in words and money."""
    latest = Editions(session).latest(job_id)
    if latest is None:
        return 0, ()
    fresh = current(evaluation, latest.number + 1, today)
    if fresh is None:
        return latest.number, ()
    with speaking(fresh.language):
        return latest.number, tuple(say(line) for line in changes(read(latest.content), fresh))


def with_option(text: str, option: dict[str, Any]) -> str:
    """The job file with one more option. Raises EditError for a name that is taken."""
    document = document_of(text)
    options = document.get("options")
    if options is None:
        document["options"] = options = tomlkit.aot()
    if any(row.get("name") == option["name"] for row in options):
        raise EditError(
            message('There is an option "{name}" already.', name=option["name"]),
            message("Name it differently."),
        )
    table = tomlkit.table()
    for key, value in option.items():
        table[key] = value
    options.append(table)
    return tomlkit.dumps(document)


def with_terms(text: str, index: int, terms: Mapping[str, Any]) -> str:
    """The job file with an option's counts, discount and price by hand; None clears a key.

    Raises:
        EditError: the option is gone.
    """
    document = document_of(text)
    options = document.get("options", [])
    if not 0 <= index < len(options):
        raise EditError(
            message("This option is not there any more."), message("Load the page again.")
        )
    counts = {piece.get("name"): piece.get("count", 1) for piece in document.get("pieces", [])}
    for key, value in terms.items():
        if key == "counts":
            value = {name: n for name, n in value.items() if n != counts.get(name)} or None
        if value is None:
            options[index].pop(key, None)
        else:
            options[index][key] = value
    return tomlkit.dumps(document)


def with_piece_price(text: str, index: int, name: str, terms: Mapping[str, Any]) -> str:
    """The job file with the price of one piece set by hand; None gives it back to the rules.

    Raises:
        EditError: the piece is not there any more.
    """
    document = document_of(text)
    pieces = document.get("pieces", [])
    if not (0 <= index < len(pieces) and pieces[index].get("name") == name):
        raise EditError(
            message("This piece is not there any more."), message("Load the page again.")
        )
    for key, value in terms.items():
        if value is None:
            pieces[index].pop(key, None)
        else:
            pieces[index][key] = value
    return tomlkit.dumps(document)


def without_option(text: str, index: int) -> str:
    """The job file without one of its options."""
    document = document_of(text)
    options = document.get("options", [])
    if not 0 <= index < len(options):
        raise EditError(
            message("This option is not there any more."), message("Load the page again.")
        )
    name = options[index].get("name")
    del options[index]
    if len(options) == 0:
        del document["options"]
    if document.get("job", {}).get("chosen") == name:
        del document["job"]["chosen"]
    return tomlkit.dumps(document)
