"""Addresses of the design page."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.exceptions import HTTPException
from starlette.responses import RedirectResponse, Response

from airwright.desk import drawings, job_changes, thumbnails
from airwright.desk.access import ByDesigner, Refused, RequestContext, SignedIn
from airwright.desk.design import views
from airwright.desk.design.contexts import DesignCard, DesignPage, FilePage, HoursPart, PanelPart
from airwright.desk.design.forms import job_panel, piece_panel
from airwright.desk.design.labour import hours_shown
from airwright.desk.designs import design_text, keep_piece, starts
from airwright.desk.editing.builder import Evaluation
from airwright.desk.editing.edits import Edit, EditError
from airwright.desk.editing.writing import NothingToDo
from airwright.desk.field_groups import Group
from airwright.desk.page_heads import job_bar
from airwright.desk.pages import money, render
from airwright.job.reading import LARGEST_FILE
from airwright.language import message
from airwright.pictures.drawing import Drawing
from airwright.store.jobs import Jobs
from airwright.store.studio import Designs, StudioFile
from airwright.store.tables import JobRow
from airwright.units import System

router = APIRouter()
Chosen = Annotated[int | None, Query(ge=0, lt=500)]


@router.get("/jobs/{job_id}")
def design(job_id: str, context: SignedIn, piece: Chosen = None) -> Response:
    """The design page, with one piece chosen or the job itself."""
    if not context.actor.designs:
        return RedirectResponse(f"/jobs/{job_id}/day", 303)
    with context.reading() as session:
        jobs = Jobs(session)
        row = jobs.get(job_id)
        evaluation = context.evaluate(row, session)
        undo, redo = job_changes.next_steps(jobs, row, context.actor)
        designs = _designs(Designs(session))
    tags = views.piece_tags(evaluation, piece)
    chosen = piece if piece is not None and piece < len(tags) else None
    # Not drawn into the page: it would be painted (seconds, without a graphics card) only to be
    # covered by the turning picture. It stands in where there is no script or no 3D.
    drawn = any(p.assembly is not None and len(p.assembly) for p in evaluation.pieces)
    return render(
        context,
        DesignPage(
            job=job_bar(row, "design"),
            version=row.version,
            undo=undo,
            redo=redo,
            pieces=tags,
            chosen=chosen,
            panel=_panel(evaluation, chosen),
            shades=views.shade_list(evaluation),
            sizes=views.size_list(evaluation),
            stock=views.stock_list(evaluation),
            used=views.used_shades(evaluation),
            pairs=views.shade_pairs(evaluation),
            shown=views.shown(
                evaluation, price=context.actor.sees_price, cost=context.actor.sees_cost
            ),
            labour=hours_shown(evaluation),
            findings=evaluation.findings,
            designs=designs,
            picture=f"/jobs/{job_id}/picture.svg?v={row.version}" if drawn else None,
            grid="foot" if evaluation.studio.studio.units is System.FEET else "metre",
        ),
    )


@router.get("/jobs/{job_id}/hours")
def hours(job_id: str, context: ByDesigner) -> Response:
    """Where the hours go, alone."""
    with context.reading() as session:
        evaluation = context.evaluate(Jobs(session).get(job_id), session)
    return render(context, HoursPart(labour=hours_shown(evaluation)))


@router.get("/jobs/{job_id}/panel")
def panel(job_id: str, context: ByDesigner, piece: Chosen = None) -> Response:
    """The panel alone."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
    tags = views.piece_tags(evaluation, piece)
    chosen = piece if piece is not None and piece < len(tags) else None
    return render(
        context,
        PanelPart(
            job=job_bar(row, "design"),
            version=row.version,
            chosen=chosen,
            pieces=tags,
            panel=_panel(evaluation, chosen),
            shades=views.shade_list(evaluation),
            sizes=views.size_list(evaluation),
            stock=views.stock_list(evaluation),
            used=views.used_shades(evaluation),
            pairs=views.shade_pairs(evaluation),
        ),
    )


@router.post("/jobs/{job_id}/panel")
def write_panel(job_id: str, context: ByDesigner) -> Response:
    """Fields of the panel, sent by a browser that runs no script."""
    changes = []
    for name, value in context.form.multi_items():
        if name.startswith("f:") and isinstance(value, str):
            was = context.form.get(f"was:{name[2:]}")
            if value.replace("\r\n", "\n").strip() != was:
                changes.append({"do": "write", "path": _path(name[2:]), "text": value})
    try:
        if changes:
            job_changes.change(context.desk, context.actor, job_id, _edit(context, changes))
    except NothingToDo:
        pass
    return _back(job_id, context.text("piece"))


@router.post("/jobs/{job_id}/do")
def act(job_id: str, context: ByDesigner) -> Response:
    """One thing done with a button: add, duplicate, mirror, drop, put a trim in or out."""
    piece = context.text("piece")
    do = context.text("do")
    if do in ("undo", "redo"):
        job_changes.step(context.desk, context.actor, job_id, forward=do == "redo")
        return _back(job_id, piece)
    change: dict[str, object] = {"do": do}
    if do in ("duplicate", "mirror", "drop"):
        change["piece"] = int(piece) if piece.isdecimal() else -1
    elif do == "add":
        kind, _, design = context.text("kind").partition(":")
        change |= {"kind": kind, "design": design or None}
    elif do == "swap":
        change |= {"old": context.text("old"), "new": context.text("new")}
    elif do in ("put", "clear"):
        change["path"] = _path(context.text("path"))
        if do == "put":
            change["value"] = _json(context.text("value"))
    changed = job_changes.change(context.desk, context.actor, job_id, _edit(context, [change]))
    if do == "add":
        piece = str(len(views.piece_tags(changed.evaluation, None)) - 1)
    return _back(job_id, "" if do == "drop" else piece)


@router.post("/jobs/{job_id}/keep")
def keep(job_id: str, context: ByDesigner) -> Response:
    """Keep a piece for later jobs."""
    index = context.text("piece")
    with context.writing() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        keep_piece(Designs(session), evaluation, int(index) if index.isdecimal() else -1)
    return RedirectResponse(f"/jobs/{job_id}?piece={index}&said=kept", 303)


@router.get("/jobs/{job_id}/file")
def file_page(job_id: str, context: ByDesigner) -> Response:
    """The job file, to read and to change by hand."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        return render(context, _file_page(context, Jobs(session), row, row.text, row.version))


@router.post("/jobs/{job_id}/file")
def write_file(job_id: str, context: ByDesigner) -> Response:
    """The job file as typed."""
    raw = context.form.get("text")
    if not isinstance(raw, str) or not raw.strip():
        raise EditError(message("The file is empty."), message("Undo brings back what was there."))
    text = raw.replace("\r\n", "\n").replace("\0", "")
    version = context.text("version")
    if len(text) > LARGEST_FILE:
        raise Refused(
            message("This file is too long for a job."), message("Keep it below 1 MB."), 413
        )
    job_changes.replace_text(
        context.desk, context.actor, job_id, int(version) if version.isdecimal() else 0, text
    )
    return RedirectResponse(f"/jobs/{job_id}/file?said=saved", 303)


@router.get("/jobs/{job_id}/job.toml")
def download(job_id: str, context: ByDesigner) -> Response:
    """The job file as a file."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
    name = "".join(c if c.isascii() and c.isalnum() else "-" for c in row.title.lower()) or "job"
    context.log_export(f"{name[:60]}.toml", job_id)
    head = {"content-disposition": f'attachment; filename="{name[:60]}.toml"'}
    return Response(row.text, media_type="application/toml; charset=utf-8", headers=head)


@router.get("/jobs/{job_id}/picture.svg")
def picture(job_id: str, context: SignedIn, piece: Chosen = None) -> Response:
    """One piece, or all of them side by side, drawn from the front."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
    pieces = evaluation.pieces
    if piece is not None:
        pieces = tuple(p for p in pieces if p.place == f"pieces[{piece}]")
    made = drawings.side_by_side(pieces)
    if made is None:
        return Response(status_code=204)
    return Response(drawings.svg(made, "p"), media_type="image/svg+xml")


@router.get("/jobs/{job_id}/thumbnail.webp")
def job_thumbnail(job_id: str, context: SignedIn, v: int = 0) -> Response:
    """A small picture of a job, for lists."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        text, version = row.text, row.version
        studio_text = StudioFile(session).get()[0]

    def draw() -> Drawing | None:
        evaluation = context.desk.builder.evaluate(text, studio_text)
        return thumbnails.front(drawings.best_sight(evaluation))

    return thumbnails.answer(context.desk, f"job:{job_id}", version, draw, lasting=v == version)


@router.get("/designs/{key}.webp")
def design_thumbnail(key: str, context: SignedIn) -> Response:
    """A small picture of one of our pieces or of a kept design."""
    with context.reading() as session:
        try:
            text = design_text(Designs(session), key[:16])
        except KeyError as problem:
            raise HTTPException(404) from problem
        studio_text = StudioFile(session).get()[0]
    return thumbnails.design_picture(context.desk, key, text, studio_text)


def _designs(designs: Designs) -> tuple[DesignCard, ...]:
    ours = [DesignCard(f"{s.kind}:{s.key}", s.key, s.name, "", own=False) for s in starts()]
    kept = [
        DesignCard(
            f"{row.kind}:{row.id}", row.id, row.name, money(row.price, row.currency), own=True
        )
        for row in designs.all()
    ]
    return (*kept, *ours)


def _panel(evaluation: Evaluation, chosen: int | None) -> tuple[Group, ...]:
    if chosen is None:
        return job_panel(evaluation.tables, evaluation.findings)
    rows = evaluation.tables.get("pieces", [])
    table = rows[chosen] if isinstance(rows, list) and isinstance(rows[chosen], dict) else {}
    return piece_panel(table, chosen, evaluation.findings)


def _file_page(
    context: RequestContext, jobs: Jobs, row: JobRow, text: str, version: int
) -> FilePage:
    evaluation = context.desk.builder.evaluate(text, StudioFile(jobs.session).get()[0])
    return FilePage(
        job=job_bar(row, "file"),
        version=version,
        text=text,
        findings=evaluation.findings,
        history=tuple(
            (v.number, v.label, v.actor, v.at, v.number == row.version)
            for v in jobs.history(row.id)
        ),
    )


def _edit(context: RequestContext, changes: list[dict[str, object]]) -> Edit:
    from pydantic import ValidationError

    version = context.text("version")
    try:
        return Edit.model_validate(
            {"version": int(version) if version.isdecimal() else 0, "changes": changes}
        )
    except ValidationError as problem:
        raise EditError(
            message("This change makes no sense here."), message("Load the page again.")
        ) from problem


def _path(text: str) -> object:
    return _json(text)


def _json(text: str) -> object:
    import json

    try:
        return json.loads(text)
    except (ValueError, RecursionError) as problem:
        raise EditError(
            message("This change makes no sense here."), message("Load the page again.")
        ) from problem


def _back(job_id: str, piece: str) -> RedirectResponse:
    tail = f"?piece={piece}" if piece.isdecimal() else ""
    return RedirectResponse(f"/jobs/{job_id}{tail}", 303)
