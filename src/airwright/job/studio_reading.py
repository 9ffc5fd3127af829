"""Reading a studio file: a Studio or all findings at once; never an exception."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from pydantic import ValidationError

from airwright.catalog import UnknownName
from airwright.job import locate
from airwright.job.findings import Finding, error
from airwright.job.params import WRITTEN
from airwright.job.reading import located, read_toml
from airwright.job.studio import STUDIO_FORMAT, Studio
from airwright.job.translate import findings_of
from airwright.language import message


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
        studio.catalog()
    except ValidationError as problem:
        return StudioReading(None, located(findings_of(problem, (), Studio), places))
    except UnknownName as problem:
        found = error(
            "unknown-size", "weighed", str(problem), message("Use a size of the catalogue.")
        )
        return StudioReading(None, located([found], places))
    return StudioReading(studio, ())
