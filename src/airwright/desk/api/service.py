"""The state of a job for the browser."""

from __future__ import annotations

from starlette.responses import Response

from airwright.desk.access import RequestContext
from airwright.desk.api.palette import Tone, palette
from airwright.desk.job_changes import Changed, next_steps, to_response
from airwright.store.jobs import Jobs
from airwright.store.studio import StudioFile


def state(context: RequestContext, job_id: str, have: list[str]) -> Response:
    """A job as it stands now."""
    with context.reading() as session:
        jobs = Jobs(session)
        row = jobs.get(job_id)
        evaluation = context.evaluate(row, session)
        undo, redo = next_steps(jobs, row, context.actor)
    return to_response(context, Changed(row, evaluation, undo, redo), have)


def colours(context: RequestContext, data: bytes) -> tuple[Tone, ...]:
    """The palette of a picture, against the studio's stock. Raises EditError."""
    with context.reading() as session:
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
    return palette(data, studio.catalog())
