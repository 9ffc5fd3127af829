"""The crew of a job, and the time that belongs to no piece: van, arrival, roads, sweeping.

The crew is the smallest that is ready in time between access and guests; heavy parts, tall
frames and high ladders take two.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from airwright.catalog import Catalog
from airwright.job.models import Job
from airwright.job.studio import Crew, Studio
from airwright.plan.hours import TAKE_DOWN, Done, Way, way_of, work_lines
from airwright.plan.piece_values import PiecePlan, WorkLine
from airwright.plan.surroundings import hours_between
from airwright.plan.to_json import json_values

NEAR_KM: Final = 10.0
"""Of a drive, so much is driven in town. From memory."""
TOGETHER: Final = 2 / 3
"""What each further pair of hands adds to the first: 100 balloons take 20 min alone and 12 by
two (common practice), so two do the work of 1 2/3."""
LONG_STRIKE_H: Final = 2.0
"""A take-down longer than this is shared. From memory."""
MOST_A_PIECE: Final = 2
"""People who find room to work at one piece. From memory."""
ONE_LIFTS_KG: Final = 23.0
"""The heaviest part one person lifts: the load constant of the NIOSH lifting equation."""
RAISED_M, RAISED = 2.0, frozenset({"panel", "fix to frame"})
"""A frame taller than this is raised by two."""
LADDER_M, HUNG = 3.0, frozenset({"hang garland", "net"})
"""What hangs higher is built from a ladder that a second person holds. Heights from memory."""


@dataclass(frozen=True, slots=True)
class CrewPlan:
    """Who goes, and how long they take.

    Attributes:
        hands: people who build on site.
        strike_hands: people who take down.
        two_because: "weight", "frame" or "ladder" where one person is not enough whatever the
            time; empty if one would do.
        window_h: between access and guests [h].
        build_h, strike_h: time the crew takes to build on site and to take down [h].
        drive_h: one way, by the labour standards [h].
    """

    hands: int
    strike_hands: int
    two_because: str
    window_h: float
    build_h: float
    strike_h: float
    drive_h: float

    @property
    def ready(self) -> bool:
        """Whether everything stands when guests come."""
        return self.build_h <= self.window_h

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values for plan.json."""
        return {**json_values(self), "ready": self.ready}


@dataclass(frozen=True, slots=True)
class JobWork:
    """Time of a job that belongs to no piece, and its crew."""

    lines: tuple[WorkLine, ...]
    crew: CrewPlan


def elapsed(hours: float, hands: int) -> float:
    """Time that so many people take for the work of one [h]."""
    return hours / (1.0 + TOGETHER * (hands - 1))


def job_work(pieces: Sequence[PiecePlan], job: Job, catalog: Catalog, studio: Studio) -> JobWork:
    """Crew and common work of some pieces as one job of their own.

    Args:
        pieces: with their work.
        job: times, drive and way in.
        catalog: labour standards.
        studio: how many people there are.
    """
    way = way_of(job, studio)
    common = _common(catalog, way) if pieces else ()
    arriving, sweeping = (_hours((), common, place) for place in ("site", TAKE_DOWN))
    building, striking = (_hours(pieces, (), place) for place in ("site", TAKE_DOWN))
    why = _two_because(pieces, catalog)
    window = hours_between(job.venue.access, job.job.guests)
    many = _Hands(pieces, studio.crew, two=bool(why))
    hands = many.fewest(building, window - studio.crew.ready_before - arriving)
    strikers = min(many.fewest(striking, LONG_STRIKE_H - sweeping), hands)
    driving = work_lines(_drive(job.venue.drive / 1000, 1.0), catalog, way)
    crew = CrewPlan(
        hands=hands,
        strike_hands=strikers,
        two_because=why,
        window_h=window,
        build_h=arriving + elapsed(building, hands),
        strike_h=sweeping + elapsed(striking, strikers),
        drive_h=sum(line.hours for line in driving),
    )
    legs = _legs(job.charges.trips, hands, strikers) if pieces else 0
    drive = work_lines(_drive(job.venue.drive / 1000, legs), catalog, way)
    shared = [
        _shared(place, people, people * (own + elapsed(work, people)) - own - work)
        for place, people, own, work in (
            ("site", hands, arriving, building),
            (TAKE_DOWN, strikers, sweeping, striking),
        )
        if people > 1 and pieces
    ]
    return JobWork((*common, *shared, *drive), crew)


def _common(catalog: Catalog, way: Way) -> tuple[WorkLine, ...]:
    jobs: list[Done] = [(name, 1.0, None) for name in ("ready the van", "arrive", "sweep")]
    return work_lines(jobs, catalog, way)


def _hours(pieces: Sequence[PiecePlan], common: Sequence[WorkLine], place: str) -> float:
    own = sum(piece.hours_at(place) * piece.count for piece in pieces)
    return own + sum(line.hours for line in common if line.place == place)


class _Hands:
    """How many people may go: no fewer than the work asks for, no more than find work."""

    def __init__(self, pieces: Sequence[PiecePlan], crew: Crew, *, two: bool) -> None:
        useful = MOST_A_PIECE * sum(piece.count for piece in pieces)
        self.most = max(min(crew.hands, useful), 1)
        self.least = min(max(crew.at_least, 2 if two else 1), crew.hands)

    def fewest(self, hours: float, within_h: float) -> int:
        """The smallest crew that needs no longer than that; all who find work if none does."""
        numbers = range(self.least, max(self.most, self.least) + 1)
        return next((n for n in numbers if elapsed(hours, n) <= within_h), numbers[-1])


def _legs(trips: int, hands: int, strikers: int) -> int:
    """Drives one way, a person: all build, then all strike; one trip serves both, and what more
    there are the driver makes alone."""
    if trips == 1:
        return 2 * hands
    return 2 * (hands + strikers + trips - 2)


def _drive(kilometres: float, trips: float) -> list[Done]:
    near = min(kilometres, NEAR_KM)
    return [("drive", near * trips, None), ("drive on", (kilometres - near) * trips, None)]


def _shared(place: str, people: int, hours: float) -> WorkLine:
    what = f"arrive together and wait for each other, {people} people"
    return WorkLine("work together", what, place, float(people), hours, "person")


def _two_because(pieces: Sequence[PiecePlan], catalog: Catalog) -> str:
    for piece in pieces:
        parts = piece.assembly.hardware
        if any(
            catalog.item(part.item).mass_kg > ONE_LIFTS_KG for part in parts if part.unit == "each"
        ):
            return "weight"
        done = {line.operation for line in piece.work}
        top_m = float(piece.assembly.bounds[1][2])
        if done & RAISED and top_m > RAISED_M:
            return "frame"
        if done & HUNG and top_m > LADDER_M:
            return "ladder"
    return ""
