"""The page of a load list that says where everything stands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from airwright.decor.parts.door import door_frame
from airwright.decor.standing import Piece, Stood, flanked_name, stand
from airwright.language import Text, message
from airwright.papers.common.page import Page
from airwright.papers.common.pictures import Picture, Pictures
from airwright.pictures.drawing import DrawingError, draw_floor_plan
from airwright.pictures.drawing.floor_plan import Placed, near_ones, scale_of
from airwright.plan.values import PiecePlan, Plan
from airwright.units import LENGTH, System, show

HEAD_MM: Final = 42.0
"""What heading, words and the table's own heading take of the page."""
ROW_MM: Final = (7.0, 11.0)
"""A row of the table, for a piece that stands alone and for copies."""
LEAST_MM: Final = 90.0
"""A plan is never lower than this; a long table then runs over to the next page."""
FILE: Final = "floor-plan.svg"


@dataclass(frozen=True, slots=True)
class Place:
    """Where one piece goes.

    Attributes:
        tag: its number on the plan; "" for a piece without a spot.
        right_m: its middle, to the right of the middle of the floor [m].
        back_m: away from the front edge [m].
        facing_deg: how far its front is turned, anticlockwise from above.
        apart_m: from the middle of one copy to that of the next [m]; 0 for a single one.
        beside: name of the piece its copies stand at either side of, else "".
        stand: how its copies stand, as in the job.
    """

    tag: str
    name: str
    count: int
    right_m: float = 0.0
    back_m: float = 0.0
    facing_deg: float = 0.0
    apart_m: float = 0.0
    beside: str = ""
    stand: str = "in a row"


def places_of(plan: Plan) -> tuple[Place, ...]:
    """Where the pieces of a plan's scope stand; none of them when no piece has a spot."""
    rule, stood = _stood(plan)
    if not any(one.settled for one in stood if one.piece < len(plan.in_scope)):
        return ()
    return tuple(_place(at, piece, rule, stood) for at, piece in enumerate(plan.in_scope))


def _stood(plan: Plan) -> tuple[list[Piece], tuple[Stood, ...]]:
    rule = [Piece.of(piece.assembly, piece.count, piece.spec) for piece in plan.in_scope]
    door = plan.job.venue.door
    if door is not None:
        rule.append(Piece.gate(door))
    return rule, stand(rule)


def _place(at: int, piece: PiecePlan, rule: Sequence[Piece], stood: Sequence[Stood]) -> Place:
    copies = [one for one in stood if one.piece == at and one.settled]
    if not copies:
        return Place("", piece.name, piece.count)
    apart = 0.0
    if len(copies) > 1:
        apart = math.hypot(copies[1].x - copies[0].x, copies[1].y - copies[0].y)
    spec = piece.spec.copies
    return Place(
        str(at + 1),
        piece.name,
        piece.count,
        sum(one.x for one in copies) / len(copies),
        sum(one.y for one in copies) / len(copies),
        math.degrees(copies[0].turn_rad),
        apart,
        flanked_name(at, rule) or "",
        "in a row" if spec is None else spec.stand,
    )


def placed_of(plan: Plan) -> tuple[Placed, ...]:
    """Every copy on the floor whose place the job says, and the venue's door."""
    bodies = [piece.assembly for piece in plan.in_scope]
    tags = [str(at + 1) for at in range(len(bodies))]
    if plan.job.venue.door is not None:
        bodies.append(door_frame(plan.job.venue.door))
        tags.append("")
    return tuple(
        Placed(tags[one.piece], bodies[one.piece], one.x, one.y, one.turn_rad)
        for one in _stood(plan)[1]
        if one.settled
    )


@dataclass(frozen=True, slots=True)
class FloorPicture:
    """The floor plan.

    Attributes:
        scale: world over paper.
        off: numbers of the pieces too far off to be on it.
    """

    picture: Picture
    scale: int
    off: tuple[str, ...] = ()


def picture_of(plan: Plan, pictures: Pictures, page: Page) -> FloorPicture | None:
    """The floor plan of a plan's scope; none without spots."""
    placed = placed_of(plan)
    if not placed:
        return None
    room = page.body_height_mm - HEAD_MM
    high = max(LEAST_MM, room - sum(ROW_MM[piece.count > 1] for piece in plan.in_scope))
    near, off = near_ones(placed, page.body_width_mm, high)
    try:
        drawing = draw_floor_plan(near, page.body_width_mm, high, system=pictures.system)
    except DrawingError:
        return None  # spots hundreds of metres apart: the table alone says where
    picture = pictures.picture(drawing, FILE, "The floor from above")
    return FloorPicture(picture, scale_of(drawing), off)


def rows(places: tuple[Place, ...], system: System) -> list[dict[str, str]]:
    """The table beside the plan, in words."""
    return [_row(place, system) for place in places]


def _row(place: Place, system: System) -> dict[str, str]:
    name = place.name if place.count == 1 else f"{place.count} × {place.name}"
    if not place.tag:
        words = {"across": message("no spot given"), "back": "", "facing": "", "copies": ""}
        return {"tag": "", "name": name, **words}
    return {
        "tag": place.tag,
        "name": name,
        "copies": _copies(place, system),
        "across": _aside(place.right_m, system),
        "back": _away(place.back_m, system),
        "facing": _facing(place.facing_deg),
    }


def _copies(place: Place, system: System) -> str:
    """What the numbers of several copies mean."""
    apart = show(place.apart_m, LENGTH, system)
    if place.beside:
        return message(
            "one at each side of {piece}; {apart} apart, middle to middle",
            piece=place.beside,
            apart=apart,
        )
    if not place.apart_m:
        return ""
    if place.stand == "in a circle":
        return message("middle of the circle; {apart} from one to the next", apart=apart)
    if place.stand == "along a wall":
        return message("middle of the row, backs to the wall; {apart} apart", apart=apart)
    return message("middle of the row; {apart} apart", apart=apart)


def _aside(value: float, system: System) -> Text:
    if abs(value) < 0.005:
        return message("in the middle")
    far = show(abs(value), LENGTH, system)
    return message("{far} right", far=far) if value > 0 else message("{far} left", far=far)


def _away(value: float, system: System) -> Text:
    if abs(value) < 0.005:
        return message("on the front edge")
    far = show(abs(value), LENGTH, system)
    # Not "in back": after inches that would be read twice.
    if value > 0:
        return message("{far} behind the edge", far=far)
    return message("{far} before the edge", far=far)


def _facing(degrees: float) -> Text:
    """Seen by somebody who faces the decor: anticlockwise from above turns a front to the right."""
    turned = (degrees + 180.0) % 360.0 - 180.0
    if abs(turned) < 0.5:
        return message("faces the guests")
    if abs(abs(turned) - 180.0) < 0.5:
        return message("faces the back")
    if turned > 0:
        return message("{degrees}° to the right", degrees=round(abs(turned)))
    return message("{degrees}° to the left", degrees=round(abs(turned)))
