"""Forms of rows, made from the parameters of their models, and what was typed into them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal
from typing import Any, Final

from pydantic import BaseModel, ValidationError

from airwright import units
from airwright.catalog.models import GRAM_KG, Pack
from airwright.desk.editing.edits import EditError
from airwright.job.findings import Finding
from airwright.job.records import FieldSpec, records
from airwright.job.translate import findings_of
from airwright.language import message
from airwright.money.reading import read_amount
from airwright.params import WRITTEN
from airwright.units import INCH_M, LENGTH, MASS, VOLUME, System

MOST_PACKS: Final = 12
Wrong = tuple[str, str] | tuple[()]
"""What does not fit, and the cure; empty where all is well."""


def fields_of(model: type[BaseModel]) -> dict[str, FieldSpec]:
    """The plain keys of a row, in order."""
    return {row.name: row for row in records(model) if "." not in row.path}


def choices_of(spec: FieldSpec) -> tuple[tuple[str, str], ...]:
    """The words a field offers: as stored, and as people say them."""
    if spec.type == "yes or no":
        return (("no", "no"), ("yes", "yes"))
    said = dict(spec.words)
    return tuple((word, said.get(word, word)) for word in spec.choices)


def widget_of(spec: FieldSpec) -> str:
    """What a field takes: "money", "whole number", "number", "date", "colour" or "text"."""
    if spec.exact:
        return "money"
    plain = ("whole number", "number", "date")
    return spec.widget or (spec.type if spec.type in plain else "text")


def hint_of(spec: FieldSpec) -> str:
    """What holds when nothing is written, or how it is written."""
    if spec.type == "yes or no":
        return "yes" if spec.default == "true" else "no"
    default = spec.default or ""
    return dict(spec.words).get(default, default) or spec.example


def read(spec: FieldSpec, words: str) -> Any:
    """What was typed, as the studio file stores it; None where nothing was.

    Raises:
        EditError: it cannot be read; whether it fits is asked of the row's model (`amiss`).
    """
    words = words.strip()
    if not words:
        if spec.required:
            example = (
                message('Write it like "{example}".', example=spec.example)
                if spec.example
                else spec.help
            )
            raise EditError(message("This is empty."), example)
        return None
    if spec.kind is not None:
        return _quantity(spec, spec.kind, words)
    if spec.type == "yes or no":
        return words == "yes" if words in ("yes", "no") else words
    if spec.type in ("number", "whole number"):
        return _figure(spec, words)
    if spec.type == "date":
        return _date(words)
    if spec.name == "currency":
        return _text(words).upper()
    return _text(words).lower() if spec.widget == "colour" else _text(words)


def _date(words: str) -> dt.date:
    try:
        return dt.date.fromisoformat(words)
    except ValueError:
        raise EditError(
            message('"{text}" is no date.', text=words[:20]), message("Write it as 2027-05-22.")
        ) from None


def _text(words: str) -> str:
    words = " ".join(words.split())
    if any(not char.isprintable() for char in words):
        raise EditError(
            message("There is a character in it that cannot be seen."),
            message("Type it anew instead of pasting it."),
        )
    return words


def _quantity(spec: FieldSpec, kind: units.Kind, words: str) -> float | str:
    try:
        value = units.parse(words, kind)
    except units.UnitError as problem:
        raise EditError(
            problem.what,
            message('Write it like "{example}", with its unit.', example=hint_of(spec)),
        ) from problem
    return round(value / spec.per, 6) if spec.per else words


def _figure(spec: FieldSpec, words: str) -> float | int | str:
    percent = spec.is_share and words.endswith("%")
    amount = read_amount(words.rstrip("% ") if percent else words)
    whole = spec.type == "whole number"
    if amount is None or (whole and amount != int(amount)):
        raise EditError(
            _none_such(spec, words[:40]),
            message('Write it like "{example}".', example=hint_of(spec)),
        )
    if percent:
        amount /= 100
    if spec.exact:
        cents = Decimal("0.01")
        return str(amount if amount != amount.quantize(cents) else amount.quantize(cents))
    return int(amount) if whole else round(float(amount), 6)


def _none_such(spec: FieldSpec, words: str) -> str:
    if spec.exact:
        return message('"{words}" is no amount.', words=words)
    if spec.is_share:
        return message('"{words}" is no share.', words=words)
    if spec.type == "whole number":
        return message('"{words}" is no whole number.', words=words)
    return message('"{words}" is no number.', words=words)


def amiss(model: type[BaseModel], values: Mapping[str, Any]) -> dict[str, Wrong]:
    """What the model of a row says of the values given, by key; "" is the row as a whole."""
    given = {key: value for key, value in values.items() if value is not None}
    try:
        model.model_validate(given, context=WRITTEN)
    except ValidationError as problem:
        found = findings_of(problem, (), model)
        return {f.place: _told(f, model) for f in found if f.place in given or not f.place}
    return {}


def _told(finding: Finding, model: type[BaseModel]) -> tuple[str, str]:
    spec = fields_of(model).get(finding.place)
    if finding.code == "out-of-bounds" and spec is not None and spec.is_share:
        return finding.what, message(
            "Use {least} to {most}.",
            least=f"{float(spec.low or 0):.0%}",
            most=f"{float(spec.high or 1):.0%}",
        )
    return finding.what, finding.mend


def shown(spec: FieldSpec, value: Any, system: System) -> str:
    """A stored value as the decorator would write it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if spec.kind is not None:
        return _shown_quantity(spec, spec.kind, value, system)
    if spec.is_share and not spec.exact:
        return f"{float(value) * 100:.6g} %"
    return f"{float(value):.6g}" if spec.type == "number" and not spec.exact else str(value)


def _shown_quantity(spec: FieldSpec, kind: units.Kind, value: Any, system: System) -> str:
    if isinstance(value, str):
        return value
    if kind is VOLUME and float(value) < 0.1:
        return f"{float(value) * 1000:.6g} L"  # as it is stamped on cylinders
    if not spec.per:
        return units.write(float(value), kind)
    if kind is LENGTH and spec.per == INCH_M:
        return f"{float(value):.6g} in"
    if kind is MASS and (spec.per == GRAM_KG or float(value) < 0.1):
        return f"{float(value) * spec.per * 1000:.6g} g"
    return units.show(float(value) * spec.per, kind, system)


def read_packs(pairs: list[tuple[str, str]]) -> tuple[list[dict[str, Any]], dict[int, Wrong]]:
    """Bags as sold, smallest first, and what is wrong by line; empty lines are left out."""
    packs: list[dict[str, Any]] = []
    wrong: dict[int, Wrong] = {}
    fields = fields_of(Pack)
    for at, (count, price) in enumerate(pairs):
        if not count.strip() and not price.strip():
            continue
        try:
            pack = {"count": read(fields["count"], count), "price": read(fields["price"], price)}
        except EditError as problem:
            wrong[at] = (problem.what, problem.mend)
            continue
        found = amiss(Pack, pack)
        if found:
            wrong[at] = next(iter(found.values()))
        elif any(other["count"] == pack["count"] for other in packs):
            wrong[at] = (
                message("This bag is there twice."),
                message("Empty one of the two lines."),
            )
        packs.append(pack)
    if not packs and not wrong:
        wrong[0] = (
            message("No bag is named."),
            message("Write how many are in one, and its price; 1 for singles."),
        )
    return sorted(packs, key=lambda pack: int(pack["count"])), wrong
