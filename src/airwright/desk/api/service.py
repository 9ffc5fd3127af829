"""The state of a job for the browser."""

from __future__ import annotations

from typing import Any

from airwright.desk.access import Visit
from airwright.desk.bench.service import Changed, told
from airwright.store.jobs import Jobs


def state(visit: Visit, job_id: str, have: list[str]) -> dict[str, Any]:
    """A job as it stands now."""
    with visit.reading() as session:
        jobs = Jobs(session)
        row = jobs.get(job_id)
        look = visit.look(row, session)
        undo, redo = jobs.neighbours(row)
    return told(visit, Changed(row, look, undo, redo), have)
