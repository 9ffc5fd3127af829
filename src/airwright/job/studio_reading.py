"""Reading a studio file: a Studio or all findings at once; never an exception."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from pydantic import ValidationError

from airwright.catalog import UnknownName, default_catalog
from airwright.job import locate
from airwright.job.findings import Finding, error
from airwright.job.reading import located, read_toml
from airwright.job.studio import STUDIO_FORMAT, Studio
from airwright.job.translate import findings_of
from airwright.language import message
from airwright.params import WRITTEN


@dataclass(frozen=True, slots=True)
class StudioReading:
    """A studio, or None with the errors that forbid it."""

    studio: Studio | None
    findings: tuple[Finding, ...]


FORMAT_WORDS: Final = f'"{STUDIO_FORMAT}"'


def read_studio(data: bytes | str) -> StudioReading:
    """Read a studio file."""
    text, raw, trouble = read_toml(data)
    if trouble is not None:
        if trouble.code in ("empty-file", "not-text"):  # its cure is that of a job file
            trouble = replace(trouble, mend=f"A studio file starts with: format = {FORMAT_WORDS}")
        return StudioReading(None, (trouble,))
    places = locate.positions(text)
    if raw.get("format") != STUDIO_FORMAT:
        what = message("This is no studio file of a format this version knows.")
        mend = message("Put this at the top: format = {format_words}", format_words=FORMAT_WORDS)
        return StudioReading(None, located([error("format", "format", what, mend)], places))
    try:
        studio = Studio.model_validate(raw, context=WRITTEN)
    except ValidationError as problem:
        return StudioReading(None, located(findings_of(problem, (), Studio), places))
    wrong = [*_unknown_sizes(studio)]
    return StudioReading(None if wrong else studio, located(wrong, places))


def _unknown_sizes(studio: Studio) -> Iterator[Finding]:
    """Measurements and weighings of balloons that neither we nor the studio know."""
    known = {**default_catalog().balloons, **{row.size: row for row in studio.balloons}}
    named = [
        *((f"weighed[{at}].size", row.size) for at, row in enumerate(studio.weighed)),
        *(
            (f"measured[{at}].cluster", size)
            for at, row in enumerate(studio.measured)
            for size in dict.fromkeys(balloon.size for balloon in row.cluster.slots)
        ),
    ]
    for place, size in named:
        if size not in known:
            what = str(UnknownName("balloon size", size, known))
            yield error("unknown-size", place, what, message("Use a size of the catalog."))
