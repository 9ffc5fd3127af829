"""Marks in a photo of the client's room: from the command line, or from a file beside it.

`hall.jpg` has its marks in `hall.marks.toml`:

    format  = "airwright-room/1"
    corners = [[812, 1490], [1720, 1502], [1515, 1102], [905, 1098]]
    width   = "3 m"      # near side of that rectangle on the floor
    depth   = "2 m"
    right   = "0 m"      # where the decor stands, from the rectangle's middle
    away    = "0.5 m"
    facing  = 0          # degrees its front is turned, anticlockwise from above

or, instead of corners, width and depth, two upright things of known height:

    uprights = [
      { foot = [420, 1480], head = [420, 610], height = "2.03 m" },
      { foot = [1690, 1400], head = [1694, 860], height = "4 ft 3 in" },
    ]
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field, ValidationError

from airwright import units
from airwright.job.findings import Finding, error
from airwright.job.pieces import Table
from airwright.job.reading import located, read_toml
from airwright.job.translate import findings_of
from airwright.params import WRITTEN, Param

if TYPE_CHECKING:
    from airwright.pictures.photo import Venue, View

ROOM_FORMAT: Literal["airwright-room/1"] = "airwright-room/1"
SUFFIX = ".marks.toml"

Pixel = tuple[float, float]
Side = units.LENGTH


class Upright(Table):
    """Something upright of known height that stands on the floor."""

    foot: Annotated[Pixel, Param("Where it meets the floor, pixels from the left and the top.")]
    head: Annotated[Pixel, Param("Its top, pixels from the left and the top.")]
    height: Annotated[float, Param("How tall it is.", Side, "10 cm", "50 m")]


class Marks(Table):
    """What is known of a room's photo, and where the decor stands in it."""

    format: Literal["airwright-room/1"] = ROOM_FORMAT
    corners: Annotated[
        list[Pixel],
        Param(
            "A rectangle on the floor: near left, near right, far right, far left [px].",
            example="[[812, 1490], [1720, 1502], [1515, 1102], [905, 1098]]",
        ),
    ] = Field(default_factory=list, max_length=4)
    width: Annotated[
        float | None, Param("Its near side, left to right.", Side, "5 cm", "100 m")
    ] = None
    depth: Annotated[
        float | None, Param("Its other side, into the depth.", Side, "5 cm", "100 m")
    ] = None
    uprights: Annotated[
        list[Upright], Param("Two upright things of known height, in place of a rectangle.")
    ] = Field(default_factory=list, max_length=2)
    right: Annotated[
        float, Param("Decor stands so far right of the middle.", Side, "-100 m", "100 m")
    ] = 0.0
    away: Annotated[
        float, Param("Decor stands so far away from the middle.", Side, "-100 m", "100 m")
    ] = 0.0
    facing: Annotated[
        float,
        Param("Degrees its front is turned, anticlockwise from above.", low=-360, high=360),
    ] = 0.0

    def view(self, venue: Venue) -> View:
        """The camera of the photo. Raises PhotoError where the marks make none."""
        from airwright.pictures.photo import view_of_heights, view_of_rectangle

        def scaled(pixel: Pixel) -> Pixel:
            return (pixel[0] * venue.scale, pixel[1] * venue.scale)

        if self.corners and self.width is not None and self.depth is not None:
            corners = [scaled(pixel) for pixel in self.corners]
            return view_of_rectangle(corners, self.width, self.depth, venue.size, venue.focal_px)
        standing = [(scaled(u.foot), scaled(u.head), u.height) for u in self.uprights]
        return view_of_heights(standing, venue.size, venue.focal_px)

    def lacks(self) -> Finding | None:
        """What is still missing for a camera."""
        whole = bool(self.corners) and self.width is not None and self.depth is not None
        if whole or len(self.uprights) == 2:
            return None
        if self.corners:
            what = "The marked rectangle has no measured sides."
            return error("room-sides", "", what, 'Give width and depth: "3 m", "2 m".')
        what = "Nothing is marked in the room's photo."
        mend = "Mark four corners of a rectangle on the floor and its sides, or two heights."
        return error("room-marks", "", what, mend)


def marks_beside(photo: Path) -> Path:
    """Where the marks of a photo are looked for."""
    return photo.with_name(photo.stem + SUFFIX)


def read_marks(data: bytes) -> tuple[Marks | None, tuple[Finding, ...]]:
    """Marks from the bytes of their file, or what is wrong with them."""
    text, raw, trouble = read_toml(data)
    if trouble is not None:
        return None, (trouble,)
    from airwright.job import locate

    places = locate.positions(text)
    try:
        marks = Marks.model_validate(raw, context=WRITTEN)
    except ValidationError as problem:
        return None, located(findings_of(problem, (), Marks), places)
    lacking = marks.lacks()
    return (marks, ()) if lacking is None else (None, (lacking,))


def marks_given(
    corners: str, sides: str | None, stand: str | None, facing: float
) -> tuple[Marks | None, tuple[Finding, ...]]:
    """Marks from the command line: "812,1490 1720,1502 …", "3 m x 2 m", "0 m, 0.5 m"."""
    raw: dict[str, object] = {"facing": facing}
    points = re.findall(r"(-?\d+(?:\.\d+)?)\s*,\s*(-?\d+(?:\.\d+)?)", corners)
    if len(points) != 4:
        what = f'--corners "{corners[:60]}" are not four points.'
        mend = 'Write pixels like "812,1490 1720,1502 1515,1102 905,1098", near left first.'
        return None, (error("room-corners", "", what, mend),)
    raw["corners"] = [(float(x), float(y)) for x, y in points]
    for option, text, sign, keys in (
        ("--sides", sides, r"\s*[x×]\s*", ("width", "depth")),
        ("--stand", stand, r"\s*,\s*", ("right", "away")),
    ):
        if text is None:
            continue
        parts = re.split(sign, text.strip())
        if len(parts) != 2:
            mend = 'Write --sides "3 m x 2 m" and --stand "0.5 m, 1 m".'
            return None, (error("room-sides", "", f'{option} "{text[:60]}" are not two.', mend),)
        raw.update(zip(keys, parts, strict=True))
    try:
        marks = Marks.model_validate(raw, context=WRITTEN)
    except ValidationError as problem:
        return None, tuple(findings_of(problem, (), Marks))
    lacking = marks.lacks()
    return (marks, ()) if lacking is None else (None, (lacking,))
