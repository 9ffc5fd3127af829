"""Addresses of the day."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from airwright.desk import thumbnails
from airwright.desk.access import SignedIn, chosen_language
from airwright.desk.day import service
from airwright.desk.day.contexts import DayPage
from airwright.desk.editing.edits import EditError
from airwright.desk.page_heads import job_bar
from airwright.desk.pages import render
from airwright.desk.sent_pictures import kept_picture
from airwright.job.models import Job
from airwright.language import message, say
from airwright.language.figures import said_end
from airwright.language.saying import speak
from airwright.pictures.drawing import Drawing, draw_chart, to_svg
from airwright.store.actuals import Actuals
from airwright.store.files import FINISHED, Files
from airwright.store.jobs import Jobs
from airwright.store.studio import StudioFile
from airwright.store.tables import JobRow
from airwright.store.ticks import Ticked, Ticks
from airwright.store.types import now

router = APIRouter()

LARGEST_PHOTO = 11_000_000
Index = Annotated[int, Path(ge=0, le=9999)]


@router.get("/jobs/{job_id}/day")
def day(job_id: str, context: SignedIn) -> Response:
    """Load list, steps, cautions and whom to call."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        ticks = Ticks(session).of_job(job_id)
        worked, mine = service.own_entries(
            Actuals(session).of_job(job_id), context.actor.name, row.currency
        )
        finished = service.finished(Files(session).of_job(job_id, FINISHED), context.actor.name)
    job = evaluation.job
    language = _of_the_crew(context, job)
    speak(language or context.language)
    parts = service.sections(evaluation, ticks, f"/jobs/{job_id}/day")
    times = (
        (
            (message("Crew in"), job.venue.access),
            (message("Guests"), job.job.guests),
            (message("Take down"), say(said_end(job.job.guests, job.job.strike))),
        )
        if job
        else ()
    )
    return render(
        context,
        DayPage(
            job=job_bar(row, "day"),
            times=times,
            venue=row.venue,
            address=job.venue.address if job else "",
            contact=job.job.contact if job else "",
            studio=evaluation.studio.studio.contact,
            sections=parts,
            missing=_missing(row),
            cautions=service.cautions(evaluation),
            done=sum(part.done for part in parts),
            total=sum(len(part.lines) for part in parts),
            note=job.job.note if job else "",
            floor=service.floor(evaluation),
            currency=row.currency,
            worked=worked,
            mine=mine,
            finished=finished,
        ),
        language=language,
    )


def _missing(row: JobRow) -> str:
    """Why a job has no lists: nobody knows its day yet, or something in it is wrong."""
    if row.date is None:
        return say(message("The lists come once the day is known: set it under Design, The job."))
    return say(message("The lists come once the job’s errors are fixed under Design."))


def _of_the_crew(context: SignedIn, job: Job | None) -> str:
    """The crew's language as the job has it, for a helper who chose none of her own."""
    if job is None or context.actor.designs or chosen_language(context.request):
        return ""
    return job.job.crew_language or ""


@router.get("/jobs/{job_id}/day/{piece}/chart.svg")
def chart(job_id: str, piece: Index, context: SignedIn) -> Response:
    """The chart of a piece, to build from."""
    with context.reading() as session:
        evaluation = context.evaluate(Jobs(session).get(job_id), session)
    made = service.built(evaluation, piece)
    if made is None:
        return Response(status_code=204)
    system = evaluation.studio.studio.units
    return Response(to_svg(draw_chart(made, system=system)), media_type="image/svg+xml")


@router.get("/jobs/{job_id}/day/{piece}/{step}.webp")
def step(job_id: str, piece: Index, step: Index, context: SignedIn) -> Response:
    """What a step adds to a piece, drawn as on the make sheet."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        text, version = row.text, row.version
        studio_text = StudioFile(session).get()[0]

    def drawn() -> Drawing | None:
        evaluation = context.desk.builder.evaluate(text, studio_text)
        return service.step_drawing(service.built(evaluation, piece), step)

    owner = f"day:{job_id}:{piece}:{step}"
    return thumbnails.answer(context.desk, owner, version, drawn, lasting=False)


@router.post("/jobs/{job_id}/finished")
async def add_finished(job_id: str, context: SignedIn) -> Response:
    """A photograph of the finished decor, from the phone of whoever stands before it."""
    sent = context.file("photo")
    if sent is None:
        raise EditError(message("No picture was picked."), message("Take or pick one."))
    data = await sent.read(LARGEST_PHOTO + 1)
    if len(data) > LARGEST_PHOTO:
        raise EditError(
            message("This picture is too large."), message("Save it smaller and send it again.")
        )

    def keep() -> None:
        picture = kept_picture(data, service.FINISHED_PX)
        with context.writing() as session:
            Jobs(session).get(job_id)
            service.keep_finished(Files(session), job_id, picture.content, context.actor.name)

    await run_in_threadpool(keep)
    return RedirectResponse(f"/jobs/{job_id}/day?said=saved#finished", 303)


@router.post("/jobs/{job_id}/finished/{file_id}/remove")
def remove_finished(job_id: str, file_id: str, context: SignedIn) -> Response:
    """Throw a photograph of the finished decor away."""
    with context.writing() as session:
        service.drop_finished(Files(session), job_id, file_id, context.actor)
    return RedirectResponse(f"/jobs/{job_id}/day?said=deleted#finished", 303)


@router.post("/jobs/{job_id}/day")
def tick(job_id: str, context: SignedIn) -> Response:
    """One tick, from a browser that runs no script."""
    item = context.text("item", 200)
    with context.writing() as session:
        Jobs(session).get(job_id)
        if item:
            word = Ticked(item, context.text("ticked") == "yes", now(), context.actor.name)
            Ticks(session).merge(job_id, [word])
    return RedirectResponse(f"/jobs/{job_id}/day", 303)
