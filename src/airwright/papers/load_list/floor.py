"""The page of a load list that says where everything stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from airwright.papers.common.page import Page
from airwright.papers.common.pictures import Picture, Pictures
from airwright.pictures.drawing import DrawingError, about, draw_floor_plan
from airwright.pictures.drawing.floor_plan import Placed, apart_m, near_ones, scale_of
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
    """

    tag: str
    name: str
    count: int
    right_m: float = 0.0
    back_m: float = 0.0
    facing_deg: float = 0.0
    apart_m: float = 0.0


def places_of(plan: Plan) -> tuple[Place, ...]:
    """Where the pieces of a plan's scope stand; none of them when no piece has a spot."""
    if not any(piece.spec.spot for piece in plan.in_scope):
        return ()
    return tuple(_place(str(k), piece) for k, piece in enumerate(plan.in_scope, start=1))


def _place(tag: str, piece: PiecePlan) -> Place:
    spot = piece.spec.spot
    if spot is None:
        return Place("", piece.name, piece.count)
    apart = apart_m(piece.assembly) if piece.count > 1 else 0.0
    return Place(tag, piece.name, piece.count, spot.x, spot.y, spot.facing, apart)


def placed_of(plan: Plan) -> tuple[Placed, ...]:
    """Every copy on the floor whose piece has a spot."""
    return tuple(
        copy
        for place, piece in zip(places_of(plan), plan.in_scope, strict=False)
        if place.tag
        for copy in about(
            place.tag,
            piece.assembly,
            piece.count,
            place.right_m,
            place.back_m,
            place.facing_deg,
        )
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
        words = {"across": "no spot given", "back": "", "facing": "", "copies": ""}
        return {"tag": "", "name": name, **words}
    apart = show(place.apart_m, LENGTH, system)
    return {
        "tag": place.tag,
        "name": name,
        "copies": f"middle of the row; {apart} apart" if place.apart_m else "",
        "across": _aside(place.right_m, system),
        "back": _away(place.back_m, system),
        "facing": _facing(place.facing_deg),
    }


def _aside(value: float, system: System) -> str:
    if abs(value) < 0.005:
        return "in the middle"
    return f"{show(abs(value), LENGTH, system)} {'right' if value > 0 else 'left'}"


def _away(value: float, system: System) -> str:
    if abs(value) < 0.005:
        return "on the front edge"
    # Not "in back": after inches that would be read twice.
    side = "behind" if value > 0 else "before"
    return f"{show(abs(value), LENGTH, system)} {side} the edge"


def _facing(degrees: float) -> str:
    """Seen by somebody who faces the decor: anticlockwise from above turns a front to the right."""
    turned = (degrees + 180.0) % 360.0 - 180.0
    if abs(turned) < 0.5:
        return "to the guests"
    if abs(abs(turned) - 180.0) < 0.5:
        return "to the back"
    return f"{abs(turned):.0f}° to the {'right' if turned > 0 else 'left'}"
