"""Drawings and 3D models of a pack as files."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.names import file_stems
from airwright.papers.common.photographs import photograph
from airwright.papers.common.pictures import shown
from airwright.papers.common.request import Request
from airwright.pictures.drawing import Drawing, View

FOLDER: Final = "pictures"
VIEWS: Final = (View.FRONT, View.SIDE, View.TOP)


def make(request: Request) -> tuple[Paper, ...]:
    """pictures/*.svg, pictures/*.glb and the photographs there are, for a request."""
    drawn = (*_pieces(request), *_options(request))
    return (
        *(_paper(request, path, drawing) for path, drawing in drawn),
        *_solids(request),
        *_photographs(request),
    )


def _pieces(request: Request) -> Iterator[tuple[str, Drawing]]:
    pieces = request.plan.pieces
    stems = file_stems([piece.name for piece in pieces], "piece")
    for stem, piece in zip(stems, pieces, strict=True):
        for view in VIEWS:
            yield f"{FOLDER}/{stem}-{view.value}.svg", request.pictures.drawing(piece, view)
        yield f"{FOLDER}/{stem}-chart.svg", request.pictures.chart(piece)


def _options(request: Request) -> Iterator[tuple[str, Drawing]]:
    options = request.plan.options
    stems = file_stems([option.name for option in options], "option")
    for stem, option in zip(stems, options, strict=True):
        for view in VIEWS:
            yield f"{FOLDER}/option-{stem}-{view.value}.svg", request.pictures.scene(option, view)


def _solids(request: Request) -> Iterator[Paper]:
    """GLB at true scale in metres, one for each piece and each option."""
    from airwright.pictures.drawing import arrange
    from airwright.pictures.export import to_glb

    pieces, options = request.plan.pieces, request.plan.options
    stems = file_stems([piece.name for piece in pieces], "piece")
    for stem, piece in zip(stems, pieces, strict=True):
        data = to_glb(piece.assembly)
        yield Paper(f"{FOLDER}/{stem}.glb", data, fingerprint({"glb": data}))
    stems = file_stems([option.name for option in options], "option")
    for stem, option in zip(stems, options, strict=True):
        data = to_glb(arrange(shown(option), name=option.name))
        yield Paper(f"{FOLDER}/option-{stem}.glb", data, fingerprint({"glb": data}))


def _photographs(request: Request) -> Iterator[Paper]:
    """The options' photographs, to send by themselves; one that cannot be read is left out."""
    names = [option.name for option in request.plan.options]
    for name, stem in zip(names, file_stems(names, "option"), strict=True):
        path = request.photos.get(name)
        if path is None or photograph(path, stem, name)[0] is None:
            continue  # the proposal says why
        data = path.read_bytes()
        ending = ".png" if data[:4] == b"\x89PNG" else ".jpg"
        yield Paper(f"{FOLDER}/option-{stem}{ending}", data, fingerprint({"photo": data}))


def _paper(request: Request, path: str, drawing: Drawing) -> Paper:
    data = request.pictures.svg(drawing).encode()
    return Paper(path, data, fingerprint({"svg": data}))
