"""Addresses of the day."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import SignedIn
from airwright.desk.day import service
from airwright.desk.day.contexts import DayPage
from airwright.desk.design import views
from airwright.desk.pages import render
from airwright.store.jobs import Jobs
from airwright.store.ticks import Ticked, Ticks
from airwright.store.types import now

router = APIRouter()


@router.get("/jobs/{job_id}/day")
def day(job_id: str, context: SignedIn) -> Response:
    """Load list, steps, cautions and whom to call."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        ticks = Ticks(session).of_job(job_id)
    parts = service.sections(evaluation, ticks)
    job = evaluation.job
    times = (
        (("Crew in", job.venue.access), ("Guests", job.job.guests), ("Take down", job.job.strike))
        if job
        else ()
    )
    return render(
        context,
        DayPage(
            job=views.job_bar(row, "day"),
            times=times,
            venue=row.venue,
            address=job.venue.address if job else "",
            contact=job.job.contact if job else "",
            studio=evaluation.studio.studio.contact,
            sections=parts,
            cautions=tuple(f for f in evaluation.findings if f.severity == "caution"),
            done=sum(part.done for part in parts),
            total=sum(len(part.lines) for part in parts),
            note=job.job.note if job else "",
            floor=service.floor(evaluation),
        ),
    )


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
