"""What the room's templates are given."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar

from airwright.desk.page_heads import JobBar
from airwright.desk.pages import Page

Pixel = tuple[float, float]
Wrong = tuple[str, str] | None
"""What is wrong and how to mend it."""


@dataclass(frozen=True, slots=True)
class RoomPhotoLine:
    """A photograph of the venue."""

    id: str
    name: str
    marked: bool


@dataclass(frozen=True, slots=True)
class Look:
    """What the marks make of a photograph.

    Attributes:
        lines: metre by metre along the floor, "x1 y1 x2 y2" of each [px].
        figure: foot and head of somebody 1.75 m tall where the decor stands [px].
        wrong: why the marks make no camera.
        note: how far to trust it, in words.
    """

    lines: tuple[tuple[float, float, float, float], ...] = ()
    figure: tuple[Pixel, Pixel] | None = None
    wrong: Wrong = None
    note: str = ""


@dataclass(frozen=True)
class RoomPage(Page):
    """The photographs of a job's venue."""

    template: ClassVar[str] = "room/room.html"
    job: JobBar
    venue: str
    photos: tuple[RoomPhotoLine, ...]
    wrong: Wrong


@dataclass(frozen=True)
class MarkPage(Page):
    """One of them, to be marked.

    `corners` and `in_front` are points [px] as JSON, as is `stand`, empty while nobody moved it.
    """

    template: ClassVar[str] = "room/mark.html"
    job: JobBar
    id: str
    name: str
    wide: int
    tall: int
    corners: str
    stand: str
    in_front: str
    typed: dict[str, str]
    length_example: str
    lights: tuple[tuple[str, str], ...]
    floors: tuple[tuple[str, str], ...]
    subjects: tuple[str, ...]
    ready: bool
    photographs: bool
    wrong: Wrong
    look: Look = field(default_factory=Look)
