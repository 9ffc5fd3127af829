"""Writing the studio file, and going back to the page it was asked from."""

from __future__ import annotations

from collections.abc import Callable

from starlette.background import BackgroundTask
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import RequestContext
from airwright.desk.enquiry.service import reprice
from airwright.store.studio import StudioFile


def change(context: RequestContext, make: Callable[[str], str]) -> None:
    """Make a new studio file of the one that holds.

    Raises:
        Overtaken: somebody changed it since the form was shown; and what `make` raises.
    """
    version = context.text("version")
    with context.writing() as session:
        file = StudioFile(session)
        text, current = file.get()
        file.put(make(text), int(version) if version.isdigit() else current)


def done(context: RequestContext, to: str) -> Response:
    """Back to a page; what kept designs come to follows the settings meanwhile."""
    return RedirectResponse(to, 303, background=BackgroundTask(reprice, context.desk))
