"""Addresses of the JSON API."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import aclosing
from typing import Annotated, Any

from fastapi import APIRouter
from fastapi import Path as PathParam
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse

from airwright.desk.access import ByDesigner, Refused, SignedIn
from airwright.desk.api import service
from airwright.desk.api.contexts import Alive, NewsCount, TickOut, TicksOut
from airwright.desk.api.forms import Have, TicksIn, ticked
from airwright.desk.api.palette import LARGEST_PICTURE, Tone
from airwright.desk.editing.edits import Edit
from airwright.desk.editing.job_state import Conflict, Fault, JobState
from airwright.desk.editing.shapes import NoShape, PackedMesh, shape
from airwright.desk.editing.writing import NothingToDo
from airwright.desk.job_changes import change, step, to_response
from airwright.desk.news import TooManyListen
from airwright.language import message
from airwright.store.jobs import Jobs
from airwright.store.ticks import Ticks

FAULTS: dict[int | str, dict[str, Any]] = {
    status: {"model": Conflict | Fault if status == 409 else Fault}
    for status in (400, 401, 403, 404, 409, 413, 421, 422, 429, 503)
}
router = APIRouter(prefix="/api", responses=FAULTS)
JobId = Annotated[str, PathParam(min_length=1, max_length=16, pattern=r"^[a-z0-9]+$")]


@router.get("/alive")
def alive() -> Alive:
    """Whether the desk is there."""
    return Alive()


@router.get("/news", response_model=None)
async def news(context: SignedIn) -> Response:
    """What changes, told as it happens (server-sent events): tables and jobs, no content."""
    bus = context.desk.news
    heard = bus.listen()
    try:
        await anext(heard)
    except TooManyListen as problem:
        raise Refused(
            message("Very many pages listen here just now."),
            message("Ask /api/news/count now and then instead."),
            status=503,
            wait_s=30,
        ) from problem

    async def lines() -> AsyncIterator[str]:
        yield "retry: 2000\nevent: hello\ndata: {}\n\n"
        async with aclosing(heard):
            async for found in heard:
                word = "" if found is None else found.to_json()
                yield f"event: news\ndata: {word}\n\n" if word else ": here\n\n"

    head = {"cache-control": "no-store", "x-accel-buffering": "no"}
    return StreamingResponse(lines(), media_type="text/event-stream", headers=head)


@router.get("/news/count")
def news_count(context: SignedIn) -> NewsCount:
    """How many news this process has told; for pages that cannot listen."""
    bus = context.desk.news
    return NewsCount(process=bus.process, count=bus.count)


@router.get("/openapi.json", include_in_schema=False)
def schema(request: Request, _context: SignedIn) -> JSONResponse:
    """What the API takes and gives (OpenAPI), for those who are signed in."""
    return JSONResponse(request.app.openapi())


@router.post("/jobs/{job_id}/state", response_model=JobState)
def state(job_id: JobId, sent: Have, context: ByDesigner) -> Response:
    """A job as it stands: pieces, counts, money, findings; pictures the browser lacks."""
    return service.state(context, job_id, sent.have)


@router.get("/jobs/{job_id}/version")
def version(job_id: JobId, context: ByDesigner) -> dict[str, int]:
    """Which version stands; for pages that look whether somebody else changed the job."""
    with context.reading() as session:
        return {"version": Jobs(session).get(job_id).version}


@router.post("/jobs/{job_id}/edits", response_model=JobState)
def edit(job_id: JobId, sent: Edit, context: ByDesigner) -> Response:
    """Change a job; the answer is what it comes to."""
    try:
        changed = change(context.desk, context.actor, job_id, sent)
    except NothingToDo:
        return service.state(context, job_id, sent.have)
    return to_response(context, changed, sent.have)


@router.post("/jobs/{job_id}/undo", response_model=JobState)
def undo(job_id: JobId, sent: Have, context: ByDesigner) -> Response:
    """Go back one change."""
    return to_response(context, step(context.desk, context.actor, job_id, forward=False), sent.have)


@router.post("/jobs/{job_id}/redo", response_model=JobState)
def redo(job_id: JobId, sent: Have, context: ByDesigner) -> Response:
    """Go forward one change."""
    return to_response(context, step(context.desk, context.actor, job_id, forward=True), sent.have)


@router.post("/palette")
async def picture_palette(context: ByDesigner) -> tuple[Tone, ...]:
    """The main colours of a picture, and the shades in stock nearest to each."""
    sent = context.file("file")
    data = b"" if sent is None else await sent.read(LARGEST_PICTURE + 1)
    if len(data) > LARGEST_PICTURE:
        raise Refused(message("This picture is too large."), message("Send one below 12 MB."), 413)
    return await run_in_threadpool(service.colours, context, data)


@router.get("/jobs/{job_id}/ticks")
def ticks(job_id: JobId, context: SignedIn) -> TicksOut:
    """The day's ticks."""
    with context.reading() as session:
        Jobs(session).get(job_id)
        return _ticks_out(Ticks(session), job_id)


@router.post("/jobs/{job_id}/ticks")
def merge_ticks(job_id: JobId, sent: TicksIn, context: SignedIn) -> TicksOut:
    """Ticks made on a phone, perhaps while it was offline; the latest word on a line wins."""
    with context.writing() as session:
        Jobs(session).get(job_id)
        held = Ticks(session)
        held.merge(job_id, ticked(sent, context.actor.name))
        session.flush()
        return _ticks_out(held, job_id)


def _ticks_out(held: Ticks, job_id: str) -> TicksOut:
    return TicksOut(
        ticks=[
            TickOut(item=t.item, ticked=t.ticked, at=t.at, actor=t.actor)
            for t in held.of_job(job_id)
        ]
    )


@router.get("/shapes/{name}", response_model=PackedMesh)
def shapes(name: Annotated[str, PathParam(max_length=40)], context: SignedIn) -> Response:
    """The mesh of one kind of balloon, in units of half its diameter."""
    try:
        found = shape(name)
    except NoShape as problem:
        raise Refused(
            message("There is no such shape."), message("Load the page again."), 404
        ) from problem
    kept = {"cache-control": "private, max-age=86400"}
    return Response(found.as_json(), media_type="application/json", headers=kept)
