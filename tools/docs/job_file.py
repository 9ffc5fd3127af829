"""The reference of the job file, read off the parameter records and the kinds of piece."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from tools.docs.text import code, generated, table

if TYPE_CHECKING:
    from airwright.job.records import FieldSpec

INTRO = """# The job file

A job file is TOML: lines of `key = value` under headings in square brackets; `[[double]]`
brackets stand before each one of several. A quantity is text with its unit (`"6 ft"`, `"1.8 m"`,
`"27 C"`); a comment starts with `#` and is kept. `airwright new my-job.toml` writes one that runs
as it stands; `airwright check my-job.toml` says what is wrong with it, all at once.

The first line names the format: `format = "airwright-job/1"`.
"""
SHADES = """## `[shades]`

Each line gives a name of your own to a color: `coral = "#f0705a"`. Where the surface matters,
the color is a table:
"""
PIECES = """## `[[pieces]]`

One block for each piece, `kind` first of all: it decides which other keys there are. Every kind
has these:
"""
STUDIO = """# The studio file

What holds for all your jobs: wages, margins, units, measurements of your own. Where there is
none, the starting values below are used; they come from memory or common practice and want
replacing with yours.
"""
#: Tables that a file may hold several of.
REPEATED = {"options", "pieces"}


def render() -> str:
    """The page; a record that changes makes the tracked copy stale."""
    from airwright.decor.pieces import KINDS
    from airwright.job.pieces import PieceSpec
    from airwright.job.records import job_records, records, studio_records

    found = job_records({name: kind.spec for name, kind in KINDS.items()})
    head = by_table(found["job file"])
    parts = [generated("the parameter records"), INTRO.rstrip()]
    for place in (name for name in head if name not in ("shades", "options", "")):
        parts += [f"## `[{place}]`", keys(head[place])]
    if "shades" in head:
        parts += [SHADES.rstrip(), keys(head["shades"])]

    shared = {row.path for row in records(PieceSpec, "pieces.")}
    parts += [PIECES.rstrip(), keys(by_table(records(PieceSpec, "pieces."))["pieces"])]
    inner: dict[str, list[FieldSpec]] = {}
    for name, kind in KINDS.items():
        tables = by_table(found[name])
        own = [row for row in tables.pop("pieces") if row.path not in shared]
        parts += [f"### kind = `{name}`", kind.summary, f"```toml\n{kind.example.strip()}\n```"]
        parts.append(keys(own))
        inner.update(tables)
    parts += ["## Tables inside a piece"]
    for place, rows in inner.items():
        parts += [f"### {code(place.removeprefix('pieces.'))}", keys(rows)]
    if "options" in head:
        parts += ["## `[[options]]`", keys(head["options"])]
    parts.append(STUDIO.rstrip().replace("# The", "## The", 1))
    for place, rows in by_table(studio_records()).items():
        parts += [f"### `[{place}]`" if place else "### On top", keys(rows)]
    return "\n\n".join(parts) + "\n"


def by_table(rows: Iterable[FieldSpec]) -> dict[str, list[FieldSpec]]:
    """Records by the table they stand in, in the order of the file."""
    tables: dict[str, list[FieldSpec]] = {}
    for row in rows:
        tables.setdefault(row.path.rpartition(".")[0], []).append(row)
    return tables


def keys(rows: Iterable[FieldSpec]) -> str:
    """One table of keys."""
    return table(("key", "meaning", "value", "if left out"), (tuple(line(row)) for row in rows))


def line(row: FieldSpec) -> Iterator[str]:
    """Key, meaning, what it takes, default."""
    yield code(row.name)
    yield row.help + (f" Written {code(row.example)}." if row.example else "")
    yield takes(row)
    yield "**required**" if row.required else code(row.default or "")


def takes(row: FieldSpec) -> str:
    """In words, with bounds: "length, 1 in to 30 ft"."""
    if row.choices:
        return " or ".join(code(choice) for choice in row.choices)
    bounds = [shown(bound) for bound in (row.low, row.high) if bound is not None]
    return f"{row.type}, {' to '.join(bounds)}" if len(bounds) == 2 else row.type


def shown(bound: str | float) -> str:
    """A bound as a reader would write it: 10,000,000 rather than 10000000.0."""
    return bound if isinstance(bound, str) else f"{bound:,.10g}"
