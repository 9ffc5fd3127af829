"""Addresses of the day."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import Visiting
from airwright.desk.bench import views
from airwright.desk.day import service
from airwright.desk.day.contexts import DayPage
from airwright.desk.pages import render
from airwright.store.jobs import Jobs
from airwright.store.ticks import Ticked, Ticks
from airwright.store.types import now

router = APIRouter()


@router.get("/jobs/{job_id}/day")
def day(job_id: str, visit: Visiting) -> Response:
    """Load list, steps, cautions and whom to call."""
    with visit.reading() as session:
        row = Jobs(session).get(job_id)
        look = visit.look(row, session)
        ticks = Ticks(session).of_job(job_id)
    parts = service.sections(look, ticks)
    job = look.job
    times = (
        (("Crew in", job.venue.access), ("Guests", job.job.guests), ("Take-down", job.job.strike))
        if job
        else ()
    )
    return render(
        visit,
        DayPage(
            job=views.job_bar(row, "day"),
            times=times,
            venue=row.venue,
            address=job.venue.address if job else "",
            contact=job.job.contact if job else "",
            studio=look.studio.studio.contact,
            sections=parts,
            cautions=tuple(f for f in look.findings if f.severity == "caution"),
            done=sum(part.done for part in parts),
            total=sum(len(part.lines) for part in parts),
            note=job.job.note if job else "",
            floor=service.floor(look),
        ),
    )


@router.post("/jobs/{job_id}/day")
def tick(job_id: str, visit: Visiting) -> Response:
    """One tick, from a browser that runs no script."""
    item = visit.text("item", 200)
    with visit.writing() as session:
        Jobs(session).get(job_id)
        if item:
            word = Ticked(item, visit.text("ticked") == "yes", now(), visit.actor.name)
            Ticks(session).merge(job_id, [word])
    return RedirectResponse(f"/jobs/{job_id}/day", 303)
