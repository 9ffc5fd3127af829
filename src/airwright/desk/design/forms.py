"""The panel of a piece or of the job, made from the parameter records of the job file."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from pydantic import BaseModel

from airwright.decor.pieces import SPECS
from airwright.desk.field_groups import Field, Group, groups_of
from airwright.job.charges import JobCharges
from airwright.job.findings import Finding
from airwright.job.models import JobHead, Venue
from airwright.job.records import records
from airwright.language import message

JOB_TABLES: tuple[tuple[str, type[BaseModel], str], ...] = (
    ("job", JobHead, message("The job")),
    ("venue", Venue, message("The venue")),
    ("charges", JobCharges, message("Charges")),
)

CHOSEN = json.dumps(("job", "chosen"))


def piece_panel(
    table: Mapping[str, Any], index: int, findings: Iterable[Finding]
) -> tuple[Group, ...]:
    """The panel of a piece, from its raw table in the file."""
    spec = SPECS.get(str(table.get("kind")))
    if spec is None:
        return ()
    return tuple(groups_of(records(spec), table, ("pieces", index), tuple(findings)))


def job_panel(tables: Mapping[str, Any], findings: Iterable[Finding]) -> tuple[Group, ...]:
    """The panel of the job's head and venue."""
    found = tuple(findings)
    offered = _option_names(tables)
    groups = []
    for key, model, title in JOB_TABLES:
        table = tables.get(key)
        rows = table if isinstance(table, dict) else {}
        groups += [
            replace(group, fields=tuple(_offering(field, offered) for field in group.fields))
            for group in groups_of(records(model), rows, (key,), found, title)
        ]
    return tuple(groups)


def _option_names(tables: Mapping[str, Any]) -> tuple[str, ...]:
    rows = tables.get("options")
    listed = rows if isinstance(rows, list) else []
    named = [row.get("name") for row in listed if isinstance(row, dict)]
    return tuple(dict.fromkeys(name for name in named if isinstance(name, str) and name))


def _offering(field: Field, offered: tuple[str, ...]) -> Field:
    """The option a client took is picked from the job's options, where it has any."""
    if field.path != CHOSEN or not offered:
        return field
    return replace(field, widget="choice", choices=offered, hint="none yet")
