"""Which units a job is written in, read off the lengths of its pieces."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

from airwright.job.models import Job
from airwright.job.studio import Studio
from airwright.units import System

_LENGTH: Final = re.compile(r"^-?[\d.,]+ (ft|in|m|cm|mm)$")
_INFLATED: Final = re.compile(r"@ ?[\d.]+ ?(in|cm|mm|m)\b")
_FEET: Final = frozenset({"ft", "in"})
ELSEWHERE: Final = frozenset({"spot", "name", "note"})
"""Keys that say nothing: where a piece stands is taken from the venue's own plan."""


def units_written(job: Job) -> System | None:
    """Metric or feet, whichever most lengths of the pieces are round in; None without lengths.

    Names of balloons count for nothing: an 11-inch balloon is called so everywhere.
    """
    told = [
        unit
        for piece in job.pieces
        for text in _texts(piece.model_dump(mode="json", exclude_unset=True))
        for unit in _units(text)
    ]
    if not told:
        return None
    feet = sum(unit in _FEET for unit in told)
    return System.METRIC if feet * 2 < len(told) else System.FEET


def studio_for(job: Job, studio: Studio) -> Studio:
    """The studio, in the job's units where it does not say which it wants."""
    if "units" in studio.studio.model_fields_set:
        return studio
    system = units_written(job)
    if system is None or system is studio.studio.units:
        return studio
    house = studio.studio.model_copy(update={"units": system})
    # Still not said: the next job may be written otherwise.
    house.model_fields_set.discard("units")
    return studio.model_copy(update={"studio": house})


def _units(text: str) -> Iterator[str]:
    found = _LENGTH.match(text)
    if found is not None:
        yield found[1]
    yield from _INFLATED.findall(text)


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, item in value.items():
            if key not in ELSEWHERE:
                yield from _texts(item)
    elif isinstance(value, list):
        for item in value:
            yield from _texts(item)
