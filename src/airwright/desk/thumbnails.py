"""Small pictures of decor for lists and cards, drawn once a version and kept in the database."""

from __future__ import annotations

import hashlib
import io
import tempfile
from collections.abc import Callable
from pathlib import Path

from PIL import Image
from starlette.responses import Response

from airwright.decor.assembly import Assembly
from airwright.desk.designs import built_alone
from airwright.desk.editing.tables import tables_of
from airwright.desk.state import Desk
from airwright.pictures.drawing import Drawing, Options, best_look, draw, to_svg
from airwright.store.thumbnails import Thumbnails

HEIGHT_PX = 360
MEDIA = "image/webp"
QUALITY = 82
DPI = 144
LASTING = "private, max-age=31536000, immutable"

_PAGE = """#set page(width: auto, height: auto, margin: 0pt, fill: none)
#image("/decor.svg", height: {height}pt)
"""


def front(made: Assembly | None) -> Drawing | None:
    """A piece or a row of pieces as it is seen best, on nothing; None where there is nothing."""
    if made is None or len(made) == 0:
        return None
    return draw(made, best_look(made), options=Options(person=False))


def thumbnail(drawing: Drawing) -> bytes:
    """A drawing as WebP, as high as cards and lists need."""
    import typst

    picture = to_svg(drawing, prefix="t")
    with tempfile.TemporaryDirectory(prefix="airwright-thumbnail-") as name:
        folder = Path(name)
        (folder / "decor.svg").write_text(picture, encoding="utf-8")
        page = folder / "page.typ"
        page.write_text(_PAGE.format(height=HEIGHT_PX * 72 / DPI), encoding="utf-8")
        png = typst.Compiler(page, root=folder).compile(format="png", ppi=DPI)
    out = io.BytesIO()
    assert isinstance(png, bytes)  # one page
    with Image.open(io.BytesIO(png)) as opened:
        opened.save(out, "WEBP", quality=QUALITY)
    return out.getvalue()


def answer(
    desk: Desk, owner: str, version: int, drawn: Callable[[], Drawing | None], *, lasting: bool
) -> Response:
    """A small picture, drawn where it was not kept; 204 where there is nothing to draw.

    Args:
        desk: where it is kept.
        owner: whose picture it is: "job:…", "design:…" or "day:…".
        version: of what is drawn.
        drawn: draws it.
        lasting: whether the address names the version, so that browsers may keep the picture.
    """
    with desk.database.reading() as session:
        found = Thumbnails(session).get(owner, version)
    if found is None:
        drawing = drawn()
        if drawing is None:
            return Response(status_code=204)
        found = thumbnail(drawing)
        with desk.database.writing() as session:
            Thumbnails(session).put(owner, version, MEDIA, found)
    headers = {"cache-control": LASTING if lasting else "private, no-cache"}
    return Response(found, media_type=MEDIA, headers=headers)


def design_picture(desk: Desk, key: str, text: str, studio_text: str) -> Response:
    """The small picture of one of our pieces or of a kept design."""
    kind = str(tables_of(text)["kind"])
    version = int(hashlib.sha256(text.encode()).hexdigest()[:7], 16)
    return answer(
        desk,
        f"design:{key}",
        version,
        lambda: front(built_alone(desk.builder, kind, text, studio_text)),
        lasting=True,
    )
