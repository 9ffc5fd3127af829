"""Addresses of the offer."""

from __future__ import annotations

from decimal import Decimal

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByDesigner, RequestContext
from airwright.desk.design import views
from airwright.desk.design.service import change, rewrite
from airwright.desk.editing.edits import AnyChange, Clear, Edit, Put
from airwright.desk.jobs.forms import STAGE_WORDS
from airwright.desk.offer import service
from airwright.desk.offer.contexts import OfferPage
from airwright.desk.offer.forms import link_days, new_option
from airwright.desk.pages import money, render
from airwright.store.jobs import Jobs
from airwright.store.links import Links

router = APIRouter()


@router.get("/jobs/{job_id}/offer")
def offer(job_id: str, context: ByDesigner) -> Response:
    """Options side by side."""
    return _page(job_id, context, "")


@router.post("/jobs/{job_id}/links")
def make_link(job_id: str, context: ByDesigner) -> Response:
    """A new client link; it is shown this once."""
    with context.writing() as session:
        Jobs(session).get(job_id)
        _, token = Links(session).make(job_id, link_days(context.text("days")))
    address = context.request.url.replace(path=f"/c/{token}", query="")
    return _page(job_id, context, str(address))


@router.post("/jobs/{job_id}/links/{link_id}/withdraw")
def withdraw(job_id: str, link_id: str, context: ByDesigner) -> Response:
    """End a client link."""
    with context.writing() as session:
        Links(session).withdraw(job_id, link_id)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=withdrawn", 303)


@router.post("/jobs/{job_id}/choose")
def choose(job_id: str, context: ByDesigner) -> Response:
    """The option the client took, or none after all."""
    name = context.text("name", 80)
    path: list[str | int] = ["job", "chosen"]
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
    chosen = evaluation.job.job.chosen if evaluation.job else None
    change_made: AnyChange | None = None
    if name:
        change_made = Put(do="put", path=path, value=name)
    elif chosen is not None:
        change_made = Clear(do="clear", path=path)
    if change_made is not None:
        edit = Edit(version=row.version, changes=[change_made], have=[])
        change(context.desk, context.actor, job_id, edit)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/options")
def add_option(job_id: str, context: ByDesigner) -> Response:
    """One more option."""
    option = new_option(context)
    label = f"Option {option['name']} added"
    rewrite(
        context.desk, context.actor, job_id, lambda text: service.with_option(text, option), label
    )
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/options/remove")
def remove_option(job_id: str, context: ByDesigner) -> Response:
    """One option less; its pieces stay."""
    index = context.text("index")
    at = int(index) if index.isdigit() else -1
    rewrite(
        context.desk,
        context.actor,
        job_id,
        lambda text: service.without_option(text, at),
        "An option taken out",
    )
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


def _page(job_id: str, context: RequestContext, new_link: str) -> Response:
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        links = Links(session).of_job(job_id)
    job = evaluation.job
    budget = job.job.budget if job else None
    return render(
        context,
        OfferPage(
            job=views.job_bar(row, "offer"),
            version=row.version,
            currency=row.currency,
            options=service.cards(evaluation, context.actor),
            has_options=bool(job and job.options),
            pieces=tuple(piece.spec.name for piece in evaluation.pieces),
            links=service.link_lines(links),
            new_link=new_link,
            reachable=not context.desk.settings.on_loopback,
            stages=tuple(STAGE_WORDS.items()),
            deposit=money(row.deposit, row.currency) if row.deposit else "",
            deposit_paid=row.deposit_paid,
            budget=money(Decimal(str(budget)), row.currency) if budget else "",
            findings=tuple(f for f in evaluation.findings if f.severity != "hint"),
        ),
    )
