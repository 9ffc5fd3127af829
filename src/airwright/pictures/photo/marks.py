"""What was marked in a photo of the client's room: its floor, what stands in front, its light.

The tables of a `.marks.toml` file (see `airwright.cli.room_calibration`) and of the desk.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field, ValidationError

from airwright import units
from airwright.job.findings import Finding, error
from airwright.job.pieces import Table
from airwright.job.reading import located, read_toml
from airwright.job.translate import findings_of
from airwright.params import WRITTEN, Param

if TYPE_CHECKING:
    from airwright.pictures.photo import Room, Venue, View

ROOM_FORMAT: Literal["airwright-room/1"] = "airwright-room/1"
Pixel = tuple[float, float]
Outline = Annotated[list[Pixel], Field(min_length=3, max_length=200)]
Side = units.LENGTH


class Upright(Table):
    """Something upright of known height that stands on the floor."""

    foot: Annotated[Pixel, Param("Where it meets the floor, pixels from the left and the top.")]
    head: Annotated[Pixel, Param("Its top, pixels from the left and the top.")]
    height: Annotated[float, Param("How tall it is.", Side, "10 cm", "50 m")]


class Shadow(Table):
    """A shadow on the floor that the sun throws in the photo."""

    foot: Annotated[Pixel, Param("Where it begins, at the foot of what throws it [px].")]
    tip: Annotated[Pixel, Param("Where its tip lies on the floor [px].")]
    height: Annotated[float | None, Param("How tall what throws it is.", Side, "10 cm", "50 m")] = (
        None
    )


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
        list[Upright],
        Param("Upright things of known height: two in place of a rectangle, or besides it."),
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
    in_front: Annotated[
        list[Outline],
        Param("Outlines of what stands before the decor: people, furniture [px]."),
    ] = Field(default_factory=list, max_length=40)
    light: Annotated[
        Literal["left", "right", "behind", "ahead", "overcast", "lamps"],
        Param("Where the sun stands, seen by the photographer; or overcast, or lamps."),
    ] = "lamps"
    shadow: Annotated[
        Shadow | None, Param("A shadow seen in the photo, in place of a word for the sun.")
    ] = None
    floor: Annotated[Literal["dull", "usual", "glossy"], Param("How the floor shines.")] = "usual"

    def view(self, venue: Venue) -> View:
        """The camera of the photo; a depth that was not measured is read off the marks.

        Raises PhotoError where the marks make none.
        """
        from airwright.pictures.photo import view_of_heights, view_of_rectangle

        def scaled(pixel: Pixel) -> Pixel:
            return (pixel[0] * venue.scale, pixel[1] * venue.scale)

        standing = [(scaled(u.foot), scaled(u.head), u.height) for u in self.uprights]
        if self.corners and self.width is not None:
            corners = [scaled(pixel) for pixel in self.corners]
            return view_of_rectangle(
                corners, self.width, self.depth, venue.size, venue.focal_px, standing
            )
        return view_of_heights(standing, venue.size, venue.focal_px)

    def room(self, venue: Venue) -> Room:
        """The room of a photo with all that is marked. Raises PhotoError."""
        import numpy as np

        from airwright.pictures.photo import Light, Room, sun_of_shadow

        view = self.view(venue)
        sun = None
        if self.shadow is not None:
            foot, tip = (
                view.on_floor((at[0] * venue.scale, at[1] * venue.scale))
                for at in (self.shadow.foot, self.shadow.tip)
            )
            sun = sun_of_shadow(foot, tip, self.shadow.height)
        outlines = tuple(np.asarray(ring, dtype=float) * venue.scale for ring in self.in_front)
        return Room(venue, view, Light(self.light, sun, self.floor), outlines)

    def lacks(self) -> Finding | None:
        """What is still missing for a camera."""
        whole = bool(self.corners) and self.width is not None
        if whole or len(self.uprights) == 2:
            return None
        if self.corners:
            what = "No side of the marked rectangle is measured."
            mend = 'Give its near side, width = "3 m", and better its depth, too.'
            return error("room-sides", "", what, mend)
        what = "Nothing is marked in the room's photo."
        mend = "Mark four corners of a rectangle on the floor and its sides, or two heights."
        return error("room-marks", "", what, mend)


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
