"""The state of a job for the browser."""

from __future__ import annotations

from typing import Any

from airwright.desk.access import RequestContext
from airwright.desk.design.service import Changed, to_response
from airwright.store.jobs import Jobs


def state(context: RequestContext, job_id: str, have: list[str]) -> dict[str, Any]:
    """A job as it stands now."""
    with context.reading() as session:
        jobs = Jobs(session)
        row = jobs.get(job_id)
        evaluation = context.evaluate(row, session)
        undo, redo = jobs.neighbours(row)
    return to_response(context, Changed(row, evaluation, undo, redo), have)
