"""Files and tasks as their page shows them, without what a person may not see."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable
from importlib.util import find_spec

from airwright.desk.access import Actor
from airwright.desk.editing.builder import Evaluation
from airwright.desk.papers.contexts import FileLine, TaskLine
from airwright.desk.tasks.task_runner import documents as known_documents
from airwright.language import file_word, message
from airwright.store.tables import StoredFile, TaskRow


def may_see(file: StoredFile, actor: Actor) -> bool:
    """Crew sees no money; cost is the owner's, as is what was made before papers said whose."""
    if not file.holds_money:
        return True
    return actor.sees_price if file.use == "client paper" else actor.sees_cost


def file_line(file: StoredFile, version: int) -> FileLine:
    """One file in the list."""
    return FileLine(
        id=file.id,
        name=file.name,
        label=_label(file.name),
        media=file.media,
        size=f"{max(1, round(file.size / 1000)):,} kB",
        made=file.made,
        stale=file.version is not None and file.version != version,
        is_picture=file.media in ("image/png", "image/jpeg", "image/svg+xml"),
        is_pdf=file.media == "application/pdf",
    )


GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (message("For the client"), ("proposal", "look book", "invoice", "gallery", "offer")),
    (message("To make it"), ("make", "sizing", "pattern", "chart", "mosaic")),
    (message("To buy and to pack"), ("shopping", "load", "order", "buy")),
    (message("On the day"), ("safety", "calendar", "job.ics", "day", "floor")),
)
"""Groups of papers in the order they are wanted, by the beginnings of their names."""

PICTURES, DATA = message("Pictures and 3D"), message("Tables and data")
PICTURED = (".svg", ".png", ".jpg", ".glb", ".usdz")


def group_of(name: str) -> str:
    """The group a file belongs to."""
    bare = name.rsplit("/", 1)[-1].lower().replace("-", " ").replace("_", " ")
    for title, beginnings in GROUPS:
        if bare.startswith(beginnings):
            return title
    return PICTURES if bare.endswith(PICTURED) else DATA


def grouped(lines: Iterable[FileLine]) -> tuple[tuple[str, tuple[FileLine, ...]], ...]:
    """Files by group, what the client gets first; groups without files are left out."""
    known: dict[str, list[FileLine]] = {
        title: [] for title in (*(title for title, _ in GROUPS), PICTURES, DATA)
    }
    for line in lines:
        known[group_of(line.name)].append(line)
    for title, beginnings in GROUPS:
        known[title].sort(key=lambda line: (_rank(line.name, beginnings), line.name))
    return tuple((title, tuple(found)) for title, found in known.items() if found)


def _rank(name: str, beginnings: tuple[str, ...]) -> int:
    bare = name.rsplit("/", 1)[-1].lower().replace("-", " ").replace("_", " ")
    return next((at for at, start in enumerate(beginnings) if bare.startswith(start)), 99)


def task_line(task: TaskRow) -> TaskLine:
    """One task in the list."""
    what = (
        message("Papers")
        if task.kind == "papers"
        else message("Photograph of {name}", name=task.order.get("name", ""))
    )
    running = task.state in ("waiting", "working")
    note = message("waiting for its turn") if task.state == "waiting" else task.note
    percent = round(100 * task.done / task.total) if task.total else 0
    return TaskLine(task.id, what, task.state, note, percent, running)


def documents() -> tuple[tuple[str, str], ...]:
    """The papers that can be made, by name and label; none where that room is missing."""
    try:
        return tuple((name, _label(name)) for name in known_documents())
    except ImportError:
        return ()


def subjects(evaluation: Evaluation) -> tuple[str, ...]:
    """What can be photographed: options, then pieces."""
    if evaluation.plan is None:
        return ()
    names = [option.name for option in evaluation.plan.options]
    return tuple(dict.fromkeys([*names, *(piece.name for piece in evaluation.plan.pieces)]))


def zipped(files: Iterable[StoredFile]) -> bytes:
    """Several files as one."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as out:
        for file in files:
            out.writestr(file.name.replace("\\", "-").replace("..", "-").lstrip("/"), file.content)
    return buffer.getvalue()


def _label(name: str) -> str:
    stem = name.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    words = stem.replace("-", " ").replace("_", " ")
    shown = words[:1].upper() + words[1:]
    return file_word(shown) if stem.replace("-", "_") in known_documents() else shown


def can_photograph() -> bool:
    """Whether the libraries that photographs need are installed (`airwright[photos]`)."""
    return all(find_spec(name) is not None for name in ("mitsuba", "mitsuba_oidn", "cv2"))
