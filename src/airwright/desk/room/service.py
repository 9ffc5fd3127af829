"""What the marks in a room's photograph come to: a camera, a floor to check it by, an order."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

import numpy as np

from airwright import units
from airwright.desk.editing.builder import Evaluation
from airwright.desk.editing.edits import EditError
from airwright.desk.room.contexts import Look, RoomPhotoLine, Wrong
from airwright.language import message, sentences
from airwright.store.book_tables import VenuePhoto

if TYPE_CHECKING:
    from airwright.pictures.photo import View
    from airwright.pictures.photo.marks import Marks

KEPT_PX = 1600
"""Longer side of a kept photograph; the same that is worked on."""
MOST_PHOTOS = 24
"""Photographs of one venue."""
PERSON_M = 1.75
GRID_M = 4
"""Metres of floor drawn to each side of the decor."""
NEAREST_M = 0.3
"""What is nearer to the lens is not drawn."""


def line(row: VenuePhoto) -> RoomPhotoLine:
    """A photograph in the list."""
    return RoomPhotoLine(row.id, row.name, row.calibration is not None)


def can_photograph() -> bool:
    """Whether the libraries that photographs need are installed (`airwright[photos]`)."""
    return all(find_spec(name) is not None for name in ("mitsuba", "mitsuba_oidn", "cv2"))


def subjects(evaluation: Evaluation) -> tuple[str, ...]:
    """What can be photographed: options, then pieces."""
    if evaluation.plan is None:
        return ()
    names = [option.name for option in evaluation.plan.options]
    return tuple(dict.fromkeys([*names, *(piece.name for piece in evaluation.plan.pieces)]))


def size_of(content: bytes) -> tuple[int, int]:
    """Width and height [px] of a kept photograph."""
    import io

    from PIL import Image

    with Image.open(io.BytesIO(content)) as image:
        return image.size


def read(raw: Mapping[str, Any]) -> Marks:
    """Marks as they are kept. Raises EditError."""
    from pydantic import ValidationError

    from airwright.job.translate import findings_of
    from airwright.params import WRITTEN
    from airwright.pictures.photo.marks import Marks

    try:
        return Marks.model_validate(dict(raw), context=WRITTEN)
    except ValidationError as problem:
        first = findings_of(problem, (), Marks)[0]
        raise EditError(first.what, first.mend) from problem


def looked(content: bytes, raw: Mapping[str, Any] | None) -> Look:
    """What kept marks make of a photograph."""
    if raw is None:
        return Look()
    from airwright.pictures.photo import PhotoError, read_venue

    try:
        marks = read(raw)
        if marks.width is None:
            return Look(
                wrong=(
                    message("No length of the marked rectangle is known."),
                    message("Measure its near side and write it down."),
                )
            )
        view = marks.view(read_venue(content))
        return _look(marks, view)
    except (PhotoError, EditError) as problem:
        return Look(wrong=(problem.what, problem.mend))


def _look(marks: Marks, view: View) -> Look:
    from airwright.pictures.photo.fit import doubt_of

    at = np.array([marks.right, marks.away, 0.0])
    steps = np.arange(-GRID_M, GRID_M + 1.0)
    ends = [
        *(([s, -GRID_M, 0.0], [s, GRID_M, 0.0]) for s in steps),
        *(([-GRID_M, s, 0.0], [GRID_M, s, 0.0]) for s in steps),
    ]
    lines = tuple(
        found for a, b in ends if (found := _seen(view, at + np.array(a), at + np.array(b)))
    )
    ends_of = _seen(view, at, at + np.array([0.0, 0.0, PERSON_M]))
    figure = None if ends_of is None else (ends_of[:2], ends_of[2:])
    cm = max(doubt_of(view, at, PERSON_M).cm, 0.1)
    told = sentences(
        message(
            "The lines on the floor lie {step} apart; the figure is {height} tall.",
            step=units.both_lengths(1.0),
            height=units.both_lengths(PERSON_M),
        ),
        message("The decor will stand there to about {off} cm.", off=f"{cm:.0f}"),
        message("The depth was read off the photo; measure it to be surer.")
        if marks.depth is None
        else "",
    )
    return Look(lines, figure, None, told)


def _seen(view: View, a: Any, b: Any) -> tuple[float, float, float, float] | None:
    """A stretch as far as it lies before the lens, from pixel to pixel; None where none does."""
    ahead = view.rotation[2]
    near, far = (float((point - view.at) @ ahead) - NEAREST_M for point in (a, b))
    if near < 0 and far < 0:
        return None
    if near < 0 or far < 0:
        cut = a + (b - a) * near / (near - far)
        a, b = (cut, b) if near < 0 else (a, cut)
    (x1, y1), (x2, y2) = view.project(np.array([a, b]))
    return tuple(round(float(v), 1) for v in (x1, y1, x2, y2))  # type: ignore[return-value]


def stood(content: bytes, raw: dict[str, Any], stand: list[float]) -> dict[str, Any]:
    """Marks with the decor on the floor under a pixel, as far as they make a camera."""
    from airwright.pictures.photo import PhotoError, read_venue

    try:
        x, y = read(raw).view(read_venue(content)).on_floor((stand[0], stand[1]))
    except PhotoError:
        return raw
    limit = 100.0
    if not (math.hypot(x, y) < limit):
        return raw
    return raw | {
        "right": units.write(round(float(x), 3), units.LENGTH),
        "away": units.write(round(float(y), 3), units.LENGTH),
    }


def starting(wide: int, tall: int) -> list[list[float]]:
    """Where the four points lie before anybody dragged them: on the floor, one hopes."""
    shares = ((0.3, 0.88), (0.7, 0.88), (0.62, 0.68), (0.38, 0.68))
    return [[round(wide * x), round(tall * y)] for x, y in shares]


def refused(problem: EditError) -> Wrong:
    """As a page shows it."""
    return (problem.what, problem.mend)


def as_json(value: object) -> str:
    """For a script of ours."""
    return json.dumps(value, separators=(",", ":"))
