"""What a job's balloons and stands meet: air, sun, wind, people, and for how long."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from airwright.job.models import Job
from airwright.job.studio import Studio
from airwright.physics.overturning import (
    DOOR_DRAUGHT_M_S,
    FACTOR_OF_SAFETY,
    FRICTION,
    GUEST_PUSH_N,
)
from airwright.physics.wind import PEOPLE_NEAR_LIMIT_M_S

Setting = Literal["indoor", "sheltered", "open air"]
UNSAID_GUST_M_S: Final = PEOPLE_NEAR_LIMIT_M_S
"""Gust reckoned with outdoors where the job names none: the one above which decor near people is
taken in anyway."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The venue and the studio's own habits as physics needs them.

    Attributes:
        setting: roof and walls, roof only, or neither.
        gust_m_s: gust or, indoors, draught reckoned with [m/s].
        gust_said: whether the job names that gust.
        in_sun: whether the sun falls on the balloons.
        workshop_c, peak_c: temperature where inflated, and the warmest [°C].
        altitude_m: of the venue; the workshop is taken to lie at sea level, the worse case,
            unless the drive is short (`workshop_altitude_m`) [m].
        workshop_altitude_m: where the balloons are tied [m].
        ahead_hours: between inflating in the workshop and access [h].
        venue_hours: access to strike [h].
        guest_hours: guests to strike [h].
        float_hours: filling floating balloons to strike [h].
        strike: time of day it is taken down.
        room_m3: air volume of the room, None where not said [m³].
        factor: factor of safety against tipping and sliding [-].
        friction: between base and floor [-].
        push_n: horizontal push of a guest [N].
        margin: share of nominal size kept free for warmth [-].
        float_margin: the same of floating latex; below zero it may grow so much beyond [-].
    """

    setting: Setting
    gust_m_s: float
    gust_said: bool
    in_sun: bool
    workshop_c: float
    peak_c: float
    altitude_m: float
    workshop_altitude_m: float
    ahead_hours: float
    venue_hours: float
    guest_hours: float
    float_hours: float
    strike: str
    room_m3: float | None
    factor: float
    friction: float
    push_n: float
    margin: float
    float_margin: float

    @property
    def outdoors(self) -> bool:
        """Whether wind blows there."""
        return self.setting != "indoor"


NEARBY_M: Final = 60_000.0
"""A drive up to this long is taken to stay at the venue's altitude [m]."""


def surroundings(job: Job, studio: Studio, setting: Setting | None = None) -> Surroundings:
    """What decor of this job meets, with this studio's habits.

    The venue's gust and sun are for what stands outdoors; in a job that is all indoors the sun
    falls through glass.

    Args:
        job: venue and times.
        studio: care, margins.
        setting: where the piece stands; the venue's own setting without it.
    """
    venue, head, care = job.venue, job.job, studio.care
    setting = venue.setting if setting is None else setting
    outdoors = setting != "indoor"
    all_indoors = venue.setting == "indoor" and all(
        job.setting_of(piece) == "indoor" for piece in job.pieces
    )
    return Surroundings(
        setting=setting,
        gust_m_s=(venue.gust or UNSAID_GUST_M_S) if outdoors else DOOR_DRAUGHT_M_S,
        gust_said=venue.gust > 0.0 or not outdoors,
        in_sun=venue.sun == "sun" and (outdoors or all_indoors),
        workshop_c=venue.workshop_temperature,
        peak_c=venue.peak_temperature,
        altitude_m=venue.altitude,
        workshop_altitude_m=venue.altitude if venue.drive <= NEARBY_M else min(venue.altitude, 0.0),
        ahead_hours=head.ahead,
        venue_hours=hours_between(venue.access, head.strike),
        guest_hours=hours_between(head.guests, head.strike),
        float_hours=hours_between(head.fill or venue.access, head.strike),
        strike=head.strike,
        room_m3=venue.room,
        factor=care.factor_of_safety,
        friction=care.friction,
        push_n=care.guest_push,
        margin=care.size_margin,
        float_margin=studio.helium.size_margin,
    )


def hours_between(start: str, end: str) -> float:
    """Hours from one time of day, "06:30", to the next such other one [h]."""
    minutes = _minutes(end) - _minutes(start)
    return (minutes if minutes > 0 else minutes + 24 * 60) / 60


def earlier(clock: str, hours: float) -> str:
    """The time of day some hours [h] before another."""
    minutes = round(_minutes(clock) - 60 * hours) % (24 * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _minutes(clock: str) -> int:
    hours, minutes = clock.split(":")
    return 60 * int(hours) + int(minutes)


EVERYDAY: Final = Surroundings(
    setting="indoor",
    gust_m_s=DOOR_DRAUGHT_M_S,
    gust_said=True,
    in_sun=False,
    workshop_c=20.0,
    peak_c=25.0,
    altitude_m=0.0,
    workshop_altitude_m=0.0,
    ahead_hours=16.0,
    venue_hours=8.0,
    guest_hours=8.0,
    float_hours=8.0,
    strike="18:00",
    room_m3=None,
    factor=FACTOR_OF_SAFETY,
    friction=FRICTION,
    push_n=GUEST_PUSH_N,
    margin=0.05,
    float_margin=-0.02,
)
"""An indoor day at sea level, for questions that belong to no job."""
