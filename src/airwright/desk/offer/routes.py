"""Addresses of the offer."""

from __future__ import annotations

from decimal import Decimal

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByOwner, BySeller, RequestContext
from airwright.desk.agreements import ACCEPTED, agreement
from airwright.desk.editing.edits import EditError
from airwright.desk.job_changes import choose_option, rewrite
from airwright.desk.job_money import deposit_of
from airwright.desk.mailing.outbox import after_yes
from airwright.desk.offer import freezing, service
from airwright.desk.offer.contexts import OfferPage, RemarkLine
from airwright.desk.offer.forms import link_days, new_option, option_terms, piece_price_terms
from airwright.desk.page_heads import job_bar
from airwright.desk.pages import money, render
from airwright.desk.stages import STAGE_WORDS
from airwright.desk.stock_entry import reserve_by_stage
from airwright.language import message
from airwright.papers.edition import read
from airwright.store.editions import Editions, Yes
from airwright.store.files import Files
from airwright.store.jobs import Jobs
from airwright.store.links import Links

router = APIRouter()


@router.get("/jobs/{job_id}/offer")
def offer(job_id: str, context: BySeller) -> Response:
    """Options side by side."""
    return _page(job_id, context, "")


@router.post("/jobs/{job_id}/editions")
def send(job_id: str, context: BySeller) -> Response:
    """Freeze the offer as it stands, and make a link to it, shown this once."""
    after = context.text("after")
    edition = _freeze(job_id, context, int(after) if after.isdecimal() else 0)
    reserve_by_stage(context.desk, job_id, context.actor.name)
    return _page(job_id, context, _link(job_id, context, edition))


@router.post("/jobs/{job_id}/links")
def make_link(job_id: str, context: BySeller) -> Response:
    """One more link to the newest edition; the first link makes the first edition."""
    with context.reading() as session:
        Jobs(session).get(job_id)
        latest = Editions(session).latest(job_id)
    edition = _freeze(job_id, context, 0) if latest is None else latest.id
    return _page(job_id, context, _link(job_id, context, edition))


def _freeze(job_id: str, context: RequestContext, after: int) -> str:
    today = context.desk.settings.today()
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        stored = Files(session)
        photos = {
            file.name.removeprefix("photo ").removesuffix(".png"): file.content
            for file in stored.of_job(job_id, "photo")
            if file.media == "image/png"
        }
        logo = stored.latest("logo")
        logo_png = None if logo is None else logo.content
    made = freezing.freeze(evaluation, after + 1, today, photos, logo_png)
    with context.writing() as session:
        kept = Editions(session).freeze(
            job_id,
            made.content,
            made.files,
            after=after,
            planned=made.planned,
            version=row.version,
            valid_until=made.edition.valid_until,
            actor=context.actor.name,
        )
        context.log(session, "offer sent", f"{row.title}, {kept.number}", job_id=job_id)
        return kept.id


def _link(job_id: str, context: RequestContext, edition_id: str) -> str:
    with context.writing() as session:
        days, recipient = link_days(context.text("days")), context.text("recipient", 200)
        _, token = Links(session).make(job_id, days, edition_id, recipient)
        context.log(session, "link made", recipient, job_id=job_id)
    return str(context.request.url.replace(path=f"/c/{token}", query=""))


@router.post("/jobs/{job_id}/editions/{edition_id}/withdraw")
def withdraw_edition(job_id: str, edition_id: str, context: BySeller) -> Response:
    """Take an offer back."""
    with context.writing() as session:
        Editions(session).withdraw(job_id, edition_id)
        context.log(session, "offer withdrawn", job_id=job_id)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/editions/{edition_id}/accept")
def accept(job_id: str, edition_id: str, context: BySeller) -> Response:
    """The client said yes on paper or by telephone; who took it down is kept with it."""
    option, name = context.text("option", 80), context.text("name", 120)
    if len(name) < 2:
        raise EditError(
            message("It is not said who accepted."), message("Write the client's name.")
        )
    with context.writing() as session:
        row = Editions(session).get(edition_id, job_id)
        if read(row.content).option(option) is None:
            raise EditError(
                message("This option was not offered."), message("Pick one of that edition.")
            )
        yes = Yes(option, name, note=context.text("note", 1000), taken_by=context.actor.name)
        Editions(session).accept(edition_id, yes, context.desk.settings.today())
        context.log(session, "offer accepted", f"{name}: {option}", job_id=job_id)
    choose_option(context.desk, context.actor, job_id, option)
    after_yes(context.desk, edition_id)
    reserve_by_stage(context.desk, job_id, context.actor.name)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.get("/jobs/{job_id}/editions/{edition_id}/{name}")
def edition_file(job_id: str, edition_id: str, name: str, context: BySeller) -> Response:
    """A file of an edition: the offer as sent, or what was agreed."""
    with context.writing() as session:
        row = Editions(session).get(edition_id, job_id)
        found = (
            agreement(session, row) if name == ACCEPTED else Editions(session).file(row.id, name)
        )
        return Response(found.content, media_type=found.media)


@router.post("/jobs/{job_id}/links/{link_id}/withdraw")
def withdraw(job_id: str, link_id: str, context: BySeller) -> Response:
    """End a client link."""
    with context.writing() as session:
        Links(session).withdraw(job_id, link_id)
        context.log(session, "link withdrawn", job_id=job_id)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=withdrawn", 303)


@router.post("/jobs/{job_id}/choose")
def choose(job_id: str, context: BySeller) -> Response:
    """The option the client took, or none after all."""
    choose_option(context.desk, context.actor, job_id, context.text("name", 80))
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/options")
def add_option(job_id: str, context: BySeller) -> Response:
    """One more option."""
    option = new_option(context)
    label = message("Option {name} added", name=option["name"])
    rewrite(
        context.desk, context.actor, job_id, lambda text: service.with_option(text, option), label
    )
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/options/terms")
def change_terms(job_id: str, context: BySeller) -> Response:
    """How many of each piece an option takes, its discount, and a price set by hand."""
    index = context.text("index")
    at = int(index) if index.isdecimal() else -1
    with context.reading() as session:
        currency = Jobs(session).get(job_id).currency
    terms = option_terms(context, currency)
    rewrite(
        context.desk,
        context.actor,
        job_id,
        lambda text: service.with_terms(text, at, terms),
        message("Price of an option changed"),
    )
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/pieces/price")
def change_piece_price(job_id: str, context: ByOwner) -> Response:
    """The price of one piece, set by hand or given back to the rules."""
    index, name = context.text("index", 4), context.text("piece", 120)
    at = int(index) if index.isdecimal() else -1
    with context.reading() as session:
        currency = Jobs(session).get(job_id).currency
    terms = piece_price_terms(context, currency)
    rewrite(
        context.desk,
        context.actor,
        job_id,
        lambda text: service.with_piece_price(text, at, name, terms),
        message("Price of {name} by hand", name=name)
        if terms["price"] is not None
        else message("Price of {name} by rule", name=name),
    )
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved#piece-prices", 303)


@router.post("/jobs/{job_id}/options/remove")
def remove_option(job_id: str, context: BySeller) -> Response:
    """One option less; its pieces stay."""
    index = context.text("index")
    at = int(index) if index.isdecimal() else -1
    rewrite(
        context.desk,
        context.actor,
        job_id,
        lambda text: service.without_option(text, at),
        message("An option taken out"),
    )
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


def _page(job_id: str, context: RequestContext, new_link: str) -> Response:
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        today = context.desk.settings.today()
        links = service.link_lines(session, job_id)
        editions = service.edition_lines(session, job_id, today)
        agreement_mail = service.agreement_mail(session, job_id) if context.actor.owns else None
        deposit = deposit_of(session, row)
        last, changed = service.changed_since(session, job_id, evaluation, today)
        remarks = tuple(
            RemarkLine(number, remark.name, remark.text, remark.at)
            for number, remark in Editions(session).remarks(job_id)
        )
    job = evaluation.job
    budget = job.job.budget if job else None
    return render(
        context,
        OfferPage(
            job=job_bar(row, "offer"),
            version=row.version,
            currency=row.currency,
            options=service.cards(evaluation, context.actor),
            has_options=bool(job and job.options),
            pieces=tuple(piece.spec.name for piece in evaluation.pieces),
            piece_prices=service.piece_prices(evaluation, context.actor),
            floor=str(service.plan_floor(evaluation)) if context.actor.sees_cost else "",
            links=links,
            editions=editions,
            agreement_mail=agreement_mail,
            changed=changed,
            last=last,
            remarks=remarks,
            new_link=new_link,
            reachable=not context.desk.settings.on_loopback,
            stages=tuple(STAGE_WORDS.items()),
            deposit=money(deposit.amount, deposit.currency) if deposit else "",
            deposit_paid=row.deposit_paid,
            budget=money(Decimal(str(budget)), row.currency) if budget else "",
            findings=tuple(f for f in evaluation.findings if f.severity != "hint"),
        ),
    )
