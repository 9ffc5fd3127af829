"""Addresses of backups and tidying."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.background import BackgroundTask
from starlette.responses import FileResponse, RedirectResponse, Response

from airwright.desk.access import ByOwner, Refused
from airwright.desk.keeping import service
from airwright.desk.pages import render
from airwright.desk.proof import ByProvenOwner
from airwright.language import message
from airwright.store import Missing
from airwright.store.rotation import kept
from airwright.store.studio import StudioFile
from airwright.store.tidying import tidy, vacuum
from airwright.store.types import now

router = APIRouter(prefix="/studio/keeping")


@router.get("")
def keeping(context: ByOwner) -> Response:
    """Backups, sizes, and what tidying would free."""
    return render(context, service.keeping_page(context))


@router.post("/tidy")
def tidy_now(context: ByProvenOwner) -> Response:
    """Take away what is no longer needed."""
    with context.reading() as session:
        rules = service.rules_of(context, StudioFile(session).get()[0])
    done = tidy(context.desk.database, rules, now())
    said = ", ".join(f"{share.heap} {share.count}" for share in done if share.count)
    with context.writing() as session:
        context.log(session, "tidied", said)
    room = BackgroundTask(vacuum, context.desk.database)
    return RedirectResponse("/studio/keeping?said=tidied", 303, background=room)


@router.post("/backup")
def back_up_now(context: ByOwner) -> Response:
    """Make a backup now; it is worked on beside the desk."""
    if context.desk.backups is None:
        raise Refused(
            message("This desk makes no backups by itself."),
            message("Start it with --backups FOLDER."),
        )
    context.desk.backups.wish(context.actor.name)
    return RedirectResponse("/studio/keeping?said=backing-up", 303)


@router.post("/backups/{name}")
def take_along(name: str, context: ByProvenOwner) -> Response:
    """A backup as a file: everything the studio has."""
    folder = None if context.desk.backups is None else context.desk.backups.folder
    if folder is None or name not in {one.name for one in kept(folder)}:
        raise Missing("backup")
    context.log_export(name)
    return FileResponse(folder / name, media_type="application/zip", filename=name)
