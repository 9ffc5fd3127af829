"""Addresses of the client's page. No account opens it, only the link."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import Stranger
from airwright.desk.client import service
from airwright.desk.client.contexts import ClientPage, EndedPage
from airwright.desk.client.forms import choice_of
from airwright.desk.pages import day, render
from airwright.store.files import Files
from airwright.store.jobs import Jobs
from airwright.store.links import Links

router = APIRouter()


@router.get("/c/{token}")
def client_page(token: str, context: Stranger) -> Response:
    """The options, for the client."""
    with context.reading() as session:
        link = Links(session).open_with(token)
        if link is None:
            return render(context, EndedPage(), status=404)
        row = Jobs(session).get(link.job_id)
        evaluation = context.evaluate(row, session)
        logo = Files(session).latest("logo") is not None
    house = evaluation.studio.studio
    return render(
        context,
        ClientPage(
            studio=house.name,
            contact=house.contact,
            terms=house.terms,
            title=row.title,
            when=day(row.date),
            venue=row.venue,
            options=service.choices(evaluation),
            choice=link.choice or "",
            ends=link.ends,
            logo=logo,
            action=f"/c/{token}",
        ),
    )


@router.post("/c/{token}")
def choose(token: str, context: Stranger) -> Response:
    """What the client would like."""
    with context.writing() as session:
        links = Links(session)
        link = links.open_with(token)
        if link is None:
            return render(context, EndedPage(), status=404)
        row = Jobs(session).get(link.job_id)
        evaluation = context.evaluate(row, session)
        names = [choice.name for choice in service.choices(evaluation)]
        name, note = choice_of(context, names)
        links.choose(link, name, note)
        if row.stage in ("call", "drawn"):
            row.stage = "offered"
    return RedirectResponse(f"/c/{token}?said=chosen", 303)
