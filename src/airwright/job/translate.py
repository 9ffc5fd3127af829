"""Pydantic's validation errors as findings in a decorator's words, with their cures."""

from __future__ import annotations

from itertools import islice
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from airwright.job import locate
from airwright.job.findings import MOST_FINDINGS, Finding, error, place_of
from airwright.language import message
from airwright.nearest import nearest
from airwright.params import Param


def findings_of(
    problem: ValidationError, prefix: locate.Path, model: type[BaseModel]
) -> list[Finding]:
    """Findings for all errors of one table.

    Args:
        problem: what pydantic found.
        prefix: path of the table in the file.
        model: the table, for suggestions and help texts.
    """
    # One more than is told, so that whoever tells them knows that there are more.
    told = islice(problem.errors(include_url=False), MOST_FINDINGS + 1)
    return [
        _finding_of(item, (*prefix, *_without_tags(item["loc"])), model, item["loc"])
        for item in told
    ]


def _without_tags(loc: tuple[Any, ...]) -> locate.Path:
    """pydantic names the branch of a union in the path ("list[str]", "str"); the file does not."""
    tags = {"str", "ShadeSpec", "DoubleSpec", "list[str]", "dict[str,list[str]]", "[key]"}
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
        return error(
            "missing",
            place,
            message('"{key}" is missing.', key=key),
            f"Add it. {help_text}".strip(),
        )
    if kind == "extra_forbidden":
        known = _keys_of(model, loc)
        near = nearest(str(key), known)
        mend = (
            message('Did you mean "{near}"?', near=near[0])
            if near
            else message("Known keys here: {known}.", known=", ".join(known))
        )
        return error("unknown-key", place, message('"{key}" is no key here.', key=key), mend)
    if kind in ("literal_error", "enum"):
        return _choice(place, item)
    return error(kind.replace("_", "-"), place, *_plainly(kind, item, model, loc))


def _choice(place: str, item: Any) -> Finding:
    expected = item["ctx"]["expected"].replace("'", '"')
    words = [word.strip(' "') for word in expected.replace(" or ", ", ").split(",")]
    near = nearest(str(item["input"]), words)
    did = message('Did you mean "{near}"? ', near=near[0]) if near else ""
    what = message('"{str}" is no choice here.', str=str(item["input"])[:40])
    return error(
        "unknown-choice", place, what, message("{did}Use {expected}.", did=did, expected=expected)
    )


def _plainly(kind: str, item: Any, model: type[BaseModel], loc: tuple[Any, ...]) -> tuple[str, str]:
    """Pydantic's other errors in a decorator's words."""
    shown = str(item.get("input"))[:40]
    help_text = _help_for(model, loc)
    if kind.startswith(("int", "float", "finite", "decimal")):
        return message(
            '"{shown}" is no number that fits here.', shown=shown
        ), f"Use a plain number. {help_text}".strip()
    if kind.startswith("date"):
        return message(
            '"{shown}" is no date.', shown=shown
        ), "Write it as year-month-day: 2027-05-22"
    if kind == "string_pattern_mismatch":
        pattern = item["ctx"]["pattern"]
        if "#" in pattern:
            return message('"{shown}" is no color.', shown=shown), message(
                'Write it like "#f0705a".'
            )
        return message('"{shown}" is no time of day.', shown=shown), message(
            'Write it like "06:30".'
        )
    if kind in ("string_type", "string_too_short"):
        return message("This must be words in quotes."), help_text or message(
            "Write something here."
        )
    if kind in ("list_type", "tuple_type"):
        return message("This must be a list."), message('Write it like ["coral", "sand"].')
    if kind == "too_short":
        return message("This list is empty."), help_text or message("Name at least one.")
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return message("This must be a table of keys."), message("Write it like {{ key = value }}.")
    return message('"{shown}" does not fit here.', shown=shown), help_text or message(
        "See the job-file page of the docs."
    )


def _model_at(model: type[BaseModel], loc: tuple[Any, ...]) -> type[BaseModel]:
    """The model whose field `loc` ends in; the outermost one where the path cannot be followed."""
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
    if not loc:
        return ""
    names = [part for part in loc if isinstance(part, str)]
    field = _model_at(model, loc).model_fields.get(names[-1]) if names else None
    for extra in field.metadata if field else ():
        if isinstance(extra, Param):
            return extra.help
    return ""
