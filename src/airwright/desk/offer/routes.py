"""Addresses of the offer."""

from __future__ import annotations

from decimal import Decimal

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import Designing, Visit
from airwright.desk.bench import views
from airwright.desk.bench.service import change, rewrite
from airwright.desk.book.forms import STAGE_WORDS
from airwright.desk.live.edits import AnyChange, Clear, Edit, Put
from airwright.desk.offer import service
from airwright.desk.offer.contexts import OfferPage
from airwright.desk.offer.forms import link_days, new_option
from airwright.desk.pages import money, render
from airwright.store.jobs import Jobs
from airwright.store.links import Links

router = APIRouter()


@router.get("/jobs/{job_id}/offer")
def offer(job_id: str, visit: Designing) -> Response:
    """Options side by side."""
    return _page(job_id, visit, "")


@router.post("/jobs/{job_id}/links")
def make_link(job_id: str, visit: Designing) -> Response:
    """A new client link; it is shown this once."""
    with visit.writing() as session:
        Jobs(session).get(job_id)
        _, token = Links(session).make(job_id, link_days(visit.text("days")))
    address = visit.request.url.replace(path=f"/c/{token}", query="")
    return _page(job_id, visit, str(address))


@router.post("/jobs/{job_id}/links/{link_id}/withdraw")
def withdraw(job_id: str, link_id: str, visit: Designing) -> Response:
    """End a client link."""
    with visit.writing() as session:
        Links(session).withdraw(job_id, link_id)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=withdrawn", 303)


@router.post("/jobs/{job_id}/choose")
def choose(job_id: str, visit: Designing) -> Response:
    """The option the client took, or none after all."""
    name = visit.text("name", 80)
    path: list[str | int] = ["job", "chosen"]
    with visit.reading() as session:
        row = Jobs(session).get(job_id)
        look = visit.look(row, session)
    chosen = look.job.job.chosen if look.job else None
    change_made: AnyChange | None = None
    if name:
        change_made = Put(do="put", path=path, value=name)
    elif chosen is not None:
        change_made = Clear(do="clear", path=path)
    if change_made is not None:
        edit = Edit(version=row.version, changes=[change_made], have=[])
        change(visit.desk, visit.actor, job_id, edit)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/options")
def add_option(job_id: str, visit: Designing) -> Response:
    """One more option."""
    option = new_option(visit)
    label = f"Option {option['name']} added"
    rewrite(visit.desk, visit.actor, job_id, lambda text: service.with_option(text, option), label)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/options/remove")
def remove_option(job_id: str, visit: Designing) -> Response:
    """One option less; its pieces stay."""
    index = visit.text("index")
    at = int(index) if index.isdigit() else -1
    rewrite(
        visit.desk,
        visit.actor,
        job_id,
        lambda text: service.without_option(text, at),
        "An option taken out",
    )
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


def _page(job_id: str, visit: Visit, new_link: str) -> Response:
    with visit.reading() as session:
        row = Jobs(session).get(job_id)
        look = visit.look(row, session)
        links = Links(session).of_job(job_id)
    job = look.job
    budget = job.job.budget if job else None
    return render(
        visit,
        OfferPage(
            job=views.job_bar(row, "offer"),
            version=row.version,
            currency=row.currency,
            options=service.cards(look, visit.actor),
            has_options=bool(job and job.options),
            pieces=tuple(piece.spec.name for piece in look.pieces),
            links=service.link_lines(links),
            new_link=new_link,
            reachable=not visit.desk.settings.on_loopback,
            stages=tuple(STAGE_WORDS.items()),
            deposit=money(row.deposit, row.currency) if row.deposit else "",
            deposit_paid=row.deposit_paid,
            budget=money(Decimal(str(budget)), row.currency) if budget else "",
            findings=tuple(f for f in look.findings if f.severity != "hint"),
        ),
    )
