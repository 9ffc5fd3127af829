"""Do air-filled balloons still look fresh at strike? Hours in the workshop and at the venue.

Shares of a balloon's good life add up over the places it goes through. All hours are common
practice without a source, given as a range.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from airwright.physics.ageing import good_hours, life_used
from airwright.plan.surroundings import Surroundings
from airwright.plan.to_json import json_values

EXTRA_DOUBTFUL: Final = 0.05
EXTRA_TIRED: Final = 0.10
"""Spares to bring along in addition where latex may, or will, look tired. An own estimate."""

EVENT_BELOW_PEAK_K: Final = 3.0
"""The mean over the hours at the venue lies this far below its warmest, an estimate."""


@dataclass(frozen=True, slots=True)
class Ageing:
    """Share of its good life that latex has used up at strike.

    Attributes:
        place: "indoors", "shade" or "sun".
        hours: from inflating to strike [h].
        ahead_hours: of these in the workshop [h].
        good_shortest_h, good_usual_h, good_longest_h: how long latex stays good at the venue [h].
        used_least, used_usual, used_most: share used up, against the longest, the usual and the
            shortest life; 1 and above it looks tired [-].
        extra_spares: share of balloons to bring along in addition, none while nothing is used
            up [-].
    """

    place: str
    hours: float
    ahead_hours: float
    good_shortest_h: float
    good_usual_h: float
    good_longest_h: float
    used_least: float
    used_usual: float
    used_most: float
    extra_spares: float

    @property
    def tired(self) -> bool:
        """Whether it usually looks tired before strike."""
        return self.used_usual >= 1.0

    @property
    def doubtful(self) -> bool:
        """Whether poor shades and tight balloons may look tired before strike."""
        return self.used_most >= 1.0

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values for plan.json."""
        return json_values(self)


def ageing(around: Surroundings) -> Ageing:
    """What the hours between inflating and strike do to latex."""
    place = "indoors" if not around.outdoors else "sun" if around.in_sun else "shade"
    return life_at(
        place,
        around.venue_hours,
        around.peak_c - EVENT_BELOW_PEAK_K,
        around.ahead_hours,
        around.workshop_c,
    )


def life_at(
    place: str, hours: float, mean_c: float, ahead_hours: float, workshop_c: float
) -> Ageing:
    """The same from plain numbers.

    Args:
        place: "indoors", "shade" or "sun".
        hours: there [h].
        mean_c: mean temperature there [°C].
        ahead_hours: in the workshop before [h].
        workshop_c: temperature there [°C].

    Raises:
        PhysicsError: temperatures or hours out of range, unknown place.
    """
    there = good_hours(place, mean_c)
    at_work = life_used(ahead_hours, good_hours("indoors", workshop_c))
    at_venue = life_used(hours, there)
    used = [
        float(work + venue)
        for work, venue in (
            (at_work.longest_h, at_venue.longest_h),
            (at_work.usual_h, at_venue.usual_h),
            (at_work.shortest_h, at_venue.shortest_h),
        )
    ]
    return Ageing(
        place=place,
        hours=ahead_hours + hours,
        ahead_hours=ahead_hours,
        good_shortest_h=float(there.shortest_h),
        good_usual_h=float(there.usual_h),
        good_longest_h=float(there.longest_h),
        used_least=used[0],
        used_usual=used[1],
        used_most=used[2],
        extra_spares=_extra(used[1], used[2]),
    )


def _extra(usual: float, most: float) -> float:
    if most < 1.0:
        return 0.0
    return EXTRA_TIRED if usual >= 1.0 else EXTRA_DOUBTFUL
