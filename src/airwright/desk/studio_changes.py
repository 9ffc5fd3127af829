"""Writing the studio file, and going back to the page it was asked from."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from starlette.background import BackgroundTask
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


def change(context: RequestContext, make: Callable[[str], str]) -> None:
    """Make a new studio file of the one that holds.

    Raises:
        EditError: a job in hand could no longer be planned.
        Overtaken: somebody changed it since the form was shown; and what `make` raises.
    """
    version = context.text("version")
    with context.reading() as session:
        before, jobs = StudioFile(session).get()[0], Jobs(session).in_hand(MOST_PROVED)
    prove(context.desk.builder, jobs, before, make(before))
    with context.writing() as session:
        file = StudioFile(session)
        text, current = file.get()
        file.put(make(text), int(version) if version.isdecimal() else current)
        context.log(session, "settings changed")


def prove(builder: Builder, jobs: Iterable[tuple[str, str]], before: str, after: str) -> None:
    """Make sure that the jobs in hand can still be planned.

    Args:
        builder: plans them.
        jobs: title and text of each.
        before, after: the studio file as it is and as it would be.

    Raises:
        EditError: a job that could be planned until now no longer could.
    """
    for title, text in jobs:
        now = builder.evaluate(text, after)
        if now.plan is None and builder.evaluate(text, before).plan is not None:
            wrong = next(found for found in now.findings if found.severity == "error")
            raise EditError(
                message(
                    'With this "{title}" could no longer be planned: {what}',
                    title=title,
                    what=wrong.what,
                ),
                wrong.mend,
            )


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
