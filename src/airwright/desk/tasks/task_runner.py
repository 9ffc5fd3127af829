"""What a worker's process does: plan a job, then make papers or a photograph of it.

Runs in a process of its own, so that it can be stopped at any moment and never holds up a page.
Everything it needs comes in as text; everything it makes goes out through a pipe.
"""

from __future__ import annotations

import datetime as dt
import io
import math
import os
import signal
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib import import_module
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any

from airwright.job import Studio, read_job
from airwright.job.studio_reading import read_studio
from airwright.language import message
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import OnShelf
from airwright.plan.planning import evaluate
from airwright.plan.values import Plan

if TYPE_CHECKING:
    from airwright.papers.photographs import Shot


@dataclass(frozen=True, slots=True)
class Order:
    """What to make, all of it plain values; `room` is a photograph of the client's room."""

    kind: str
    text: str
    studio_text: str
    today: dt.date
    details: dict[str, Any]
    photos: dict[str, bytes]
    room: bytes = b""
    shelf: dict[Goods, OnShelf] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Made:
    """One file that was made; `use` is what it is for: a photograph, or a paper for somebody."""

    name: str
    media: str
    content: bytes
    use: str


class CannotWork(Exception):
    """The order cannot be carried out; its text is for people."""


KIND = 19
"""Niceness of background work: it takes what nobody else wants."""


def run(pipe: Connection, order: Order) -> None:
    """Carry out an order; sends ("progress", done, total, note), ("made", Made), ("end", why)."""
    be_nice()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the worker, which then ends us
    try:
        _carry_out(pipe, order)
    except BrokenPipeError:
        pass  # the worker has died; whoever takes the task up begins anew
    finally:
        pipe.close()


def be_nice() -> None:
    """Let the desk go first: a photograph takes both processors for a while."""
    if hasattr(os, "nice"):
        os.nice(max(0, KIND - os.nice(0)))


def _carry_out(pipe: Connection, order: Order) -> None:
    try:
        plan = _plan(order)
        maker = {"papers": _papers, "room": _in_room}.get(order.kind, _photo)
        for message in maker(plan, order):
            pipe.send(message)
        pipe.send(("end", ""))
    except CannotWork as problem:
        pipe.send(("end", str(problem)))
    except BrokenPipeError:
        raise
    except (ValueError, RuntimeError, OSError) as problem:
        pipe.send(("end", f"It could not be made: {problem}"[:280]))


def _plan(order: Order) -> Plan:
    from airwright.decor.pieces import SPECS

    studio = read_studio(order.studio_text).studio or Studio()
    plan = evaluate(read_job(order.text, SPECS), studio, today=order.today).plan
    if plan is None:
        raise CannotWork(message("The job has errors. Fix them under Design first."))
    return plan


def documents() -> tuple[str, ...]:
    """Names of the papers that can be made."""
    from airwright.papers.pack import DOCUMENTS

    return tuple(DOCUMENTS)


def _papers(plan: Plan, order: Order) -> Iterator[tuple[Any, ...]]:
    from airwright.papers.common.request import request_for

    known = documents()
    wanted = [name for name in known if name in order.details.get("papers", [])] or known
    with tempfile.TemporaryDirectory(prefix="airwright-photos-") as folder:
        request = request_for(plan, order.today, _written(order.photos, Path(folder)), order.shelf)
        for at, name in enumerate(wanted):
            yield "progress", at, len(wanted), name.replace("_", " ")
            document = import_module(f"airwright.papers.{name}")
            for paper in document.make(request):
                use = f"{document.AUDIENCE} paper"
                yield "made", Made(paper.path, media_of(paper.path), paper.data, use)
        yield "progress", len(wanted), len(wanted), "done"


def _written(photos: dict[str, bytes], folder: Path) -> dict[str, Path]:
    paths = {}
    for at, (name, content) in enumerate(photos.items()):
        path = folder / f"{at}.png"
        path.write_bytes(content)
        paths[name] = path
    return paths


def _photo(plan: Plan, order: Order) -> Iterator[tuple[Any, ...]]:
    """A photograph as the papers show it: the same pieces in the same row, place and frame."""
    from airwright.pictures.photo import PhotoError, photograph, save_png

    name, shot = _shot(plan, order)
    yield "progress", 0, 1, message("setting up the light")
    try:
        picture = photograph(shot.assembly, shot.place, size=shot.size)
    except PhotoError as problem:
        raise CannotWork(f"{problem.what} {problem.mend}") from problem
    with tempfile.TemporaryDirectory(prefix="airwright-photo-") as folder:
        path = Path(folder) / "photo.png"
        save_png(picture, path)
        yield "made", Made(f"photo {name}.png", "image/png", path.read_bytes(), "photo")
    yield "progress", 1, 1, "done"


def _in_room(plan: Plan, order: Order) -> Iterator[tuple[Any, ...]]:
    """The same decor in a photograph of the client's own room."""
    from airwright.params import WRITTEN
    from airwright.pictures.photo import PhotoError, photograph_in_room, read_venue
    from airwright.pictures.photo.marks import Marks

    name, shot = _shot(plan, order)
    if not order.room:
        raise CannotWork(message("The photo of the room is gone. Send it again."))
    yield "progress", 0, 1, message("setting up the light")
    try:
        marks = Marks.model_validate(order.details.get("marks"), context=WRITTEN)
        taken = photograph_in_room(
            shot.assembly,
            marks.room(read_venue(order.room)),
            (marks.right, marks.away),
            math.radians(marks.facing),
        )
    except PhotoError as problem:
        raise CannotWork(f"{problem.what} {problem.mend}") from problem
    room = str(order.details.get("room", ""))
    yield (
        "made",
        Made(f"photo {name} in {room}.jpg", "image/jpeg", _jpeg(taken.pixels), "room photo"),
    )
    yield "progress", 1, 1, "done"


def _shot(plan: Plan, order: Order) -> tuple[str, Shot]:
    """What is to be photographed. Raises CannotWork."""
    from airwright.papers.photographs import shot_of

    name = str(order.details.get("name", ""))
    shot = shot_of(plan, name)
    if shot is None:
        raise CannotWork(
            message('There is nothing called "{name}" in this job any more.', name=name)
        )
    return name, shot


def _jpeg(pixels: Any) -> bytes:
    from PIL import Image

    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=92)
    return out.getvalue()


MEDIA = {
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".svg": "image/svg+xml",
    ".ics": "text/calendar; charset=utf-8",
    ".json": "application/json",
    ".csv": "text/csv; charset=utf-8",
    ".toml": "application/toml; charset=utf-8",
    ".glb": "model/gltf-binary",
    ".usdz": "model/vnd.usdz+zip",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


def media_of(name: str) -> str:
    """The media type of a file by its ending."""
    return MEDIA.get(Path(name).suffix.lower(), "application/octet-stream")
