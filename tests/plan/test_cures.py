"""A cure that names a value may be obeyed: its finding goes, and no other becomes worse.

Each case reads the value out of the sentence as a decorator would, writes it into the file and
plans again. The sizes of floating balloons, weighed against time, are in `test_helium_size`.
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
import tomlkit

from airwright.decor.pieces import KINDS, SPECS
from airwright.job import Studio, read_job
from airwright.job.findings import Finding
from airwright.language import say
from airwright.plan.planning import evaluate

Table = dict[str, Any]
Obey = Callable[[Table, str], None]

HEAD = """
format = "airwright-job/1"
[job]
title = "Cures"
date = 2027-05-22
guests = "11:00"
strike = "16:00"
[venue]
access = "07:00"
[shades]
coral = "#f0705a"
sand = "#e8d5b7"
teal = "#1f7a7a"
white = "#f7f5f0"
gold = "#c9a24b"
"""


def job(kind: str, venue: Table | None = None, **changes: Any) -> Table:
    """A job with the example of one kind of piece, some keys changed."""
    table: Table = tomllib.loads(HEAD)
    table["venue"] |= venue or {}
    piece = {**tomllib.loads(KINDS[kind].example), **changes}
    table["pieces"] = [{key: value for key, value in piece.items() if value is not None}]
    return table


def found(table: Table) -> tuple[Finding, ...]:
    return evaluate(read_job(tomlkit.dumps(table), SPECS), Studio()).findings


def put(*path: str | int) -> Obey:
    """Writes the value named into the file at `path`."""

    def obey(table: Table, value: str) -> None:
        where: Any = table
        for step in path[:-1]:
            where = where[step]
        where[path[-1]] = value

    return obey


def sized(key: str, form: str) -> Obey:
    """Writes a cluster or balloon with the diameter named into a key of the piece."""

    def obey(table: Table, value: str) -> None:
        made = form.format(value.replace(" ", ""))
        table["pieces"][0][key] = [made] if key == "body" else made

    return obey


def ordered(table: Table, value: str) -> None:
    assert value
    table["pieces"][0]["balloons"][0]["balloon"] = f"11in @ {value.replace(' ', '')}"


PLAIN = {"pattern": "rows", "picture": None, "legend": None}
BIG = {**PLAIN, "cluster": "4 x 11in @ 9.5in"}
HELD = [{"balloon": "11in @ 13in", "count": 3, "shades": ["coral"]}]
ROWS = [{"balloon": "11in @ 10in", "count": 12, "shades": ["coral"]}]
LARGE = [{"balloon": "17in @ 15in", "share": 1}]
SIZE = r"(\d[\d.]* ?(?:in|cm|m|ft)(?: \d[\d.]* in)?)"
QUOTED = r'"([^"]+)"'

CASES: list[tuple[str, Table, str, Obey]] = [
    ("over-inflated", job("column", body=["4 x 11in @ 12in"]), f"Inflate it to {SIZE}",
     sized("body", "4 x 11in @ {}")),
    ("over-inflated", job("bouquet", balloons=HELD), f"Inflate it to {SIZE}", ordered),
    ("under-inflated", job("column", body=["4 x 11in @ 4in"]), f"Inflate it to {SIZE}",
     sized("body", "4 x 11in @ {}")),
    ("over-tight", job("column", body=["4 x 11in @ 10.9in"]), f"Inflate them to {SIZE}",
     sized("body", "4 x 11in @ {}")),
    ("over-tight", job("column", {"peak_temperature": "40 C"}, body=["4 x 11in @ 10.4in"]),
     f"Inflate them to {SIZE}", sized("body", "4 x 11in @ {}")),
    ("over-tight", job("arch", {"peak_temperature": "40 C", "ceiling": "9 ft"},
                       body=["4 x 11in @ 10.4in"]),
     f"Inflate them to {SIZE}", sized("body", "4 x 11in @ {}")),
    ("over-tight",
     job("wall", {"peak_temperature": "40 C"}, **{**BIG, "cluster": "4 x 11in @ 10.4in"}),
     f"Inflate them to {SIZE}", sized("cluster", "4 x 11in @ {}")),
    ("height-in-whole-layers", job("column", height="5.1 ft", topper=None), QUOTED,
     put("pieces", 0, "height")),
    ("too-narrow", job("arch", width="3 ft"), f"Make it {SIZE} wide", put("pieces", 0, "width")),
    ("too-low", job("arch", height="2 ft"), f"Make it {SIZE} high", put("pieces", 0, "height")),
    ("narrow-opening", job("arch"), r'measured: (\w+)', put("pieces", 0, "measured")),
    ("size-in-whole-clusters", job("wall", **{**BIG, "cluster": "4 x 11in @ 10.4in"}),
     f'Make its width {QUOTED}', put("pieces", 0, "width")),
    ("size-in-whole-clusters", job("wall", **{**BIG, "cluster": "4 x 11in @ 10.4in"}),
     r'Make its width "[^"]+" or "([^"]+)"', put("pieces", 0, "width")),
    ("too-low", job("bouquet", height="3 ft", balloons=ROWS), f"Let it float {SIZE} high",
     put("pieces", 0, "height")),
    ("too-short", job("garland", path="straight", width="2 ft", mix=LARGE),
     f"Make it {SIZE} at least", put("pieces", 0, "width")),
    ("missing", job("garland", path="straight", width=None), f"like {QUOTED}",
     put("pieces", 0, "width")),
    ("net-too-thin", job("drop", across="1 ft", mix=LARGE), f"Make it {SIZE} across",
     put("pieces", 0, "across")),
    ("no-gust", job("column", {"setting": "open air"}), f'"gust", like {QUOTED}',
     put("venue", "gust")),
]  # fmt: skip


TOLD = {"narrow-opening": ("ballast",)}
"""What a cure says itself that it brings."""


@pytest.mark.parametrize(
    ("code", "table", "form", "obey"), CASES, ids=[f"{n}-{row[0]}" for n, row in enumerate(CASES)]
)
def test_obeying_it_makes_nothing_worse(code: str, table: Table, form: str, obey: Obey) -> None:
    before = found(table)
    told = next(f for f in before if f.code == code)
    named = re.search(form, say(told.mend))
    assert named, f"{say(told.mend)!r} names no value"
    obey(table, named[1])
    after = found(table)
    assert (told.code, told.place) not in [(f.code, f.place) for f in after], named[1]
    assert not [f for f in after if f.severity == "error"]
    if not any(f.severity == "error" for f in before):
        old, new = (
            Counter(f.code for f in fs if f.severity == "caution") for fs in (before, after)
        )
        assert not {code for code in new - old if code not in TOLD.get(told.code, ())}
