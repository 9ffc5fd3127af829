"""The numbers of pieces on a floor plan, so placed that each can be read.

A number stands behind its piece, where nobody measures. Where that place is taken it moves round
the piece, and if need be away from it on a thin line. A copy whose number would touch the same
number beside it goes without.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, Protocol

import numpy as np

from airwright.decor.assembly import Floats
from airwright.pictures.drawing.sheet import SOFT, Sheet
from airwright.pictures.drawing.svg import number
from airwright.pictures.drawing.text import BLACK, LIGHT

TAG_MM: Final = 2.9
"""Radius of the disc with a piece's number."""
CLEAR_MM: Final = 0.7
"""Free paper between a number and its piece, and half as much between two numbers."""
RINGS: Final = (2, 3, 4, 6, 8, 11, 15)
"""How far out a number may stand from the edge of its piece, in its own radii."""

Ground = tuple[float, float, float, float]
"""Left, top, right, foot on paper [mm]."""


class Tagged(Protocol):
    """What has a number."""

    @property
    def tag(self) -> str: ...


def put_tags(
    sheet: Sheet, placed: Sequence[Tagged], grounds: Sequence[Ground], paper: Ground
) -> None:
    """Write the number of each piece beside the paper it covers.

    Args:
        sheet: what is written on.
        placed: copies on the floor.
        grounds: what each of them covers, in the same order.
        paper: where numbers may be.
    """
    boxes = np.asarray(grounds, dtype=np.float64).reshape(-1, 4)
    taken = np.zeros((0, 2))
    tags: list[str] = []
    for k, one in enumerate(placed):
        home = _around(grounds[k])[0]
        beside = _near(taken, home)
        if one.tag in tags and any(tags[t] == one.tag for t in np.flatnonzero(beside)):
            continue
        x, y = _best(grounds[k], taken, np.delete(boxes, k, axis=0), paper)
        _leader(sheet, grounds[k], x, y)
        _disc(sheet, one.tag, x, y)
        taken = np.vstack([taken, [x, y]])
        tags.append(one.tag)


def _best(ground: Ground, taken: Floats, others: Floats, paper: Ground) -> tuple[float, float]:
    """The first place that touches no other number: beside the piece rather than away from it,
    and on bare floor rather than on another piece."""
    for places in (_around(ground), _outward(ground)):
        free = [p for p in places if _within(paper, p) and not _near(taken, p).any()]
        if free:
            return next((p for p in free if not _covers(others, p)), free[0])
    return _around(ground)[0]


def _within(paper: Ground, place: tuple[float, float]) -> bool:
    left, top, right, foot = paper
    x, y = place
    return left + TAG_MM <= x <= right - TAG_MM and top + TAG_MM <= y <= foot - TAG_MM


def _around(ground: Ground) -> tuple[tuple[float, float], ...]:
    """Behind the piece, at its back corners, beside it, before it."""
    left, top, right, foot = ground
    x, y, step = (left + right) / 2, (top + foot) / 2, TAG_MM + CLEAR_MM
    up, down = top - step, foot + step
    return (
        (x, up),
        (right, up),
        (left, up),
        (right + step, y),
        (left - step, y),
        (x, down),
    )


def _outward(ground: Ground) -> tuple[tuple[float, float], ...]:
    """Places on growing rings, those behind the piece first."""
    left, top, right, foot = ground
    x, y = (left + right) / 2, (top + foot) / 2
    turns = [0, 30, -30, 60, -60, 90, -90, 120, -120, 150, -150, 180]
    places = []
    for ring in RINGS:
        wide, high = (right - left) / 2 + ring * TAG_MM, (foot - top) / 2 + ring * TAG_MM
        for turn in turns:
            a = math.radians(turn)
            places.append((x + wide * math.sin(a), y - high * math.cos(a)))
    return tuple(places)


def _near(taken: Floats, place: tuple[float, float]) -> np.ndarray:
    """Which numbers a number at this place would touch."""
    apart: np.ndarray = np.hypot(taken[:, 0] - place[0], taken[:, 1] - place[1])
    return apart < 2 * TAG_MM + CLEAR_MM / 2


def _covers(others: Floats, place: tuple[float, float]) -> bool:
    """Whether a number at this place lies on another piece."""
    x, y = place
    wide = np.maximum(np.maximum(others[:, 0] - x, x - others[:, 2]), 0.0)
    high = np.maximum(np.maximum(others[:, 1] - y, y - others[:, 3]), 0.0)
    return bool((np.hypot(wide, high) < TAG_MM).any())


def _leader(sheet: Sheet, ground: Ground, x: float, y: float) -> None:
    """A thin line to the piece, where its number stands away from it."""
    left, top, right, foot = ground
    to_x, to_y = min(max(x, left), right), min(max(y, top), foot)
    if math.hypot(x - to_x, y - to_y) < 2 * TAG_MM:
        return
    to_x, to_y = (left + right) / 2, (top + foot) / 2
    sheet.add(
        "leader",
        f'<line x1="{number(x, 2)}" y1="{number(y, 2)}" x2="{number(to_x, 2)}" '
        f'y2="{number(to_y, 2)}" stroke="{SOFT}" stroke-width="0.2"/>',
    )


def _disc(sheet: Sheet, tag: str, x: float, y: float) -> None:
    sheet.add(
        "tag",
        f'<circle cx="{number(x, 2)}" cy="{number(y, 2)}" r="{TAG_MM}" fill="{LIGHT}" '
        f'stroke="{BLACK}" stroke-width="0.35"/>',
    )
    sheet.say(tag, x, y + 1.25, 3.5, BLACK, bold=True)
