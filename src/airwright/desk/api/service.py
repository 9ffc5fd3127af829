"""The state of a job for the browser."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from airwright.desk.access import RequestContext
from airwright.desk.api.palette import palette
from airwright.desk.job_changes import Changed, next_steps, to_response
from airwright.store.jobs import Jobs
from airwright.store.studio import StudioFile


def state(context: RequestContext, job_id: str, have: list[str]) -> dict[str, Any]:
    """A job as it stands now."""
    with context.reading() as session:
        jobs = Jobs(session)
        row = jobs.get(job_id)
        evaluation = context.evaluate(row, session)
        undo, redo = next_steps(jobs, row, context.actor)
    return to_response(context, Changed(row, evaluation, undo, redo), have)


def colours(context: RequestContext, data: bytes) -> list[dict[str, Any]]:
    """The palette of a picture, against the studio's stock. Raises EditError."""
    with context.reading() as session:
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
    return [asdict(tone) for tone in palette(data, studio.catalog())]
