"""What a load list says, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from airwright.papers.common.parts import Masthead, Occasion, Swatch, masthead, occasion, swatches
from airwright.papers.load_list.floor import Place, places_of
from airwright.papers.load_list.groups import Group, groups_of
from airwright.plan.values import Plan

DAY_MIN: Final = 24 * 60


@dataclass(frozen=True, slots=True)
class Moment:
    """A time of the day, and what happens then ("HH:MM", local to the venue)."""

    clock: str
    what: str


@dataclass(frozen=True, slots=True)
class LoadList:
    """A whole load list.

    Attributes:
        pieces: names of what is covered, with counts.
        timetable: the day, in order.
        drive_m: one way [m].
        mass_kg, bulk_m3: of everything on the list.
        ballast_kg: filling of bases in `mass_kg`, which may be found on site instead.
        load_kg, room_m3: what the van takes.
        places: where the pieces stand, if the job says so.
    """

    masthead: Masthead
    occasion: Occasion
    pieces: tuple[str, ...]
    swatches: tuple[Swatch, ...]
    timetable: tuple[Moment, ...]
    drive_m: float
    hands: int
    groups: tuple[Group, ...]
    mass_kg: float
    bulk_m3: float
    ballast_kg: float
    load_kg: float
    room_m3: float
    places: tuple[Place, ...] = ()

    @property
    def trips(self) -> int:
        """Van loads it takes, by weight and by room."""
        loads = max(self.mass_kg / self.load_kg, self.bulk_m3 / self.room_m3)
        return max(1, -int(-loads // 1))


def load_list_of(plan: Plan) -> LoadList:
    """Read a load list off a plan: what its scope needs, and the tools to build it."""
    groups = groups_of(plan)
    items = [item for group in groups for item in group.items]
    van = plan.studio.van
    return LoadList(
        masthead=masthead(plan),
        occasion=occasion(plan),
        pieces=tuple(
            piece.name if piece.count == 1 else f"{piece.count} × {piece.name}"
            for piece in plan.in_scope
        ),
        swatches=swatches(plan.in_scope),
        timetable=_timetable(plan),
        drive_m=plan.job.venue.drive,
        hands=plan.crew.hands,
        groups=groups,
        mass_kg=sum(item.mass_kg for item in items),
        bulk_m3=sum(item.bulk_m3 for item in items),
        ballast_kg=sum(item.mass_kg for item in items if item.ballast),
        load_kg=van.load,
        room_m3=van.room,
        places=places_of(plan),
    )


def _timetable(plan: Plan) -> tuple[Moment, ...]:
    """Leave, build, stand, take down; driving at the speed of the labour standard."""
    head, venue = plan.job.job, plan.job.venue
    one_way_min = 60 * plan.crew.drive_h
    build_min, strike_min = 60 * plan.crew.build_h, 60 * plan.crew.strike_h
    moments = []
    if one_way_min > 0:
        leave = minutes(venue.access) - one_way_min
        moments.append(Moment(_clock(leave), f"leave the workshop ({_spell(one_way_min)} drive)"))
    moments += [
        Moment(venue.access, f"access; building takes {_spell(build_min)}"),
        Moment(head.guests, "guests come, everything stands"),
        Moment(head.strike, f"take-down, {_spell(strike_min)}"),
    ]
    return tuple(moments)


def minutes(clock: str) -> int:
    """ "06:30" as minutes after midnight."""
    hour, minute = clock.split(":")
    return int(hour) * 60 + int(minute)


def _clock(after_midnight: float) -> str:
    """Minutes after midnight as a clock, rounded down to five; the day before is said."""
    whole = int(after_midnight // 5 * 5)
    text = f"{whole % DAY_MIN // 60:02d}:{whole % 60:02d}"
    return text if whole >= 0 else f"{text} the day before"


def _spell(length_min: float) -> str:
    fives = max(5, -int(-length_min // 5) * 5)
    hours, rest = divmod(fives, 60)
    return " ".join(([f"{hours} h"] if hours else []) + ([f"{rest} min"] if rest else []))
