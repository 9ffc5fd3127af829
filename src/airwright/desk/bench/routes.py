"""Addresses of the bench."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.responses import RedirectResponse, Response

from airwright.build.pieces import KINDS
from airwright.desk.access import Designing, Refused, Visit, Visiting
from airwright.desk.bench import service, views
from airwright.desk.bench.contexts import BenchPage, FilePage, PanelPart
from airwright.desk.bench.forms import Group, job_panel, piece_panel
from airwright.desk.live.builder import Look
from airwright.desk.live.edits import Edit, EditError
from airwright.desk.live.writing import NothingToDo
from airwright.desk.pages import render
from airwright.store.jobs import Jobs
from airwright.store.studio import Designs
from airwright.store.tables import JobRow
from airwright.units import System

router = APIRouter()
Chosen = Annotated[int | None, Query(ge=0, lt=500)]


@router.get("/jobs/{job_id}")
def bench(job_id: str, visit: Visiting, piece: Chosen = None) -> Response:
    """The bench, with one piece chosen or the job itself."""
    if not visit.actor.designs:
        return RedirectResponse(f"/jobs/{job_id}/day", 303)
    with visit.reading() as session:
        jobs = Jobs(session)
        row = jobs.get(job_id)
        look = visit.look(row, session)
        undo, redo = jobs.neighbours(row)
        designs = _designs(Designs(session))
    tags = views.piece_tags(look, piece)
    chosen = piece if piece is not None and piece < len(tags) else None
    # Not drawn into the page: it would be painted (seconds, without a graphics card) only to be
    # covered by the turning picture. It stands in where there is no script or no 3D.
    drawn = any(p.assembly is not None and len(p.assembly) for p in look.pieces)
    return render(
        visit,
        BenchPage(
            job=views.job_bar(row, "bench"),
            version=row.version,
            undo=undo,
            redo=redo,
            pieces=tags,
            chosen=chosen,
            panel=_panel(look, chosen),
            shades=views.shade_list(look),
            shown=views.shown(look, price=visit.actor.sees_price, cost=visit.actor.sees_cost),
            findings=look.findings,
            kinds=tuple((name, kind.summary) for name, kind in KINDS.items()),
            designs=designs,
            picture=f"/jobs/{job_id}/picture.svg?v={row.version}" if drawn else None,
            grid="foot" if look.studio.studio.units is System.FEET else "metre",
        ),
    )


@router.get("/jobs/{job_id}/panel")
def panel(job_id: str, visit: Designing, piece: Chosen = None) -> Response:
    """The panel alone."""
    with visit.reading() as session:
        row = Jobs(session).get(job_id)
        look = visit.look(row, session)
        designs = _designs(Designs(session))
    tags = views.piece_tags(look, piece)
    chosen = piece if piece is not None and piece < len(tags) else None
    return render(
        visit,
        PanelPart(
            job=views.job_bar(row, "bench"),
            version=row.version,
            chosen=chosen,
            pieces=tags,
            panel=_panel(look, chosen),
            shades=views.shade_list(look),
            designs=designs,
            kinds=tuple((name, kind.summary) for name, kind in KINDS.items()),
        ),
    )


@router.post("/jobs/{job_id}/panel")
def write_panel(job_id: str, visit: Designing) -> Response:
    """Fields of the panel, sent by a browser that runs no script."""
    changes = []
    for name, value in visit.form.multi_items():
        if name.startswith("f:") and isinstance(value, str):
            was = visit.form.get(f"was:{name[2:]}")
            if value.replace("\r\n", "\n").strip() != was:
                changes.append({"do": "write", "path": _path(name[2:]), "text": value})
    try:
        if changes:
            service.change(visit.desk, visit.actor, job_id, _edit(visit, changes))
    except NothingToDo:
        pass
    return _back(job_id, visit.text("piece"))


@router.post("/jobs/{job_id}/do")
def act(job_id: str, visit: Designing) -> Response:
    """One thing done with a button: add, duplicate, mirror, drop, put a trim in or out."""
    piece = visit.text("piece")
    do = visit.text("do")
    if do in ("undo", "redo"):
        service.step(visit.desk, job_id, forward=do == "redo")
        return _back(job_id, piece)
    change: dict[str, object] = {"do": do}
    if do in ("duplicate", "mirror", "drop"):
        change["piece"] = int(piece) if piece.isdigit() else -1
    elif do == "add":
        kind, _, design = visit.text("kind").partition(":")
        change |= {"kind": kind, "design": design or None}
    elif do == "swap":
        change |= {"old": visit.text("old"), "new": visit.text("new")}
    elif do in ("put", "clear"):
        change["path"] = _path(visit.text("path"))
        if do == "put":
            change["value"] = _json(visit.text("value"))
    changed = service.change(visit.desk, visit.actor, job_id, _edit(visit, [change]))
    if do == "add":
        piece = str(len(views.piece_tags(changed.look, None)) - 1)
    return _back(job_id, "" if do == "drop" else piece)


@router.post("/jobs/{job_id}/keep")
def keep(job_id: str, visit: Designing) -> Response:
    """Keep a piece for later calls."""
    from airwright.desk.call.service import keep_piece

    index = visit.text("piece")
    with visit.writing() as session:
        row = Jobs(session).get(job_id)
        look = visit.look(row, session)
        keep_piece(Designs(session), look, int(index) if index.isdigit() else -1)
    return RedirectResponse(f"/jobs/{job_id}?piece={index}&said=kept", 303)


@router.get("/jobs/{job_id}/file")
def file_page(job_id: str, visit: Designing) -> Response:
    """The job file, to read and to change by hand."""
    with visit.reading() as session:
        row = Jobs(session).get(job_id)
        return render(visit, _file_page(visit, Jobs(session), row, row.text, row.version))


@router.post("/jobs/{job_id}/file")
def write_file(job_id: str, visit: Designing) -> Response:
    """The job file as typed."""
    raw = visit.form.get("text")
    if not isinstance(raw, str) or not raw.strip():
        raise EditError("The file is empty.", "Undo brings back what was there.")
    text = raw.replace("\r\n", "\n").replace("\0", "")
    version = visit.text("version")
    if len(text) > 2_000_000:
        raise Refused("This file is too long for a job.", "Keep it below 2 MB.", 413)
    service.replace_text(
        visit.desk, visit.actor, job_id, int(version) if version.isdigit() else 0, text
    )
    return RedirectResponse(f"/jobs/{job_id}/file?said=saved", 303)


@router.get("/jobs/{job_id}/job.toml")
def download(job_id: str, visit: Designing) -> Response:
    """The job file as a file."""
    with visit.reading() as session:
        row = Jobs(session).get(job_id)
    name = "".join(c if c.isascii() and c.isalnum() else "-" for c in row.title.lower()) or "job"
    head = {"content-disposition": f'attachment; filename="{name[:60]}.toml"'}
    return Response(row.text, media_type="application/toml; charset=utf-8", headers=head)


@router.get("/jobs/{job_id}/picture.svg")
def picture(job_id: str, visit: Visiting, piece: Chosen = None) -> Response:
    """One piece, or all of them side by side, drawn from the front."""
    with visit.reading() as session:
        row = Jobs(session).get(job_id)
        look = visit.look(row, session)
    pieces = look.pieces
    if piece is not None:
        pieces = tuple(p for p in pieces if p.place == f"pieces[{piece}]")
    made = views.side_by_side(pieces)
    if made is None:
        return Response(status_code=204)
    return Response(views.svg(made, "p"), media_type="image/svg+xml")


def _designs(designs: Designs) -> tuple[tuple[str, str], ...]:
    return tuple((f"{row.kind}:{row.id}", row.name) for row in designs.all())


def _panel(look: Look, chosen: int | None) -> tuple[Group, ...]:
    if chosen is None:
        return job_panel(look.tables, look.findings)
    rows = look.tables.get("pieces", [])
    table = rows[chosen] if isinstance(rows, list) and isinstance(rows[chosen], dict) else {}
    return piece_panel(table, chosen, look.findings)


def _file_page(visit: Visit, jobs: Jobs, row: JobRow, text: str, version: int) -> FilePage:
    look = visit.desk.builder.look(text, "")
    return FilePage(
        job=views.job_bar(row, "file"),
        version=version,
        text=text,
        findings=look.findings,
        history=tuple(
            (v.number, v.label, v.actor, v.at, v.number == row.version)
            for v in jobs.history(row.id)
        ),
    )


def _edit(visit: Visit, changes: list[dict[str, object]]) -> Edit:
    from pydantic import ValidationError

    version = visit.text("version")
    try:
        return Edit.model_validate(
            {"version": int(version) if version.isdigit() else 0, "changes": changes}
        )
    except ValidationError as problem:
        raise EditError("This change makes no sense here.", "Load the page again.") from problem


def _path(text: str) -> object:
    return _json(text)


def _json(text: str) -> object:
    import json

    try:
        return json.loads(text)
    except (ValueError, RecursionError) as problem:
        raise EditError("This change makes no sense here.", "Load the page again.") from problem


def _back(job_id: str, piece: str) -> RedirectResponse:
    tail = f"?piece={piece}" if piece.isdigit() else ""
    return RedirectResponse(f"/jobs/{job_id}{tail}", 303)
