"""Fields of a form, made from parameter records."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from airwright.catalog import default_catalog
from airwright.catalog.models import Balloon, Hardware, StockShade
from airwright.decor.pieces import SPECS
from airwright.desk.steppers import Steppers, steppers_of
from airwright.desk.way import Way, way_of
from airwright.job.findings import Finding, place_of
from airwright.job.records import FieldSpec, job_records, records, studio_records
from airwright.job.studio import Cylinder
from airwright.language import file_word, joined, message


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a panel.

    Attributes:
        path: of its key, as JSON for the browser and for the form.
        widget: text, wide, area, number, choice, date, lines, shade or shades.
        steppers: where the text is balloon notation, the same as steppers.
        value: as it stands in the file, "" when it does not.
        help: a sentence below it, "" where it would only repeat the label.
        hint: what holds when nothing is written, or how it is written.
    """

    path: str
    label: str
    widget: str
    value: str
    choices: tuple[str, ...]
    help: str
    hint: str
    required: bool
    rare: bool
    findings: tuple[Finding, ...]
    steppers: Steppers | None = None

    @property
    def is_wide(self) -> bool:
        """Whether it takes the whole width of the panel."""
        return self.widget in ("lines", "area", "shades", "wide") or self.steppers is not None

    @property
    def worst(self) -> str:
        """The gravest of its findings: only an error may look like one."""
        found = {finding.severity for finding in self.findings}
        return next((word for word in ("error", "caution", "hint") if word in found), "")


@dataclass(frozen=True, slots=True)
class Group:
    """Fields under one heading; an optional one can be put in or taken out as a whole."""

    title: str
    fields: tuple[Field, ...]
    path: str = ""
    optional: bool = False
    present: bool = True
    start: str = ""
    way: Way | None = None


def groups_of(
    rows: tuple[FieldSpec, ...],
    table: Mapping[str, Any],
    prefix: tuple[str | int, ...],
    findings: tuple[Finding, ...],
    title: str = message("Piece"),
) -> list[Group]:
    """Records as groups of fields: plain keys by their heading (else `title`), then each table."""
    inner: dict[str, list[FieldSpec]] = {}
    for row in rows:
        if "." in row.path:
            inner.setdefault(row.path.split(".")[0], []).append(row)
    plain: dict[str, list[Field]] = {}
    nested: list[Group] = []
    for row in rows:
        if "." in row.path or _is_settled(row):
            continue
        value, path = table.get(row.name), (*prefix, row.name)
        if row.name in inner:
            nested += _tables(row, inner[row.name], value, path, findings)
        else:
            plain.setdefault(row.group or title, []).extend(_fields(row, value, path, findings))
    groups = [Group(heading, tuple(fields)) for heading, fields in plain.items()]
    drawn = [group for group in nested if group.way is not None]
    return groups[:1] + drawn + groups[1:] + [group for group in nested if group.way is None]


def _tables(
    row: FieldSpec,
    rows: list[FieldSpec],
    value: Any,
    path: tuple[str | int, ...],
    findings: tuple[Finding, ...],
) -> list[Group]:
    """One optional table, or each table of a list."""
    tables = value if isinstance(value, list) else [value] if isinstance(value, dict) else []
    many = row.type.startswith("list")
    drawn = way_of(rows, value, path) if many else None
    groups = [] if drawn is None else [Group(message("Front view"), (), way=drawn)]
    for at, table in enumerate(tables):
        where = (*path, at) if many else path
        fields = [
            field
            for inner in rows
            if inner.path.count(".") == 1
            for field in _fields(
                inner,
                table.get(inner.name) if isinstance(table, dict) else None,
                (*where, inner.name),
                findings,
            )
        ]
        title = joined([_label(row.name), str(at + 1)], " ") if many else _label(row.name)
        groups.append(Group(title, tuple(fields), json.dumps(where), True))
    if many or not tables:
        where = (*path, len(tables)) if many else path
        start = json.dumps(_starting_table(rows)) if drawn is None else drawn.next_point
        title = (
            message("Add to {name}", name=file_word(row.name))
            if many
            else message("Add {name}", name=file_word(_article(row.name)))
        )
        groups.append(Group(title, (), json.dumps(where), True, False, start))
    return groups


def _starting_table(rows: list[FieldSpec]) -> dict[str, Any]:
    """A table with everything that must be given, from the records' examples."""
    start: dict[str, Any] = {}
    for row in rows:
        if not row.required or row.path.count(".") != 1:
            continue
        if row.choices:
            start[row.name] = row.choices[0]
        elif row.type.startswith("list"):
            start[row.name] = ["white"]
        elif row.type == "whole number":
            start[row.name] = int(row.low or 1) if not row.example else int(row.example)
        else:
            start[row.name] = row.example or ("white" if row.shades else "")
    return start


def _is_settled(row: FieldSpec) -> bool:
    """Whether a form need not ask: a tool of its own does, or there is but one choice."""
    return row.widget == "elsewhere" or len(row.choices) == 1


def _fields(
    row: FieldSpec, value: Any, path: tuple[str | int, ...], findings: tuple[Finding, ...]
) -> list[Field]:
    if row.shades and isinstance(value, dict):
        return [
            _field(
                row if isinstance(of, list) else replace(row, widget="number"),
                _lines(of),
                (*path, key),
                findings,
                joined([_label(row.name), key]),
            )
            for key, of in value.items()
        ]
    text = _lines(value) if isinstance(value, list) else _written(value)
    return [_field(row, text, path, findings, row.label or _label(row.name))]


def _field(
    row: FieldSpec,
    text: str,
    path: tuple[str | int, ...],
    findings: tuple[Finding, ...],
    label: str,
) -> Field:
    place = place_of(path)
    return Field(
        path=json.dumps(path),
        label=label,
        widget=_widget(row),
        value=text,
        choices=row.choices,
        help="" if row.help.rstrip(".") == label else row.help,
        hint=row.default if row.default is not None else row.example,
        required=row.required,
        rare=row.rare,
        steppers=steppers_of(kind, text) if (kind := _notation(row)) else None,
        findings=tuple(
            f
            for f in findings
            if f.place == place or f.place.startswith((f"{place}[", f"{place}."))
        ),
    )


def _notation(row: FieldSpec) -> str:
    """Which steppers a key can have: none, or those of a balloon, a cluster, or several."""
    if row.type in ("balloon", "cluster"):
        return row.type
    return "clusters" if row.items == "cluster" else ""


def _widget(row: FieldSpec) -> str:
    if row.widget:
        return row.widget
    if row.choices:
        return "choice"
    if row.type.startswith("list"):
        return "shades" if row.shades else "lines"
    if row.shades and row.type == "text":
        return "shade"
    return {"whole number": "number", "date": "date"}.get(row.type, "text")


def _written(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    return str(value)


def _lines(values: Any) -> str:
    return "\n".join(str(value) for value in values) if isinstance(values, list) else str(values)


LABELS = {
    "colour": message("Color"),
    "labour_rate": message("Labor rate"),
    "strike": message("Taken down at"),
    "guests": message("Guests come at"),
    "access": message("Crew may enter at"),
    "ahead": message("Filled ahead by"),
    "fill": message("Helium filled at"),
    "face": message("Size turned to the front"),
    "hands": message("People in the crew"),
    "drive": message("Drive, one way"),
    "gust": message("Strongest gust"),
    "chosen": message("Option taken"),
    "told": message("Prices are told"),
    "floor": message("Warn below a margin of"),
    "line_margin": message("Margin of charges"),
    "quantity": message("Quantity price"),
    "rates": message("Exchange rates"),
    "tax_reduced": message("Reduced tax"),
    "bands": message("Distances and prices"),
    "beyond": message("Each km further"),
    "in_pieces": message("Share in the pieces"),
    "show": message("Where it stands"),
    "rule": message("How it is charged"),
    "balance_days": message("Days before the event the rest is due"),
    "price_reason": message("Why this price"),
    "out_of_hours": message("Work out of hours"),
    "rush": message("Short notice"),
    "vat_number": message("VAT number"),
    "iban": message("IBAN"),
    "bic": message("BIC"),
}
"""Labels of keys whose name in the file is too short a word for a form."""


def _label(name: str) -> str:
    if name in LABELS:
        return LABELS[name]
    return file_word(name.replace("_", " ").capitalize())


def words_shown() -> tuple[str, ...]:
    """Every key and every choice of job and studio file as forms show it, for the books."""
    stock = (records(model) for model in (Balloon, Hardware, StockShade, Cylinder))
    tables = (*job_records(SPECS).values(), studio_records(), *stock)
    rows = [row for table in tables for row in table]
    keys = [row.name for row in rows]
    tabled = [row.name for row in rows if "table" in row.type]
    shown = [_label(key) for key in keys if key not in LABELS]
    shown += [_article(key) for key in tabled] + [key.replace("_", " ") for key in tabled]
    shown += [choice for row in rows for choice in row.choices]
    times = default_catalog().operations.values()
    shown += [time.what[0].upper() + time.what[1:] for time in times]
    shown += [
        ("an " if time.per[0] in "aeiou" else "a ") + time.per.replace("metre", "meter")
        for time in times
    ]
    return tuple(dict.fromkeys(word for word in shown if any(c.isalpha() for c in word)))


def _article(name: str) -> str:
    words = name.replace("_", " ")
    if words.endswith("s"):
        return words
    return f"an {words}" if words[0] in "aeiou" else f"a {words}"
