"""What helium let out into a closed room or van leaves to breathe."""

from __future__ import annotations

from dataclasses import dataclass

from airwright.language import message
from airwright.physics.errors import require
from airwright.physics.room_air import (
    OXYGEN_LIMIT,
    airing_hours,
    least_room,
    oxygen_after_release,
)
from airwright.plan.answers.base import Answer


@dataclass(frozen=True, slots=True)
class RoomAnswer(Answer):
    """A release in a closed space.

    Attributes:
        gas_m3, room_m3: let out, and free volume [m³].
        worst_oxygen, mixed_oxygen: share left if the gas pushes air out unmixed, and if it mixes
            [-].
        oxygen_limit: below it air counts as lacking oxygen [-].
        enough: whether even the worst stays above it.
        least_room_m3: smallest room in which it would [m³].
        air_changes, airing_h: fresh air an hour over the room [1/h], and hours until the limit is
            passed again [h].
    """

    gas_m3: float
    room_m3: float
    worst_oxygen: float
    mixed_oxygen: float
    oxygen_limit: float
    enough: bool
    least_room_m3: float
    air_changes: float
    airing_h: float
    doubts: tuple[str, ...]


def room_answer(gas_m3: float, room_m3: float, air_changes: float = 5.0) -> RoomAnswer:
    """Reckon a release.

    Args:
        gas_m3: let out, the whole cylinder to be safe [m³].
        room_m3: free volume [m³].
        air_changes: fresh air an hour over the room's volume; an open door gives about 5 [1/h].

    Raises:
        PhysicsError: out of range.
    """
    cure = message("Length x width x height, from a locker to a hall: check the unit.")
    require("room volume", room_m3, cure, low=0.05, high=1e7, unit="m³")
    require(
        "gas let out",
        gas_m3,
        message("From zero to a lorry of cylinders."),
        low=0.0,
        high=1e4,
        unit="m³",
    )
    require(
        "air changes",
        air_changes,
        message("Above zero; an open door gives about 5."),
        low=0.01,
        high=200.0,
    )
    left = oxygen_after_release(gas_m3, room_m3)
    worst = float(left.displaced)
    return RoomAnswer(
        gas_m3=gas_m3,
        room_m3=room_m3,
        worst_oxygen=worst,
        mixed_oxygen=float(left.mixed),
        oxygen_limit=OXYGEN_LIMIT,
        enough=worst >= OXYGEN_LIMIT,
        least_room_m3=float(least_room(gas_m3)),
        air_changes=air_changes,
        airing_h=float(airing_hours(worst, air_changes)),
        doubts=(
            message(
                "Helium gathers under the ceiling: a head on a ladder may meet worse than either."
            ),
            message("The limit is 29 CFR 1910.134(b); your local rule may be stricter."),
        ),
    )
