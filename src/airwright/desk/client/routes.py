"""Addresses of the client's page. No account opens it, only the link."""

from __future__ import annotations

from contextlib import suppress

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import Actor, RequestContext, Stranger, too_many
from airwright.desk.agreements import ACCEPTED, SOLID_MEDIA, agreement
from airwright.desk.client import service
from airwright.desk.client.contexts import EndedPage
from airwright.desk.client.forms import remark_of, typed_in, yes_of
from airwright.desk.client.solid import Ending, solid
from airwright.desk.editing.edits import EditError
from airwright.desk.job_changes import choose_option
from airwright.desk.mailing.outbox import after_yes
from airwright.desk.pages import render
from airwright.desk.stock_entry import reserve_by_stage
from airwright.papers.edition import read
from airwright.store import Missing, StoreError
from airwright.store.editions import Editions, Refusal, Yes
from airwright.store.links import Links

router = APIRouter()


@router.get("/c/{token}")
def client_page(token: str, context: Stranger) -> Response:
    """The edition that was sent, for the client."""
    return _page(token, context, counts=True)


def _page(
    token: str,
    context: Stranger,
    *,
    counts: bool = False,
    wrong: tuple[str, str] | None = None,
    status: int = 200,
) -> Response:
    try:
        with context.reading() as session:
            link, row = service.open_link(session, token)
            editions = Editions(session)
            standing = editions.standing(row, context.desk.settings.today())
            page = service.page_of(
                row,
                standing,
                editions.acceptance(row.id),
                f"/c/{token}",
                typed=typed_in(context),
                wrong=wrong,
                thanks=context.request.query_params.get("said", ""),
            )
    except service.Ended as problem:
        return render(context, EndedPage(problem.what, problem.mend), status=404)
    if counts:
        with context.writing() as session:
            Editions(session).opened(link)
    return render(context, page, status=status, language=page.language)


@router.post("/c/{token}")
def answer(token: str, context: Stranger) -> Response:
    """A question or a yes."""
    try:
        if context.text("do") == "ask":
            return _ask(token, context)
        return _accept(token, context)
    except service.Ended as problem:
        return render(context, EndedPage(problem.what, problem.mend), status=404)
    except EditError as problem:
        return _page(token, context, wrong=(problem.what, problem.mend), status=422)
    except Refusal as problem:
        return _page(token, context, wrong=(problem.what, problem.mend), status=409)


def _ask(token: str, context: Stranger) -> Response:
    said = remark_of(context)
    with context.writing() as session:
        link, row = service.open_link(session, token)
        names = [option.name for option in read(row.content).options]
        Editions(session).remark(row.id, said.name or link.recipient, said.note)
        if said.choice in names:
            Links(session).choose(link, said.choice, said.note)
    return RedirectResponse(f"/c/{token}?said=asked", 303)


def _accept(token: str, context: Stranger) -> Response:
    today = context.desk.settings.today()
    with context.writing() as session:
        link, row = service.open_link(session, token)
        said = yes_of(context, [option.name for option in read(row.content).options])
        yes = Yes(said.choice, said.name, said.mail, said.note, link.id)
        Editions(session).accept(row.id, yes, today)
        who = f"{said.name} (client)"
        context.log(session, "offer accepted", said.choice, actor=who, job_id=row.job_id)
        Links(session).choose(link, said.choice, said.note)
        job_id, edition_id = row.job_id, row.id
    with suppress(StoreError, EditError):  # the yes is kept; the job's file may follow by hand
        choose_option(context.desk, Actor(f"{said.name} (client)", "client"), job_id, said.choice)
    after_yes(context.desk, edition_id)
    reserve_by_stage(context.desk, job_id, "Airwright")
    return RedirectResponse(f"/c/{token}?said=accepted", 303)


def _spare(context: RequestContext) -> None:
    """Costly answers are for visitors who do not ask for them without end. Raises Refused."""
    wait_s = context.desk.limits.bodies.take(context.address)
    if wait_s:
        raise too_many(wait_s)


@router.get("/c/{token}/files/{name}")
def file(token: str, name: str, context: Stranger) -> Response:
    """A picture of the edition, or the offer as it was sent."""
    with context.reading() as session:
        _, row = service.open_link(session, token)
        found = Editions(session).file(row.id, name)
        if name == ACCEPTED:
            raise Missing("file")
        return Response(found.content, media_type=found.media)


@router.get("/c/{token}/decor/{at}.{ending}")
def decor(token: str, at: int, ending: Ending, context: Stranger) -> Response:
    """An option in 3D, to turn round and to see in one's own room."""
    _spare(context)
    with context.reading() as session:
        _, row = service.open_link(session, token)
        body = solid(context.desk, row, at, ending)
    head = {"cache-control": "private, max-age=86400"}
    return Response(body, media_type=SOLID_MEDIA[ending], headers=head)


@router.get("/c/{token}/accepted.pdf")
def accepted(token: str, context: Stranger) -> Response:
    """What was agreed."""
    _spare(context)
    with context.writing() as session:
        _, row = service.open_link(session, token)
        made = agreement(session, row)
    head = {"content-disposition": 'attachment; filename="accepted.pdf"'}
    return Response(made.content, media_type=made.media, headers=head)
