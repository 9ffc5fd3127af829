"""Pieces to begin with: ours, of every way of making decor, beside those the studio kept."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import tomlkit

from airwright.decor.assembly import Assembly
from airwright.desk.editing.builder import Builder
from airwright.desk.editing.document import apply, shades_named
from airwright.desk.editing.edits import Add
from airwright.desk.editing.tables import tables_of
from airwright.job.examples import example_text
from airwright.store.studio import Designs

OURS = "ours-"
"""Keys of our own pieces begin so; those of kept designs are ids."""

_EMPTY_JOB = """format = "airwright-job/1"
[job]
title = "One piece"
guests = "12:00"
strike = "18:00"
"""


@dataclass(frozen=True, slots=True)
class Start:
    """A piece to begin with.

    Attributes:
        key: for `Add.design`.
        name, kind: of the piece.
        text: its table as TOML, with the colours of the shades it names.
    """

    key: str
    name: str
    kind: str
    text: str


@cache
def starts() -> tuple[Start, ...]:
    """Our own pieces, most wanted first."""
    tables = tables_of(example_text("starts"))
    shades = tables["shades"]
    found = []
    for at, table in enumerate(tables["pieces"]):
        colours = {name: shades[name] for name in sorted(shades_named(table)) if name in shades}
        text = tomlkit.dumps({**table, "shades_used": colours})
        found.append(Start(f"{OURS}{at}", str(table["name"]), str(table["kind"]), text))
    return tuple(found)


def design_text(designs: Designs, key: str) -> str:
    """The table of one of our pieces or of a kept design. Raises Missing or KeyError."""
    if not key.startswith(OURS):
        return designs.get(key).text
    return {start.key: start.text for start in starts()}[key]


def built_alone(builder: Builder, kind: str, text: str, studio_text: str) -> Assembly | None:
    """A design built on its own, for its picture; None where it has errors."""
    job, _ = apply(_EMPTY_JOB, [Add(do="add", kind=kind, design="alone")], lambda _: text)
    pieces = builder.evaluate(job, studio_text).pieces
    return pieces[0].assembly if pieces else None
