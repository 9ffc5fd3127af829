"""Addresses of the client's room."""

from __future__ import annotations

from pathlib import PurePath
from typing import Any

from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByDesigner, RequestContext
from airwright.desk.editing.edits import EditError
from airwright.desk.page_heads import job_bar
from airwright.desk.pages import render
from airwright.desk.room import forms, service
from airwright.desk.room.contexts import MarkPage, RoomPage, Wrong
from airwright.desk.sent_pictures import kept_picture
from airwright.language import message
from airwright.store.jobs import Jobs
from airwright.store.studio import StudioFile
from airwright.store.tasks import Tasks
from airwright.store.venue_photos import VenuePhotos

router = APIRouter()
LARGEST_PHOTO = 11_000_000
MOST_WAITING = 6


@router.get("/jobs/{job_id}/room")
def room(job_id: str, context: ByDesigner) -> Response:
    """The photographs of a job's venue."""
    return _room(job_id, context)


def _room(job_id: str, context: RequestContext, wrong: Wrong = None) -> Response:
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        photos = tuple(service.line(p) for p in VenuePhotos(session).of_venue(row.venue))
    page = RoomPage(job_bar(row, "papers"), row.venue, photos, wrong)
    return render(context, page, status=422 if wrong else 200)


@router.post("/jobs/{job_id}/room")
async def add(job_id: str, context: ByDesigner) -> Response:
    """A photograph of the room, kept with its venue."""
    sent = context.file("photo")
    try:
        if sent is None:
            raise EditError(message("No picture was picked."), message("Take or pick one."))
        data = await sent.read(LARGEST_PHOTO + 1)
        if len(data) > LARGEST_PHOTO:
            raise EditError(
                message("This picture is too large."),
                message("Save it smaller and send it again."),
            )
        name = PurePath(sent.filename or "").stem
        photo_id = await run_in_threadpool(_keep, context, job_id, data, name)
    except EditError as problem:
        return await run_in_threadpool(_room, job_id, context, service.refused(problem))
    return RedirectResponse(f"/jobs/{job_id}/room/{photo_id}", 303)


def _keep(context: RequestContext, job_id: str, data: bytes, name: str) -> str:
    picture = kept_picture(data, service.KEPT_PX)
    with context.writing() as session:
        row = Jobs(session).get(job_id)
        photos = VenuePhotos(session)
        if not row.venue:
            raise EditError(
                message("The photo is kept with the venue, and this job names none."),
                message("Name the venue under Design, The job."),
            )
        if len(photos.of_venue(row.venue)) >= service.MOST_PHOTOS:
            raise EditError(
                message("{n} photos of this venue are kept.", n=service.MOST_PHOTOS),
                message("Delete one first."),
            )
        named = context.text("name", 60) or name.replace("_", " ") or row.venue
        return photos.put(row.venue, named, "image/jpeg", picture.content).id


@router.get("/jobs/{job_id}/room/{photo_id}")
def mark(job_id: str, photo_id: str, context: ByDesigner) -> Response:
    """One photograph, to be marked."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        photo = VenuePhotos(session).get(photo_id, row.venue)
        raw = photo.calibration
    return _mark(job_id, photo_id, context, raw)


def _mark(
    job_id: str,
    photo_id: str,
    context: RequestContext,
    raw: dict[str, Any] | None,
    typed: dict[str, str] | None = None,
    wrong: Wrong = None,
) -> Response:
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        photo = VenuePhotos(session).get(photo_id, row.venue)
        content, name = photo.content, photo.name
        evaluation = context.evaluate(row, session)
    wide, tall = service.size_of(content)
    look = service.looked(content, raw)
    held = raw or {}
    page = MarkPage(
        job=job_bar(row, "papers"),
        id=photo_id,
        name=name,
        wide=wide,
        tall=tall,
        corners=service.as_json(held.get("corners") or service.starting(wide, tall)),
        stand=service.as_json(look.figure[0]) if look.figure else "",
        in_front=service.as_json(held.get("in_front", [])),
        typed=typed or {name: str(held.get(name, "")) for name in forms.TYPED},
        length_example="10 ft" if forms.in_feet(evaluation.studio.studio.units) else "3 m",
        lights=forms.LIGHTS,
        floors=forms.FLOORS,
        subjects=service.subjects(evaluation),
        ready=evaluation.plan is not None,
        photographs=service.can_photograph(),
        wrong=wrong,
        look=look,
    )
    return render(context, page, status=422 if wrong else 200)


@router.post("/jobs/{job_id}/room/{photo_id}")
def save(job_id: str, photo_id: str, context: ByDesigner) -> Response:
    """Keep the marks, and photograph the decor there if that was asked for."""
    raw: dict[str, Any] | None = None
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        photo = VenuePhotos(session).get(photo_id, row.venue)
        content, name, before = photo.content, photo.name, photo.calibration
        system = context.desk.builder.studio(StudioFile(session).get()[0]).studio.units
        names = service.subjects(context.evaluate(row, session))
    try:
        raw = forms.raw_marks(context, system)
        service.read(raw)
        stand = forms.points(f"[{context.text('stand', 200)}]")
        kept = {key: (before or {})[key] for key in ("right", "away") if key in (before or {})}
        raw = service.stood(content, raw, stand[0]) if stand else raw | kept
        with context.writing() as session:
            VenuePhotos(session).mark(photo_id, row.venue, raw)
        if context.text("then") != "take":
            return RedirectResponse(f"/jobs/{job_id}/room/{photo_id}?said=saved", 303)
        look = service.looked(content, raw)
        if look.wrong is not None:
            raise EditError(*look.wrong)
        _take(context, job_id, photo_id, name, raw, names)
    except EditError as problem:
        typed = forms.typed_of(context)
        return _mark(job_id, photo_id, context, raw or before, typed, service.refused(problem))
    return RedirectResponse(f"/jobs/{job_id}/papers", 303)


def _take(
    context: RequestContext,
    job_id: str,
    photo_id: str,
    photo_name: str,
    raw: dict[str, Any],
    names: tuple[str, ...],
) -> None:
    """Put the photograph into the queue. Raises EditError."""
    subject = context.text("name", 120)
    if subject not in names:
        raise EditError(
            message("There is nothing of that name to photograph."),
            message("Pick one of the list."),
        )
    details = {"name": subject, "photo": photo_id, "room": photo_name, "marks": raw}
    with context.writing() as session:
        tasks = Tasks(session)
        waiting = [t for t in tasks.of_job(job_id, 50) if t.state in ("waiting", "working")]
        if len(waiting) >= MOST_WAITING:
            raise EditError(
                message("Much is being made for this job already."),
                message("Wait for it, or stop it."),
            )
        tasks.add(job_id, "room", details)
    if context.desk.workers is not None:
        context.desk.workers.wake()


@router.get("/jobs/{job_id}/room/{photo_id}/picture.jpg")
def picture(job_id: str, photo_id: str, context: ByDesigner) -> Response:
    """The photograph itself."""
    with context.reading() as session:
        photo = VenuePhotos(session).get(photo_id, Jobs(session).get(job_id).venue)
        return Response(photo.content, media_type=photo.media)


@router.post("/jobs/{job_id}/room/{photo_id}/remove")
def remove(job_id: str, photo_id: str, context: ByDesigner) -> Response:
    """Throw a photograph away."""
    with context.writing() as session:
        VenuePhotos(session).remove(photo_id, Jobs(session).get(job_id).venue)
    return RedirectResponse(f"/jobs/{job_id}/room?said=deleted", 303)
