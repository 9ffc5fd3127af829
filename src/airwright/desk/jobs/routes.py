"""Addresses of the book."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import LANGUAGE_COOKIE, ByDesigner, ByOwner, SignedIn
from airwright.desk.editing.edits import EditError
from airwright.desk.job_changes import start
from airwright.desk.job_money import book_deposit
from airwright.desk.jobs.contexts import JobsPage, RemovePage
from airwright.desk.jobs.forms import ARCHIVE, date_or_none, stage_named, stage_or_none
from airwright.desk.jobs.service import entry, on_another_day, wishes
from airwright.desk.pages import render
from airwright.desk.stages import STAGE_WORDS
from airwright.desk.stock_entry import reserve_by_stage
from airwright.job.reading import LARGEST_FILE
from airwright.language import LANGUAGES, message
from airwright.store.contacts import Contacts
from airwright.store.jobs import Jobs
from airwright.store.studio import Designs, Facts, StudioFile
from airwright.store.types import now

router = APIRouter()
PER_PAGE = 24
NO_FILE = ("not-text", "empty-file")
"""Findings whose usual cure is a command, which nobody types into a browser."""


@router.get("/")
def book(
    context: SignedIn,
    words: Annotated[str, Query(max_length=200)] = "",
    stage: Annotated[str, Query(max_length=20)] = "",
    page: Annotated[int, Query(ge=1, le=100_000)] = 1,
) -> Response:
    """All jobs, or those that a search finds."""
    today = context.desk.settings.today()
    wanted, archived = stage_or_none(stage), stage == ARCHIVE
    words = words.replace("\0", "")
    with context.reading() as session:
        jobs = Jobs(session)
        counts = jobs.count_by_stage()
        put_away = jobs.count(archived=True)
        some = words or wanted or archived
        found = jobs.count(words, wanted, archived=archived) if some else sum(counts.values())
        rows = jobs.search(
            words, wanted, today=today, limit=PER_PAGE, offset=(page - 1) * PER_PAGE,
            archived=archived,
        )  # fmt: skip
        people = Contacts(session).search(words, limit=MOST_FOUND) if words else []
        designs = [d for d in Designs(session).all() if _named(d.name, words)] if words else []
        tour = Facts(session).get("tour") != "done"
        wished = wishes(session, rows)
    total = sum(counts.values())
    return render(
        context,
        JobsPage(
            entries=tuple(entry(row, context.actor, today, wished) for row in rows),
            words=words,
            stage=ARCHIVE if archived else wanted or "",
            stages=tuple((key, STAGE_WORDS[key], number) for key, number in counts.items()),
            put_away=put_away,
            people=tuple((p.id, p.name) for p in people) if context.actor.designs else (),
            designs=tuple((d.id, d.name) for d in designs[:MOST_FOUND]),
            total=total,
            found=found,
            page=page,
            pages=max(1, -(-found // PER_PAGE)),
            tour=tour and context.actor.designs and not some,
            empty=total + put_away == 0,
        ),
    )


MOST_FOUND = 12


def _named(name: str, words: str) -> bool:
    return all(word in name.lower() for word in words.lower().split())


@router.post("/tour")
def end_tour(context: SignedIn) -> Response:
    """The tour was seen."""
    with context.writing() as session:
        Facts(session).put("tour", "done")
    return RedirectResponse("/", 303)


def _back(context: SignedIn) -> RedirectResponse:
    """To the page of this desk that a small form in the frame was sent from."""
    back = context.text("back")
    inside = back.startswith("/") and not back.startswith(("//", "/\\"))
    return RedirectResponse(back if inside else "/", 303)


@router.post("/language")
def language(context: SignedIn) -> Response:
    """The language of the desk on this machine; the studio's where none is chosen."""
    wanted = context.text("language")
    answer = _back(context)
    if wanted in LANGUAGES:
        answer.set_cookie(LANGUAGE_COOKIE, wanted, max_age=31_536_000, samesite="lax")
    else:
        answer.delete_cookie(LANGUAGE_COOKIE)
    return answer


@router.post("/theme")
def theme(context: SignedIn) -> Response:
    """Light, dark, or as the machine has it."""
    wanted = context.text("theme")
    answer = _back(context)
    if wanted in ("light", "dark"):
        answer.set_cookie("airwright_theme", wanted, max_age=31_536_000, samesite="lax")
    else:
        answer.delete_cookie("airwright_theme")
    return answer


@router.post("/jobs/read")
async def read_in(context: ByDesigner) -> Response:
    """A job file from outside becomes a job."""
    from starlette.concurrency import run_in_threadpool

    sent = context.file("file")
    if sent is None:
        raise EditError(message("No file was picked."), message("Pick a job file."))
    data = await sent.read(LARGEST_FILE + 1)
    if len(data) > LARGEST_FILE:
        raise EditError(
            message("That is too large for a job file."),
            message("Pick the job file, not a picture."),
        )
    job_id = await run_in_threadpool(_keep_file, context, data)
    return RedirectResponse(f"/jobs/{job_id}?said=read", 303)


def _keep_file(context: ByDesigner, data: bytes) -> str:
    from airwright.decor.pieces import SPECS
    from airwright.job import read_job

    reading = read_job(data, SPECS)
    if not reading.text or not reading.places:
        first = reading.findings[0]
        mend = (
            message("Pick a job file: one that was exported here or written by hand.")
            if first.code in NO_FILE
            else first.mend
        )
        raise EditError(first.what, mend)
    with context.writing() as session:
        studio_text = StudioFile(session).get()[0]
        row, _ = start(
            context.desk.builder, Jobs(session), studio_text, reading.text, context.actor.name
        )
        row.stage = "drawn"
        return row.id


@router.post("/jobs/{job_id}/stage")
def set_stage(job_id: str, context: ByDesigner) -> Response:
    """Move a job on, or back."""
    with context.writing() as session:
        Jobs(session).set_stage(job_id, stage_named(context.text("stage")))
    reserve_by_stage(context.desk, job_id, context.actor.name)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/deposit")
def deposit(job_id: str, context: ByDesigner) -> Response:
    """The deposit came, or it did not after all."""
    came, today = context.text("paid") == "yes", context.desk.settings.today()
    with context.writing() as session:
        book_deposit(session, job_id, came, context.actor.name, today)
    return RedirectResponse(f"/jobs/{job_id}/offer?said=saved", 303)


@router.post("/jobs/{job_id}/archive")
def archive(job_id: str, context: ByDesigner) -> Response:
    """Put a job away, or take it back among the others."""
    away = context.text("away") == "yes"
    with context.writing() as session:
        Jobs(session).archive(job_id, now() if away else None)
    return RedirectResponse("/?said=archived" if away else f"/jobs/{job_id}?said=back", 303)


@router.post("/jobs/{job_id}/copy")
def copy(job_id: str, context: ByDesigner) -> Response:
    """The same job once more, on another day."""
    date = date_or_none(context.text("date", 20), context.desk.settings.today())
    with context.writing() as session:
        jobs = Jobs(session)
        text = on_another_day(jobs.get(job_id).text, date)
        studio_text = StudioFile(session).get()[0]
        row, _ = start(
            context.desk.builder, jobs, studio_text, text, context.actor.name, stage="drawn"
        )
        copied = row.id
    return RedirectResponse(f"/jobs/{copied}?said=copied", 303)


@router.get("/jobs/{job_id}/remove")
def ask_remove(job_id: str, context: ByOwner) -> Response:
    """Ask before a job is taken out for good."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
    return render(context, RemovePage(id=row.id, title=row.title))


@router.post("/jobs/{job_id}/remove")
def remove(job_id: str, context: ByOwner) -> Response:
    """Take a job out for good."""
    with context.writing() as session:
        context.log(session, "deleted", Jobs(session).get(job_id).title)
        Jobs(session).remove(job_id)
    return RedirectResponse("/?said=removed", 303)
