"""Reading a job file: bytes in, a Job or all findings at once out; never an exception."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from airwright.job import crosscheck, locate
from airwright.job.findings import (
    Finding,
    error,
    has_errors,
    hint,
    in_order,
    in_part,
    place_of,
)
from airwright.job.models import FORMAT, Job
from airwright.job.pieces import PieceSpec
from airwright.job.translate import findings_of
from airwright.language import message
from airwright.nearest import nearest
from airwright.params import WRITTEN

LARGEST_FILE = 1_000_000
"""Bytes; the largest job we ever wrote has 60 kB."""

MOST_PIECES = 500

MOST_KEY_PARTS = 60
"""Parts of a dotted key; no key of ours has more than five."""

_KEY_PART = re.compile(r"[ \t]*[\w\"'-]+[ \t]*")

Kinds = Mapping[str, type[PieceSpec]]


@dataclass(frozen=True, slots=True, eq=False)
class Broken:
    """A piece of a known kind that could not be read whole.

    Attributes:
        place: "pieces[2]".
        table: as written.
        spec: the model of its kind.
    """

    place: str
    table: Mapping[str, Any]
    spec: type[PieceSpec]


@dataclass(frozen=True, slots=True)
class Reading:
    """What came of reading a job file.

    Attributes:
        job: the job, None when any finding is an error.
        draft: the job with those pieces that could be read, for checks that can go on in
            spite of errors elsewhere; None when not even its head could be read.
        piece_places: "pieces[2]" for each piece of the draft.
        broken: the pieces that are not in the draft though their kind is known.
        findings: everything wrong or risky in the file, errors first.
        text: the file's text, comments and all; "" when it was no text.
        places: path → (line, column) in the text.
    """

    job: Job | None
    findings: tuple[Finding, ...]
    text: str
    places: Mapping[locate.Path, locate.Position]
    draft: Job | None = None
    piece_places: tuple[str, ...] = ()
    broken: tuple[Broken, ...] = ()

    def located(self, findings: Iterable[Finding]) -> tuple[Finding, ...]:
        """Later findings about this job, given their line and column."""
        return located(findings, self.places)


def read_job(data: bytes | str, kinds: Kinds, *, usual_date: dt.date | None = None) -> Reading:
    """Read a job file.

    Args:
        data: the file's bytes (or its text).
        kinds: piece kinds by name, from `airwright.decor.pieces`.
        usual_date: stands in where the file names no date, and a hint says so; without it a
            missing date is an error.

    Returns:
        The job or, when it has errors, all of them at once.
    """
    text, raw, trouble = read_toml(data)
    if trouble is not None:
        return Reading(None, (trouble,), text, {})
    places = _places(text)
    raw, undated = _dated(named_doubles(raw), usual_date)
    draft, read, findings = _validate(raw, kinds)
    findings += undated
    job = None if has_errors(findings) else draft
    at = tuple(place for place, _ in read.pieces)
    return Reading(job, located(findings, places), text, places, draft, at, tuple(read.broken))


def reading_of(job: Job) -> Reading:
    """A job that is no file (any more), as if it had been read."""
    places = tuple(f"pieces[{at}]" for at in range(len(job.pieces)))
    found = in_order(crosscheck.findings(job, places, [piece.name for piece in job.pieces]))
    return Reading(None if has_errors(found) else job, found, "", {}, job, places)


def named_doubles(raw: dict[str, Any]) -> dict[str, Any]:
    """A job whose pieces name every shade: one written as two balloons in its place gets a name.

    `shade = { inside = "coral", outside = "white" }` becomes the shade "coral in white".
    """
    shades = raw.get("shades", {})
    found: dict[str, Any] = {}
    pieces = _named(raw.get("pieces"), found)
    if not found or not isinstance(shades, dict):
        return raw
    return {**raw, "pieces": pieces, "shades": {**found, **shades}}


def _named(value: object, found: dict[str, Any]) -> object:
    if isinstance(value, list):
        return [_named(part, found) for part in value]
    if not isinstance(value, dict):
        return value
    if set(value) == {"inside", "outside"} and all(isinstance(v, str) for v in value.values()):
        name = message("{inside} in {outside}", **value)
        found[str(name)] = value
        return str(name)
    return {key: _named(part, found) for key, part in value.items()}


NO_DATE = "no-date"


def _dated(raw: dict[str, Any], usual: dt.date | None) -> tuple[dict[str, Any], list[Finding]]:
    head = raw.get("job")
    if usual is None or not isinstance(head, dict) or "date" in head:
        return raw, []
    what = "There is no date yet; counts and price are for an ordinary day."
    found = hint(NO_DATE, "job.date", what, "Enter the date before offer and papers are made.")
    return {**raw, "job": {**head, "date": usual}}, [found]


def read_toml(
    data: bytes | str, largest: int = LARGEST_FILE
) -> tuple[str, dict[str, Any], Finding | None]:
    """Text and tables of a TOML file, or the one finding that says why it cannot be read.

    Args:
        data: the file's bytes (or its text).
        largest: the most it may hold [bytes].
    """
    text, trouble = _text_of(data, largest)
    if trouble is not None:
        return "", {}, trouble
    line = _line_of_deep_key(text)
    if line is not None:  # tomllib would take minutes
        what = message("A key here has too many parts.")
        found = error("syntax", "", what, message("Write one key a line."))
        return text, {}, found.at(line, None)
    try:
        return text, tomllib.loads(text), None
    except (ValueError, RecursionError) as problem:  # not TOML; a number of 5,000 digits
        return text, {}, _syntax(problem, text)


def _line_of_deep_key(text: str) -> int | None:
    """The line of a dotted key that nobody wrote by hand, counted from 1."""
    for at, line in enumerate(text.split("\n"), 1):
        if line.count(".") < MOST_KEY_PARTS:
            continue
        run = 0
        for part in line.split("."):
            run = run + 1 if _KEY_PART.fullmatch(part) else 0
            if run == MOST_KEY_PARTS:
                return at
    return None


def _places(text: str) -> dict[locate.Path, locate.Position]:
    """Positions in the text; none where nesting is too deep to follow."""
    try:
        return locate.positions(text)
    except (ValueError, IndexError, RecursionError):
        return {}


def located(
    findings: Iterable[Finding], places: Mapping[locate.Path, locate.Position]
) -> tuple[Finding, ...]:
    """Findings given their line and column, in order."""
    told = in_part(tuple(findings))
    by_place = {place_of(path): spot for path, spot in places.items()} if told else {}
    return in_order(_with_position(finding, by_place) for finding in told)


def _text_of(data: bytes | str, largest: int) -> tuple[str, Finding | None]:
    if len(data) > largest:
        return "", error(
            "file-too-large",
            "",
            message(
                "This file has {value} MB; a job file has a few thousand characters.",
                value=f"{len(data) / 1000000.0:.0f}",
            ),
            message("Check that you picked the job file and not a picture or a film."),
        )
    text = data if isinstance(data, str) else ""
    if isinstance(data, bytes):
        if b"\0" in data[:4096]:
            return "", error(
                "not-text",
                "",
                message("This file is not text."),
                message("Pick a job file, or start one with: airwright new FILE"),
            )
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as problem:
            line = data[: problem.start].count(b"\n") + 1
            return "", error(
                "encoding",
                "",
                message("A character on line {line} is not written in UTF-8.", line=line),
                message("Save the file again with the encoding UTF-8."),
            ).at(line, None)
    if not text.strip():
        return "", error(
            "empty-file",
            "",
            message("This file is empty."),
            message("Start one that runs with: airwright new FILE"),
        )
    return text.replace("\r\n", "\n"), None


def _syntax(problem: Exception, text: str) -> Finding:
    if isinstance(problem, RecursionError):
        what = message("The brackets in this file lie too deep in each other.")
        mend = message("Write lists in lists two or three deep at the most.")
        return error("syntax", "", what, mend)
    said = str(problem)
    if "digit" in said and not isinstance(problem, tomllib.TOMLDecodeError):
        what = message("A number in this file is too long to be read.")
        return error("syntax", "", what, message("Use a smaller one."))
    spot = re.search(r"\(at line (\d+), column (\d+)\)", said)
    line = int(spot[1]) if spot else text.count("\n") + 1
    column = int(spot[2]) if spot else 1
    plain = re.sub(r"\s*\(at .*\)$", "", said)
    return error(
        "syntax",
        "",
        message(
            "The file cannot be read here: {lower}{plain}.",
            lower=plain[:1].lower(),
            plain=plain[1:],
        ),
        message("Check quotes, brackets and the = sign on this line and the one before."),
    ).at(line, column)


def _validate(raw: dict[str, Any], kinds: Kinds) -> tuple[Job | None, _Pieces, list[Finding]]:
    findings: list[Finding] = []
    raw = dict(raw)
    if raw.get("format") != FORMAT:
        findings.append(_format_finding(raw.get("format")))
        raw["format"] = FORMAT
    raw_pieces = raw.pop("pieces", [])
    read = _read_pieces(raw_pieces, kinds)
    findings += read.findings
    if not read.pieces and not read.findings:
        findings.append(
            error(
                "no-pieces",
                "pieces",
                message("The job has no pieces."),
                message("Add one with a [[pieces]] heading; airwright new FILE shows how."),
            )
        )
    places = tuple(place for place, _ in read.pieces)
    try:
        whole = {**raw, "pieces": [piece for _, piece in read.pieces]}
        job = Job.model_validate(whole, context=WRITTEN)
    except ValidationError as problem:
        return None, read, findings + findings_of(problem, (), Job)
    return job, read, findings + crosscheck.findings(job, places, _names(raw_pieces))


def _names(raw_pieces: object) -> list[str]:
    """Names of all pieces in the file, also of those with errors."""
    rows = raw_pieces if isinstance(raw_pieces, list) else []
    return [str(row["name"]) for row in rows if isinstance(row, dict) and "name" in row]


def _format_finding(found: object) -> Finding:
    if found is None:
        what = message("The file does not say which format it has.")
    else:
        what = message('"{str}" is a format this version does not know.', str=str(found)[:40])
    return error(
        "format", "format", what, message('Put this at the top: format = "{format}"', format=FORMAT)
    )


@dataclass
class _Pieces:
    """The pieces of a file: those that can be read, those that cannot, and why."""

    pieces: list[tuple[str, PieceSpec]] = field(default_factory=list)
    broken: list[Broken] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def _read_pieces(raw: object, kinds: Kinds) -> _Pieces:
    if not isinstance(raw, list) or not all(isinstance(item, dict) for item in raw):
        what = message("Pieces are not written as tables.")
        mend = message("Start each piece with a line [[pieces]].")
        return _Pieces(findings=[error("pieces", "pieces", what, mend)])
    if len(raw) > MOST_PIECES:
        what = message("{raw} pieces are more than one job can hold.", raw=len(raw))
        mend = message("Keep to {most_pieces} pieces.", most_pieces=MOST_PIECES)
        return _Pieces(findings=[error("too-many-pieces", "pieces", what, mend)])
    read = _Pieces()
    for index, table in enumerate(raw):
        place = f"pieces[{index}]"
        spec = kinds.get(str(table.get("kind")))
        if spec is None:
            read.findings.append(_kind_finding(index, table.get("kind"), kinds))
            continue
        try:
            read.pieces.append((place, spec.model_validate(table, context=WRITTEN)))
        except ValidationError as problem:
            read.findings += findings_of(problem, ("pieces", index), spec)
            read.broken.append(Broken(place, table, spec))
    return read


def _kind_finding(index: int, found: object, kinds: Kinds) -> Finding:
    known = ", ".join(f'"{kind}"' for kind in kinds)
    if found is None:
        what = message("This piece does not say which kind it is.")
        return error(
            "missing",
            f"pieces[{index}]",
            what,
            message('Add kind = "…" with one of {known}.', known=known),
        )
    near = nearest(str(found), kinds)
    did = message('Did you mean "{near}"? ', near=near[0]) if near else ""
    what = message('There is no kind of piece "{str}".', str=str(found)[:40])
    return error(
        "unknown-kind",
        f"pieces[{index}].kind",
        what,
        message("{did}Known kinds: {known}.", did=did, known=known),
    )


def _with_position(finding: Finding, by_place: Mapping[str, locate.Position]) -> Finding:
    if finding.line is not None:
        return finding
    place = finding.place
    while place:
        if place in by_place:
            return finding.at(*by_place[place])
        cut = max(place.rfind("."), place.rfind("["))
        place = place[:cut] if cut > 0 else ""
    return finding
