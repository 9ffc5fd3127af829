"""Reading a job file: bytes in, a Job or all findings at once out; never an exception."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError

from airwright.job import crosscheck, locate
from airwright.job.findings import Finding, error, has_errors, in_order, place_of
from airwright.job.models import FORMAT, Job
from airwright.job.pieces import PieceSpec

LARGEST_FILE = 2_000_000
"""Bytes; the largest job we ever wrote has 60 kB."""

MOST_PIECES = 500

Kinds = Mapping[str, type[PieceSpec]]


@dataclass(frozen=True, slots=True)
class Reading:
    """What came of reading a job file.

    Attributes:
        job: the job, None when any finding is an error.
        findings: everything wrong or risky in the file, errors first.
        text: the file's text, comments and all; "" when it was no text.
        places: path → (line, column) in the text.
    """

    job: Job | None
    findings: tuple[Finding, ...]
    text: str
    places: Mapping[locate.Path, locate.Position]

    def located(self, findings: Iterable[Finding]) -> tuple[Finding, ...]:
        """Later findings about this job, given their line and column."""
        by_place = {place_of(path): spot for path, spot in self.places.items()}
        return in_order(_with_position(finding, by_place) for finding in findings)


def read_job(data: bytes | str, kinds: Kinds) -> Reading:
    """Read a job file.

    Args:
        data: the file's bytes (or its text).
        kinds: piece kinds by name, from `airwright.build.pieces`.

    Returns:
        The job or, when it has errors, all of them at once.
    """
    text, trouble = _text_of(data)
    if trouble is not None:
        return Reading(None, (trouble,), "", {})
    try:
        raw = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as problem:
        return Reading(None, (_syntax(problem, text),), text, {})
    try:
        places = locate.positions(text)
    except (ValueError, IndexError, RecursionError):
        places = {}
    job, findings = _validate(raw, kinds)
    if job is not None:
        findings += crosscheck.findings(job)
    reading = Reading(None if has_errors(findings) else job, (), text, places)
    return Reading(reading.job, reading.located(findings), text, places)


def _text_of(data: bytes | str) -> tuple[str, Finding | None]:
    if len(data) > LARGEST_FILE:
        return "", error(
            "file-too-large",
            "",
            f"This file has {len(data) / 1e6:.0f} MB; a job file has a few thousand characters.",
            "Check that you picked the job file and not a picture or a film.",
        )
    if isinstance(data, bytes):
        if b"\0" in data[:4096]:
            return "", error(
                "not-text",
                "",
                "This file is not text.",
                "Pick a job file, or start one with: airwright new FILE",
            )
        try:
            data = data.decode("utf-8-sig")
        except UnicodeDecodeError as problem:
            line = data[: problem.start].count(b"\n") + 1
            return "", error(
                "encoding",
                "",
                f"A character on line {line} is not written in UTF-8.",
                "Save the file again with the encoding UTF-8.",
            ).at(line, None)
    if not data.strip():
        return "", error(
            "empty-file",
            "",
            "This file is empty.",
            "Start one that runs with: airwright new FILE",
        )
    return data.replace("\r\n", "\n"), None


def _syntax(problem: Exception, text: str) -> Finding:
    import re

    message = str(problem)
    spot = re.search(r"\(at line (\d+), column (\d+)\)", message)
    line = int(spot[1]) if spot else text.count("\n") + 1
    column = int(spot[2]) if spot else 1
    plain = re.sub(r"\s*\(at .*\)$", "", message)
    return error(
        "syntax",
        "",
        f"The file cannot be read here: {plain[:1].lower()}{plain[1:]}.",
        "Check quotes, brackets and the = sign on this line and the one before.",
    ).at(line, column)


def _validate(raw: dict[str, Any], kinds: Kinds) -> tuple[Job | None, list[Finding]]:
    findings: list[Finding] = []
    raw = dict(raw)
    if raw.get("format") != FORMAT:
        findings.append(_format_finding(raw.get("format")))
        raw["format"] = FORMAT
    pieces, trouble = _read_pieces(raw.pop("pieces", []), kinds)
    findings += trouble
    if not pieces and not trouble:
        findings.append(
            error(
                "no-pieces",
                "pieces",
                "The job has no pieces.",
                "Add one with a [[pieces]] heading; airwright new FILE shows how.",
            )
        )
    try:
        job = Job.model_validate({**raw, "pieces": pieces})
    except ValidationError as problem:
        return None, findings + _findings_of(problem, (), Job)
    return job, findings


def _format_finding(found: object) -> Finding:
    if found is None:
        what = "The file does not say which format it has."
    else:
        what = f'"{str(found)[:40]}" is a format this version does not know.'
    return error("format", "format", what, f'Put this at the top: format = "{FORMAT}"')


def _read_pieces(raw: object, kinds: Kinds) -> tuple[list[PieceSpec], list[Finding]]:
    if not isinstance(raw, list) or not all(isinstance(item, dict) for item in raw):
        what = "Pieces are not written as tables."
        return [], [error("pieces", "pieces", what, "Start each piece with a line [[pieces]].")]
    if len(raw) > MOST_PIECES:
        what = f"{len(raw)} pieces are more than one job can hold."
        return [], [error("too-many-pieces", "pieces", what, f"Keep to {MOST_PIECES} pieces.")]
    pieces, findings = [], []
    for index, table in enumerate(raw):
        spec = kinds.get(str(table.get("kind")))
        if spec is None:
            findings.append(_kind_finding(index, table.get("kind"), kinds))
            continue
        try:
            pieces.append(spec.model_validate(table))
        except ValidationError as problem:
            findings += _findings_of(problem, ("pieces", index), spec)
    return pieces, findings


def _kind_finding(index: int, found: object, kinds: Kinds) -> Finding:
    known = ", ".join(f'"{kind}"' for kind in kinds)
    if found is None:
        what = "This piece does not say which kind it is."
        return error("missing", f"pieces[{index}]", what, f'Add kind = "…" with one of {known}.')
    near = get_close_matches(str(found), kinds, n=1)
    did = f'Did you mean "{near[0]}"? ' if near else ""
    what = f'There is no kind of piece "{str(found)[:40]}".'
    return error("unknown-kind", f"pieces[{index}].kind", what, f"{did}Known kinds: {known}.")


def _findings_of(
    problem: ValidationError, prefix: locate.Path, model: type[BaseModel]
) -> list[Finding]:
    return [
        _finding_of(item, (*prefix, *_without_tags(item["loc"])), model, item["loc"])
        for item in problem.errors(include_url=False)
    ]


def _without_tags(loc: tuple[Any, ...]) -> locate.Path:
    """pydantic names the branch of a union in the path ("list[str]", "str"); the file does not."""
    tags = {"str", "ShadeSpec", "list[str]", "dict[str,list[str]]", "[key]"}
    return tuple(part for part in loc if part not in tags)


def _finding_of(
    item: Any, path: locate.Path, model: type[BaseModel], loc: tuple[Any, ...]
) -> Finding:
    place, kind, context = place_of(path), item["type"], item.get("ctx", {})
    key = path[-1] if path else ""
    if "mend" in context:
        return error(kind.replace("_", "-"), place, context["what"], context["mend"])
    if kind == "missing":
        help_text = _help_for(model, loc)
        return error("missing", place, f'"{key}" is missing.', f"Add it. {help_text}".strip())
    if kind == "extra_forbidden":
        known = _keys_of(model, loc)
        near = get_close_matches(str(key), known, n=1, cutoff=0.5)
        mend = f'Did you mean "{near[0]}"?' if near else f"Known keys here: {', '.join(known)}."
        return error("unknown-key", place, f'"{key}" is no key here.', mend)
    if kind == "literal_error":
        return _choice(place, item)
    return error(kind.replace("_", "-"), place, *_plainly(kind, item, model, loc))


def _choice(place: str, item: Any) -> Finding:
    expected = item["ctx"]["expected"].replace("'", '"')
    words = [word.strip(' "') for word in expected.replace(" or ", ", ").split(",")]
    near = get_close_matches(str(item["input"]), words, n=1)
    did = f'Did you mean "{near[0]}"? ' if near else ""
    what = f'"{str(item["input"])[:40]}" is no choice here.'
    return error("unknown-choice", place, what, f"{did}Use {expected}.")


def _plainly(kind: str, item: Any, model: type[BaseModel], loc: tuple[Any, ...]) -> tuple[str, str]:
    """Pydantic's other errors in a decorator's words."""
    shown = str(item.get("input"))[:40]
    help_text = _help_for(model, loc)
    if kind.startswith(("int", "float", "finite")):
        return f'"{shown}" is no number that fits here.', f"Use a plain number. {help_text}".strip()
    if kind.startswith("date"):
        return f'"{shown}" is no date.', "Write it as year-month-day: 2027-05-22"
    if kind == "string_pattern_mismatch":
        pattern = item["ctx"]["pattern"]
        if "#" in pattern:
            return f'"{shown}" is no colour.', 'Write it like "#f0705a".'
        return f'"{shown}" is no time of day.', 'Write it like "06:30".'
    if kind in ("string_type", "string_too_short"):
        return "This must be words in quotes.", help_text or "Write something here."
    if kind in ("list_type", "tuple_type"):
        return "This must be a list.", 'Write it like ["coral", "sand"].'
    if kind == "too_short":
        return "This list is empty.", help_text or "Name at least one."
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return "This must be a table of keys.", "Write it like { key = value }."
    return f'"{shown}" does not fit here.', help_text or "See the job-file page of the docs."


def _model_at(model: type[BaseModel], loc: tuple[Any, ...]) -> type[BaseModel]:
    """The model whose field `loc` ends in; the outermost one where the path cannot be followed."""
    from typing import get_args

    found = model
    for part in loc[:-1]:
        field = found.model_fields.get(str(part))
        if field is None:
            continue
        stack: list[Any] = [field.annotation]
        while stack:
            item = stack.pop()
            if isinstance(item, type) and issubclass(item, BaseModel):
                found = item
                break
            stack.extend(get_args(item))
    return found


def _keys_of(model: type[BaseModel], loc: tuple[Any, ...]) -> list[str]:
    return list(_model_at(model, loc).model_fields)


def _help_for(model: type[BaseModel], loc: tuple[Any, ...]) -> str:
    from airwright.job.params import Param

    if not loc:
        return ""
    names = [part for part in loc if isinstance(part, str)]
    field = _model_at(model, loc).model_fields.get(names[-1]) if names else None
    for extra in field.metadata if field else ():
        if isinstance(extra, Param):
            return extra.help
    return ""


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
