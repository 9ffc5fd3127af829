"""Writing the studio file, and going back to the page it was asked from."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterable

from starlette.background import BackgroundTask
from starlette.datastructures import UploadFile
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import RequestContext
from airwright.desk.designs import reprice
from airwright.desk.editing.builder import Builder
from airwright.desk.editing.edits import EditError
from airwright.job.studio_reading import read_studio
from airwright.language import message
from airwright.store.jobs import Jobs
from airwright.store.studio import StudioFile

MOST_PROVED = 30
"""Jobs in hand, the next ones first, that new settings are tried on before they hold."""


class StillProving(Exception):
    """New settings are being tried on the jobs in hand: so many of them so far."""

    def __init__(self, context: RequestContext, done: int, count: int) -> None:
        super().__init__(f"{done} of {count} jobs tried")
        self.context = context
        self.done = done
        self.count = count


def change(context: RequestContext, make: Callable[[str], str]) -> None:
    """Make a new studio file of the one that holds.

    Raises:
        EditError: a job in hand could no longer be planned.
        StillProving: not all of them were tried yet; the same form goes on with the rest.
        Overtaken: somebody changed it since the form was shown; and what `make` raises.
    """
    version = context.text("version")
    with context.reading() as session:
        before, jobs = StudioFile(session).get()[0], Jobs(session).in_hand(MOST_PROVED)
    # A file that was sent along cannot be asked for again: all jobs are tried at once.
    sent = any(isinstance(value, UploadFile) for value in context.form.values())
    within_s = math.inf if sent else context.desk.limits.proving_s
    tried = prove(context.desk.builder, jobs, before, make(before), within_s)
    if tried < len(jobs):
        raise StillProving(context, tried, len(jobs))
    with context.writing() as session:
        file = StudioFile(session)
        text, current = file.get()
        file.put(make(text), int(version) if version.isdecimal() else current)
        context.log(session, "settings changed")


def prove(
    builder: Builder,
    jobs: Iterable[tuple[str, str]],
    before: str,
    after: str,
    within_s: float = math.inf,
) -> int:
    """Make sure that the jobs in hand can still be planned.

    Args:
        builder: plans them, and remembers which of them it could plan.
        jobs: title and text of each.
        before, after: the studio file as it is and as it would be.
        within_s: after so long no further job is begun.

    Returns:
        How many of them, from the first, can be planned as before.

    Raises:
        EditError: a job that could be planned until now no longer could.
    """
    end = time.monotonic() + within_s
    tried, planned = 0, False
    for title, text in jobs:
        if not builder.knows(text, after):
            if planned and time.monotonic() >= end:
                break
            planned = True  # at least one a request, so that it comes to an end
        if not builder.can_plan(text, after) and builder.can_plan(text, before):
            findings = builder.evaluate(text, after).findings
            wrong = next(found for found in findings if found.severity == "error")
            raise EditError(
                message(
                    'With this "{title}" could no longer be planned: {what}',
                    title=title,
                    what=wrong.what,
                ),
                wrong.mend,
            )
        tried += 1
    return tried


def done(context: RequestContext, to: str) -> Response:
    """Back to a page; what kept designs come to follows the settings meanwhile."""
    return RedirectResponse(to, 303, background=BackgroundTask(reprice, context.desk))


def checked(text: str) -> str:
    """A studio file that holds. Raises EditError with its first finding."""
    reading = read_studio(text)
    if reading.studio is None:
        first = reading.findings[0]
        raise EditError(first.what, first.mend)
    return text
