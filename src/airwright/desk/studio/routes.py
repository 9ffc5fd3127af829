"""Addresses of the settings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from airwright.desk.access import ByOwner, RequestContext, Stranger
from airwright.desk.editing.edits import EditError
from airwright.desk.editing.tables import NoTables, tables_of
from airwright.desk.pages import money, render
from airwright.desk.studio import service
from airwright.desk.studio.contexts import MeasuresPage, SettingsPage, StudioFilePage
from airwright.desk.studio.forms import LARGEST_PICTURE, clean_picture, panel
from airwright.desk.studio_changes import change, checked, done
from airwright.job.findings import error
from airwright.job.studio_reading import read_studio
from airwright.language import message
from airwright.store.files import Files
from airwright.store.studio import Designs, StudioFile
from airwright.units import LENGTH, show

router = APIRouter()
LARGEST_FILE = 1_000_000
STACK = ("cluster", "clusters", "height")
WEIGHING = ("size", "count", "mass")


@router.get("/studio")
def settings(context: ByOwner) -> Response:
    """Who the studio is, and how it prices and works."""
    with context.reading() as session:
        text, version = StudioFile(session).get()
    return _settings(context, text, version)


def _settings(
    context: RequestContext,
    text: str,
    version: int,
    status: int = 200,
    refused: EditError | None = None,
) -> Response:
    """The settings of a studio file, with what is wrong beside its field.

    Args:
        context: of the request.
        text: the studio file, or what somebody would make of it.
        version: that it was shown from.
        status: 422 when it was not saved.
        refused: why, where it is no field's fault.
    """
    with context.reading() as session:
        designs = Designs(session).all()
        logo = Files(session).latest("logo") is not None
    findings = read_studio(text).findings
    groups = panel(_tables(text), findings)
    beside = {f for part in groups for field in part.group.fields for f in field.findings}
    page = SettingsPage(
        settings_tab="studio",
        version=version,
        groups=groups,
        designs=tuple((d.id, d.name, money(d.price, d.currency)) for d in designs),
        findings=(
            *((error("refused", "", refused.what, refused.mend),) if refused else ()),
            *(f for f in findings if f not in beside),
        ),
        logo=logo,
        again=status != 200,
    )
    return render(context, page, status=status)


def _tables(text: str) -> Mapping[str, Any]:
    """What a form shows of a studio file that cannot be read: nothing."""
    try:
        return tables_of(text)
    except NoTables:
        return {}


@router.post("/studio")
def save(context: ByOwner) -> Response:
    """The fields that were changed; all of them again, with the cure, when one does not fit."""
    fields = {
        name[2:]: value
        for name, value in context.form.multi_items()
        if name.startswith("f:") and isinstance(value, str)
        and (f"was:{name[2:]}" not in context.form
             or value.replace("\r\n", "\n").strip() != context.text(f"was:{name[2:]}", 5000))
    }  # fmt: skip
    if not fields:
        return done(context, "/studio?said=saved")
    with context.reading() as session:
        text, version = StudioFile(session).get()
    asked = service.with_fields(text, fields)
    if read_studio(asked).studio is None:
        return _settings(context, asked, version, status=422)
    try:
        change(context, lambda now: checked(service.with_fields(now, fields)))
    except EditError as refused:
        return _settings(context, asked, version, 422, refused)
    return done(context, "/studio?said=saved")


@router.get("/studio/measures")
def measures(context: ByOwner) -> Response:
    """Stacks and weighings of the studio's own."""
    return _measures(context, {})


def _measures(context: RequestContext, wrong: dict[str, tuple[str, str]]) -> Response:
    with context.reading() as session:
        text, version = StudioFile(session).get()
    studio = context.desk.builder.studio(text)
    system = studio.studio.units
    page = MeasuresPage(
        settings_tab="measures",
        version=version,
        measured=tuple(
            message(
                "{n} × ({cluster}) stand {height} tall",
                n=m.clusters,
                cluster=m.cluster,
                height=show(m.height, LENGTH, system),
            )
            for m in studio.measured
        ),
        weighed=tuple(
            message(
                "{n} × {size} weigh {mass} g", n=w.count, size=w.size, mass=f"{w.mass * 1000:.4g}"
            )
            for w in studio.weighed
        ),
        typed={name: context.text(name, 300) for name in (*STACK, *WEIGHING)},
        wrong=wrong,
    )
    return render(context, page, status=422 if wrong else 200)


@router.post("/studio/measured")
def add_measured(context: ByOwner) -> Response:
    """A stack the studio built and measured."""
    given = [context.text(name, 300) for name in STACK]
    return _add(context, "measured", lambda text: service.with_measured(text, *given))


@router.post("/studio/weighed")
def add_weighed(context: ByOwner) -> Response:
    """Balloons on the studio's own scale."""
    given = [context.text(name, 60) for name in WEIGHING]
    return _add(context, "weighed", lambda text: service.with_weighed(text, *given))


def _add(context: RequestContext, form: str, make: Callable[[str], str]) -> Response:
    try:
        change(context, make)
    except EditError as problem:
        return _measures(context, {form: (problem.what, problem.mend)})
    return done(context, "/studio/measures?said=saved")


@router.post("/studio/rows/remove")
def remove_row(context: ByOwner) -> Response:
    """A measurement or weighing less."""
    index = context.text("index")
    at = int(index) if index.isdecimal() else -1
    change(context, lambda text: service.without_row(text, context.text("table"), at))
    return done(context, "/studio/measures?said=saved")


@router.post("/studio/designs/{design_id}/remove")
def remove_design(design_id: str, context: ByOwner) -> Response:
    """A saved design less."""
    with context.writing() as session:
        context.log(session, "deleted", Designs(session).get(design_id).name)
        Designs(session).drop(design_id)
    return done(context, "/studio?said=saved")


@router.get("/studio/file")
def file(context: ByOwner) -> Response:
    """All settings as a plain file, to read, to write and to take along."""
    with context.reading() as session:
        text, version = StudioFile(session).get()
    return _file(context, text, version)


def _file(context: RequestContext, text: str, version: int, status: int = 200) -> Response:
    page = StudioFilePage("file", version, text, read_studio(text).findings)
    return render(context, page, status=status)


@router.get("/studio/studio.toml")
def export(context: ByOwner) -> Response:
    """The settings as a plain file."""
    with context.reading() as session:
        text = StudioFile(session).get()[0]
    context.log_export("studio.toml")
    head = {"content-disposition": 'attachment; filename="studio.toml"'}
    return Response(text, media_type="application/toml; charset=utf-8", headers=head)


@router.post("/studio/studio.toml")
async def read_in(context: ByOwner) -> Response:
    """Settings from a plain file, or as typed; the whole of them."""
    sent = context.file("file")
    if sent is not None:
        data = await sent.read(LARGEST_FILE + 1)
        if len(data) > LARGEST_FILE:
            raise EditError(
                message("That is too large for settings."), message("Pick the studio file.")
            )
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as problem:
            raise EditError(
                message("This file is no text."), message("Pick the studio file.")
            ) from problem
    else:
        typed = context.form.get("text")
        text = typed if isinstance(typed, str) else ""
    text = text.replace("\r\n", "\n").replace("\0", "")
    if read_studio(text).studio is None:  # all of it again, with what is wrong
        version = context.text("version")
        base = int(version) if version.isdecimal() else 0
        return await run_in_threadpool(_file, context, text, base, 422)
    await run_in_threadpool(change, context, lambda _: text)
    return done(context, "/studio/file?said=saved")


@router.post("/studio/logo")
async def logo(context: ByOwner) -> Response:
    """The logo on papers and on the client's page."""
    sent = context.file("file")
    if sent is None:
        raise EditError(message("No picture was picked."), message("Pick a PNG or JPEG."))
    data = await sent.read(LARGEST_PICTURE + 1)
    clean = await run_in_threadpool(clean_picture, data)

    def keep() -> None:
        with context.writing() as session:
            Files(session).put("logo", "logo.png", "image/png", clean)

    await run_in_threadpool(keep)
    return done(context, "/studio?said=saved")


@router.get("/logo.png")
def show_logo(context: Stranger) -> Response:
    """The logo; clients see it, too."""
    with context.reading() as session:
        found = Files(session).latest("logo")
        if found is None:
            return Response(status_code=404)
        return Response(found.content, media_type="image/png")
