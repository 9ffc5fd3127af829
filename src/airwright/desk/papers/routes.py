"""Addresses of papers and photographs."""

from __future__ import annotations

from urllib.parse import quote

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import Refused, RequestContext, SignedIn
from airwright.desk.editing.edits import EditError
from airwright.desk.page_heads import job_bar
from airwright.desk.pages import render
from airwright.desk.papers import service
from airwright.desk.papers.contexts import PapersPage
from airwright.desk.papers.forms import order_of
from airwright.language import message
from airwright.store import Missing
from airwright.store.files import FINISHED, Files
from airwright.store.jobs import Jobs
from airwright.store.tasks import Tasks

router = APIRouter()
MOST_WAITING = 6


@router.get("/jobs/{job_id}/papers")
def papers(job_id: str, context: SignedIn) -> Response:
    """What was made, what is being made, what can be made."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        files = [
            f
            for f in Files(session).of_job(job_id)
            if service.may_see(f, context.actor) and f.use != FINISHED
        ]
        tasks = Tasks(session).of_job(job_id, 6)
    lines = [service.file_line(file, row.version) for file in files]
    work = [service.task_line(task) for task in tasks]
    return render(
        context,
        PapersPage(
            job=job_bar(row, "papers"),
            groups=service.grouped(line for line in lines if not line.name.startswith("photo ")),
            photos=tuple(line for line in lines if line.name.startswith("photo ")),
            tasks=tuple([line for line in work if line.running] or work[:1]),
            busy=any(line.running for line in work),
            documents=service.documents() if context.actor.designs else (),
            subjects=service.subjects(evaluation) if context.actor.designs else (),
            ready=evaluation.plan is not None,
            photographs=service.can_photograph(),
            errors=sum(f.severity == "error" for f in evaluation.findings),
        ),
    )


@router.post("/jobs/{job_id}/papers")
def make(job_id: str, context: SignedIn) -> Response:
    """Ask for papers or a photograph."""
    if not context.actor.designs:
        raise Refused(
            message("Papers are made by designers and owners."), message("Ask one of them.")
        )
    with context.writing() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        kind, details = order_of(
            context, [name for name, _ in service.documents()], service.subjects(evaluation)
        )
        waiting = [
            t for t in Tasks(session).of_job(job_id, 50) if t.state in ("waiting", "working")
        ]
        if len(waiting) >= MOST_WAITING:
            raise EditError(
                message("Much is being made for this job already."),
                message("Wait for it, or stop it."),
            )
        Tasks(session).add(job_id, kind, details)
    if context.desk.workers is not None:
        context.desk.workers.wake()
    return _back(job_id, context)


@router.post("/jobs/{job_id}/papers/{task_id}/stop")
def stop(job_id: str, task_id: str, context: SignedIn) -> Response:
    """Stop what is being made."""
    if not context.actor.designs:
        raise Refused(
            message("Papers are made by designers and owners."), message("Ask one of them.")
        )
    with context.writing() as session:
        if Tasks(session).get(task_id).job_id != job_id:
            raise Missing("task")
        Tasks(session).stop(task_id)
    return _back(job_id, context)


@router.get("/jobs/{job_id}/papers/all.zip")
def everything(job_id: str, context: SignedIn) -> Response:
    """All files this person may see, as one."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        files = [f for f in Files(session).of_job(job_id) if service.may_see(f, context.actor)]
        data = service.zipped(files)
    context.log_export(f"{row.title[:60]}.zip", job_id)
    return _file(data, "application/zip", f"{row.title[:60]}.zip", attach=True)


@router.get("/jobs/{job_id}/papers/{file_id}")
def file(job_id: str, file_id: str, context: SignedIn, download: bool = False) -> Response:
    """One file."""
    with context.reading() as session:
        found = Files(session).get(file_id, job_id)
        if not service.may_see(found, context.actor):
            raise Missing("file")
        return _file(found.content, found.media, found.name, attach=download)


def _file(data: bytes, media: str, name: str, *, attach: bool) -> Response:
    kind = "attachment" if attach else "inline"
    plain = name.rsplit("/", 1)[-1]
    head = {"content-disposition": f"{kind}; filename*=UTF-8''{quote(plain)}"}
    return Response(data, media_type=media, headers=head)


def _back(job_id: str, context: RequestContext) -> Response:
    return RedirectResponse(f"/jobs/{job_id}/papers", 303)
