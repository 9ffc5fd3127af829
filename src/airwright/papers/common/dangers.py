"""Everyday dangers in the crew's words, on make sheet and safety sheet alike."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from airwright.language import message
from airwright.plan.values import Plan
from airwright.units import Shown, System

FROM_LIVE_WIRES: Final = {System.FEET: Shown("10 ft"), System.METRIC: Shown("3 m")}
"""Least distance from overhead lines, 29 CFR 1910.333(c)(3): 10 ft, 3.05 m."""


@dataclass(frozen=True, slots=True)
class Warned:
    """A danger: what it is, and what the crew does."""

    what: str
    do: str


def everyday(plan: Plan, *, gas: bool = True) -> Iterator[Warned]:
    """Children, allergy, helium, flying off, foil, live wires: as far as the job has them.

    `gas` tells whether what helium does to people is among them.
    """
    codes = {found.code for found in plan.findings}
    yield Warned(
        message("Children under eight can choke on empty or burst balloons."),
        message("Keep balloons away from them and pick up every scrap at once."),
    )
    yield Warned(
        message("Latex can cause allergies."),
        message("Ask guests and crew; whoever is allergic stays away from latex balloons."),
    )
    if gas and "helium" in codes:
        yield Warned(
            message("Never breathe helium: it kills within seconds."),
            message(
                "Chain cylinders upright. Valve closed and capped in the van, a window open. If "
                "gas hisses, leave the room, then air it."
            ),
        )
    if "no-release" in codes:
        loose = all(piece.rises_to_ceiling for piece in plan.in_scope if piece.floats)
        yield Warned(
            message("No balloon flies off."),
            message("Keep doors and windows shut while they float loose; take none outdoors.")
            if loose
            else message("Tie every floating balloon to a weight before you let go of it."),
        )
    if "foil" in codes:
        yield Warned(
            message("Foil conducts electricity."),
            message(
                "Keep foil balloons away from power lines and never tie them with metallic ribbon."
            ),
        )
    if "power" in codes:
        yield Warned(
            message("Live wires kill."),
            message(
                "Look up first: ladders, poles and foil stay {far} from overhead lines. "
                "Inflators stay dry, on a socket with ground-fault protection.",
                far=FROM_LIVE_WIRES[plan.studio.studio.units],
            ),
        )
    if "blown-away" in codes:
        yield Warned(
            message("What falls in the open blows away."),
            message("Let nothing fall while it is windy, and gather every balloon."),
        )
