"""The reference of the job file, read off the parameter records."""

from __future__ import annotations

import importlib
import importlib.util
from collections import defaultdict
from typing import Any

from tools.docs.text import code, generated, table

INTRO = """# The job file

A job file is TOML: lines of `key = value` under headings in square brackets. Quantities are
text with a unit (`"6 ft"`, `"1.8 m"`, `"27 C"`); a comment starts with `#` and is kept.
`airwright new my-job.toml` writes one that runs as it stands; `airwright check my-job.toml`
says what is wrong with it, all at once.
"""
ABSENT = "The parameter records are not there yet."


def render() -> str:
    """The page; a record that changes makes the tracked copy stale."""
    parts = [generated("the parameter records"), INTRO.rstrip()]
    if importlib.util.find_spec("airwright.job.records") is None:
        return "\n\n".join([*parts, ABSENT]) + "\n"
    records = importlib.import_module("airwright.job.records").records()
    tables: dict[str, list[Any]] = defaultdict(list)
    for record in records:
        place, _, _ = record.path.rpartition(".")
        tables[place].append(record)
    for place, members in tables.items():
        parts += [f"## {code('[' + place + ']') if place else 'On top'}", section(members)]
    return "\n\n".join(parts) + "\n"


def section(members: list[Any]) -> str:
    """One table of keys."""
    return table(
        ("key", "meaning", "unit", "from", "to", "if left out", "example"),
        (
            (
                code(r.name), r.help, r.unit or "", shown(r.low), shown(r.high),
                code(shown(r.default)), code(r.example or ""),
            )
            for r in members
        ),
    )  # fmt: skip


def shown(value: object) -> str:
    """A bound or default, empty where there is none."""
    return "" if value is None else str(value)
