"""Addresses of the settings."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import Owning, Stranger, Visit
from airwright.desk.house import service
from airwright.desk.house.contexts import HousePage
from airwright.desk.house.forms import LARGEST_PICTURE, clean_picture, panel
from airwright.desk.live.edits import EditError
from airwright.desk.pages import money, render
from airwright.job.studio_reading import read_studio
from airwright.store.files import Files
from airwright.store.studio import Designs, StudioFile

router = APIRouter()
LARGEST_FILE = 1_000_000


@router.get("/house")
def house(visit: Owning) -> Response:
    """All settings."""
    with visit.reading() as session:
        text, version = StudioFile(session).get()
        designs = Designs(session).all()
        logo = Files(session).latest("logo") is not None
    reading = read_studio(text)
    studio = visit.desk.builder.studio(text)
    balloons, hardware, operations, shades = service.catalog_lines(studio)
    return render(
        visit,
        HousePage(
            version=version,
            groups=panel(service.tables_of(text), reading.findings),
            measured=tuple(f"{m.clusters} × ({m.cluster})" for m in studio.measured),
            weighed=tuple(f"{w.count} × {w.size}" for w in studio.weighed),
            balloons=balloons,
            hardware=hardware,
            operations=operations,
            shades=shades,
            designs=tuple((d.id, d.name, money(d.price, d.currency)) for d in designs),
            findings=reading.findings,
            logo=logo,
            text=text,
            notation="4 x 11in @ 9.5in",
        ),
    )


@router.post("/house")
def save(visit: Owning) -> Response:
    """The fields that were changed."""
    fields = {
        name[2:]: value
        for name, value in visit.form.multi_items()
        if name.startswith("f:") and isinstance(value, str)
        and value.replace("\r\n", "\n").strip() != visit.text(f"was:{name[2:]}", 5000)
    }  # fmt: skip
    if fields:
        _change(visit, lambda text: service.with_fields(text, fields))
    return _done()


@router.post("/house/measured")
def add_measured(visit: Owning) -> Response:
    """A stack the studio built and measured."""
    given = [visit.text(name, 300) for name in ("cluster", "clusters", "height")]
    _change(visit, lambda text: service.with_measured(text, *given))
    return _done()


@router.post("/house/weighed")
def add_weighed(visit: Owning) -> Response:
    """Balloons on the studio's own scale."""
    given = [visit.text(name, 60) for name in ("size", "count", "mass")]
    _change(visit, lambda text: service.with_weighed(text, *given))
    return _done()


@router.post("/house/rows/remove")
def remove_row(visit: Owning) -> Response:
    """A measurement or weighing less."""
    index = visit.text("index")
    at = int(index) if index.isdigit() else -1
    _change(visit, lambda text: service.without_row(text, visit.text("table"), at))
    return _done()


@router.post("/house/designs/{design_id}/remove")
def remove_design(design_id: str, visit: Owning) -> Response:
    """A saved design less."""
    with visit.writing() as session:
        Designs(session).drop(design_id)
    return _done()


@router.get("/house/studio.toml")
def export(visit: Owning) -> Response:
    """The settings as a plain file."""
    with visit.reading() as session:
        text = StudioFile(session).get()[0]
    head = {"content-disposition": 'attachment; filename="studio.toml"'}
    return Response(text, media_type="application/toml; charset=utf-8", headers=head)


@router.post("/house/studio.toml")
async def read_in(visit: Owning) -> Response:
    """Settings from a plain file, or as typed; the whole of them."""
    sent = visit.file("file")
    if sent is not None:
        data = await sent.read(LARGEST_FILE + 1)
        if len(data) > LARGEST_FILE:
            raise EditError("That is too large for settings.", "Pick the studio file.")
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as problem:
            raise EditError("This file is no text.", "Pick the studio file.") from problem
    else:
        typed = visit.form.get("text")
        text = typed if isinstance(typed, str) else ""
    text = service.checked(text.replace("\r\n", "\n").replace("\0", ""))
    await run_in_threadpool(_change, visit, lambda _: text)
    return _done()


@router.post("/house/logo")
async def logo(visit: Owning) -> Response:
    """The logo on papers and on the client's page."""
    sent = visit.file("file")
    if sent is None:
        raise EditError("No picture was picked.", "Pick a PNG or JPEG.")
    data = await sent.read(LARGEST_PICTURE + 1)
    clean = await run_in_threadpool(clean_picture, data)

    def keep() -> None:
        with visit.writing() as session:
            Files(session).put("logo", "logo.png", "image/png", clean)

    await run_in_threadpool(keep)
    return _done()


@router.get("/logo.png")
def show_logo(visit: Stranger) -> Response:
    """The logo; clients see it, too."""
    with visit.reading() as session:
        found = Files(session).latest("logo")
        if found is None:
            return Response(status_code=404)
        return Response(found.content, media_type="image/png")


def _change(visit: Visit, make: Callable[[str], str]) -> None:
    version = visit.text("version")
    with visit.writing() as session:
        file = StudioFile(session)
        text, current = file.get()
        file.put(make(text), int(version) if version.isdigit() else current)


def _done() -> Response:
    return RedirectResponse("/house?said=saved", 303)
