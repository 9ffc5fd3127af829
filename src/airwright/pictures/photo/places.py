"""Places a piece can be photographed in: data only; `surround.py` builds them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from airwright.pictures.photo.errors import PhotoError


@dataclass(frozen=True, slots=True)
class Place:
    """Where the decor stands.

    Attributes:
        name: what the user asks for.
        kind: "sweep" (seamless paper), "hall" or "lawn".
        wall, floor: their colours "#rrggbb".
        evening: warm lamps instead of daylight (halls).
        white_balance: 1 makes a white card white; less keeps the light's own colour.
        person: whether a person's outline stands beside, for scale.
        door: whether a door is shown in the wall, for scale.
        help: one line for pages and command help.
    """

    name: str
    kind: str
    wall: str = "#d9d4cc"
    floor: str = "#c9c4bc"
    evening: bool = False
    white_balance: float = 1.0
    person: bool = False
    door: bool = False
    help: str = ""


PLACES = {
    place.name: place
    for place in (
        Place("backdrop", "sweep", "#dcd8d2", "#dcd8d2", help="a photographer's paper backdrop"),
        Place("bright hall", "hall", "#ddd6cb", "#b08a5e", help="daylight, pale wall, floorboards"),
        Place(
            "evening hall",
            "hall",
            "#8d7f78",
            "#5f4330",
            evening=True,
            white_balance=0.88,
            help="warm lamps, darker wall and boards",
        ),
        Place("lawn", "lawn", "#4f6b3a", "#5c7a3a", white_balance=1.0, help="grass, hedge, sun"),
    )
}


def place_named(
    name: str | Place,
    *,
    wall: str | None = None,
    floor: str | None = None,
    person: bool | None = None,
    door: bool | None = None,
) -> Place:
    """The place of that name, in the client's own wall and floor colours where given."""
    if isinstance(name, Place):
        place = name
    elif name in PLACES:
        place = PLACES[name]
    else:
        raise PhotoError(
            "photo.place",
            f"There is no place “{name}”.",
            f"Choose one of {', '.join(PLACES)}.",
        )
    return replace(
        place,
        wall=place.wall if wall is None else wall,
        floor=place.floor if floor is None else floor,
        person=place.person if person is None else person,
        door=place.door if door is None else door,
    )
