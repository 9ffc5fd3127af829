"""Where a job's hours go: by workshop, road, site and take-down, and by operation."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from airwright.language import message
from airwright.plan.crew import CrewPlan
from airwright.plan.piece_values import PiecePlan, WorkLine

PLACES: Final = ("workshop", "road", "site", "take-down")
PLACE_WORDS: Final = {
    "workshop": message("In the workshop"),
    "road": message("On the road"),
    "site": message("On site"),
    "take-down": message("Take down"),
}


@dataclass(frozen=True, slots=True)
class Labour:
    """All hands' time of some pieces as one job.

    Attributes:
        crew: who goes, and how long they take.
        lines: by place and operation, all pieces and their copies together, longest first
            within each place.
    """

    crew: CrewPlan
    lines: tuple[WorkLine, ...]

    def hours_at(self, place: str) -> float:
        """Hands' time at one of `PLACES` [h]."""
        return sum(line.hours for line in self.lines if line.place == place)

    @property
    def hours(self) -> float:
        """All of it [h]."""
        return sum(line.hours for line in self.lines)

    def to_json(self) -> dict[str, Any]:
        """Plain values for plan.json."""
        parts = {
            f"{place.replace('-', '_')}_hours": round(self.hours_at(place), 3) for place in PLACES
        }
        return {
            **self.crew.to_json(),
            **parts,
            "operations": [work_json(row) for row in self.lines],
        }


def labour_of(pieces: Sequence[PiecePlan], job_work: Sequence[WorkLine], crew: CrewPlan) -> Labour:
    """Every line of the pieces, counts included, and of the job, summed by operation."""
    own = (_times(line, piece.count) for piece in pieces for line in piece.work)
    return Labour(crew, _summed([*own, *job_work]))


def _times(line: WorkLine, count: int) -> WorkLine:
    return replace(line, quantity=line.quantity * count, hours=line.hours * count)


def _summed(lines: Iterable[WorkLine]) -> tuple[WorkLine, ...]:
    sums: dict[tuple[str, str], WorkLine] = {}
    for line in lines:
        key = line.place, line.operation
        old = sums.get(key)
        sums[key] = (
            line
            if old is None
            else replace(old, quantity=old.quantity + line.quantity, hours=old.hours + line.hours)
        )
    return tuple(sorted(sums.values(), key=lambda row: (PLACES.index(row.place), -row.hours)))


def work_json(line: WorkLine) -> dict[str, Any]:
    """One line of work as plain values."""
    return {
        "operation": line.operation,
        "what": line.what,
        "place": line.place,
        "quantity": round(line.quantity, 3),
        "per": line.per,
        "hours": round(line.hours, 4),
    }
