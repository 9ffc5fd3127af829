"""Reading our own TOML files: one table model, or all findings at once; never an exception."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any, Generic, TypeVar

from pydantic import ValidationError

from airwright.job import locate
from airwright.job.findings import Finding, error, has_errors
from airwright.job.pieces import Table
from airwright.job.reading import located, read_toml
from airwright.job.translate import findings_of
from airwright.language import message
from airwright.params import WRITTEN

LARGEST_LIST = 80_000_000
"""Bytes; a price list of 200,000 lines has about 20 million."""

Read = TypeVar("Read", bound=Table)


@dataclass(frozen=True, slots=True)
class FileReading(Generic[Read]):
    """A file's table, or None with the errors that forbid it; cautions may come with both."""

    table: Read | None
    findings: tuple[Finding, ...]


def read_table(
    data: bytes,
    model: type[Read],
    form: str,
    what: str,
    check: Callable[[Read], Iterable[Finding]],
) -> FileReading[Read]:
    """Read a file of one of our formats.

    Args:
        data: the file's bytes.
        model: its table; the key `format` is checked apart.
        form: the format's name, "airwright-stock/1".
        what: what kind of file it is, "stock file".
        check: finds what the single keys do not show.
    """
    text, raw, trouble = read_toml(data, LARGEST_LIST)
    if trouble is not None:
        return FileReading(None, (_of_this_kind(trouble, form, what),))
    if raw.get("format") != form:
        found = error(
            "format",
            "format",
            message("This is no {what} of a format this version knows.", what=what),
            message('Put this at the top: format = "{form}"', form=form),
        )
        return FileReading(None, _placed([found], text))
    table: Read | None = None
    try:
        table = model.model_validate(raw, context=WRITTEN)
        findings = list(check(table))
    except ValidationError as problem:
        findings = findings_of(problem, (), model)
    if has_errors(findings):
        table = None
    return FileReading(table, _placed(findings, text) if findings else ())


def _of_this_kind(trouble: Finding, form: str, what: str) -> Finding:
    """What is wrong with the file as such, with the cure for a file of this kind."""
    if trouble.code in ("empty-file", "not-text"):
        mend = message('A {what} starts with: format = "{form}"', what=what, form=form)
        return replace(trouble, mend=mend)
    if trouble.code == "file-too-large":
        return replace(
            trouble,
            what=message("This file is larger than {most} MB.", most=LARGEST_LIST // 1_000_000),
            mend=message("Keep the lines you buy by, and leave the others out."),
        )
    return trouble


def _placed(findings: Iterable[Finding], text: str) -> tuple[Finding, ...]:
    places: dict[Any, Any] = {}
    try:
        places = locate.positions(text)
    except (ValueError, IndexError, RecursionError):
        places = {}
    return located(findings, places)
