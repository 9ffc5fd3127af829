"""A structure-aware fuzzer over job files, studio files and edits of the desk.

    python -m tools.fuzz --minutes 15 --seed 1

Each case starts from something that is right (an example, a kind's own example, settings with
every table in them), changes a few of its values, keys, lists or characters, and hands it to the
same functions that the commands and the desk use. A case fails when anything is raised, a finding
has no sentence or cure, an accepted studio prices at or below zero, or an answer takes too long.
Failing inputs are written into the folder named with --out.
"""

from __future__ import annotations

import argparse
import copy
import datetime as dt
import json
import random
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import TypeAdapter, ValidationError

from airwright.catalog import default_catalog
from airwright.decor.pieces import KINDS
from airwright.desk.editing.builder import Builder, Evaluation
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import Edit, EditError
from airwright.desk.editing.writing import resolved
from airwright.job.findings import Finding
from airwright.job.studio import CYLINDERS
from airwright.job.studio_reading import read_studio
from airwright.language import say

SLOW_S = 20.0
"""Longer than this no case may take on a busy machine [s]; the reader alone has 2 s."""

HEAD: dict[str, Any] = {
    "format": "airwright-job/1",
    "job": {"title": "Fuzz", "date": dt.date(2027, 5, 22), "guests": "10:00", "strike": "18:00"},
    "venue": {"setting": "open air", "gust": "6 m/s", "altitude": "10 m"},
    "shades": {"coral": "#f0705a", "sand": "#e8d5b7", "teal": "#1f7a7a", "white": "#f7f5f0"},
}
HOSTILE: tuple[Any, ...] = (
    0, -1, 1, 2, 16, 999, 10**9, 10**30, -(10**30), 10**400, 0.0, -0.5, 1e-300, 1e308, 1e30,
    float("inf"), float("-inf"), float("nan"), "", " ", "0", "-1", "16", "nan", "inf", "1e400 m",
    "6 ft", "-6 ft", "6 mm", "0 in", "1e9 ft", "6 ft 6 in", "9 1/0 in", "100 %", "4 x 12inn",
    "4 x 11in @ 9.5in", "0 x 11in", "12 x 3ft @ 1in", "4 x 11in @ 99in", "11in", "260", "coral",
    "no such shade", "white", "x" * 3000, "é\u202e漢🎈",
    "\x00", "\u200b", True, False, [], {}, [[]],
    [{}],
    {"a": 1}, ["coral"], ["coral", 3], [["coral"], []], {"5in": ["white"]}, {"coral": 3},
    {"coral": -1}, {"coral": float("nan")}, dt.date(1, 1, 1), dt.date(9999, 12, 31),
    "25:00", "23:59", "00:00", "USD", "XXX", "JPY", "#f0705a", "#zzzzzz", None,
)  # fmt: skip


def studio_tables() -> dict[str, Any]:
    """Settings with a row in every table."""
    catalog = default_catalog()
    rows: dict[str, list[Any]] = {
        "balloons": [catalog.balloons["11in"], catalog.balloons["24in"]],
        "hardware": list(catalog.hardware.values())[:3],
        "operations": list(catalog.operations.values())[:3],
        "shades": list(catalog.shades.values())[:2],
        "cylinders": list(CYLINDERS[:2]),
    }
    tables = {name: [row.model_dump(mode="json", exclude_none=True) for row in many]
              for name, many in rows.items()}  # fmt: skip
    return {
        "format": "airwright-studio/1",
        "studio": {"name": "Fuzz", "units": "metric"},
        "pricing": {"labour_rate": 24.0, "margin": 0.4, "price_step": 5, "tax": 0.08,
                    "overhead": 0.18, "deposit": 0.5, "minimum": 0, "catalog_rate": 1},
        "crew": {"hands": 2, "shortage_risk": 0.05},
        "care": {"factor_of_safety": 1.5, "friction": 0.3},
        "measured": [{"cluster": "4 x 11in @ 9.5in", "clusters": 9, "height": "6 ft"}],
        "weighed": [{"size": "11in", "count": 10, "mass": "29 g"}],
        **tables,
    }  # fmt: skip


def jobs() -> list[dict[str, Any]]:
    """One small job of each kind of piece."""
    made = []
    for kind in KINDS.values():
        piece = tomlkit.parse(kind.example).unwrap()
        option = {"name": "One", "pieces": [piece["name"]]}
        made.append({**copy.deepcopy(HEAD), "pieces": [piece], "options": [option]})
    return made


def places(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every path in nested tables and lists."""
    found = [at] if at else []
    if isinstance(value, dict | list):
        for key, one in value.items() if isinstance(value, dict) else enumerate(value):
            found += places(one, (*at, key))
    return found


def changed(tables: dict[str, Any], rng: random.Random) -> dict[str, Any]:
    """The tables with one to three things in them changed."""
    made = copy.deepcopy(tables)
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        everywhere = places(made)
        if not everywhere:
            break
        *way, last = rng.choice(everywhere)
        where: Any = made
        for step in way:
            where = where[step]
        kind = rng.randrange(8)
        if kind < 4:
            where[last] = copy.deepcopy(rng.choice(HOSTILE))
        elif kind == 4:
            del where[last]
        elif kind == 5 and isinstance(where, dict):
            where[f"{str(last)[:-1]}{rng.choice('xyz')}"] = where.pop(last)
        elif kind == 6 and isinstance(where, list):
            where.extend(copy.deepcopy(where[last]) for _ in range(rng.choice((1, 5, 60))))
        else:
            other: Any = made
            for step in rng.choice(everywhere):
                try:
                    other = other[step]
                except (KeyError, IndexError, TypeError):
                    break
            where[last] = copy.deepcopy(other)
    return made


def as_text(tables: dict[str, Any], rng: random.Random) -> str:
    """Tables as TOML; now and then with characters lost, doubled or put in."""
    text = tomlkit.dumps(_without_none(tables))
    if rng.random() < 0.12:
        at = rng.randrange(len(text) or 1)
        end = at + rng.choice((1, 3, 40))
        put = rng.choice(("", text[at:end] * 2, "[[", "=", "9" * 5000, '"""'))
        text = f"{text[:at]}{put}{text[end:]}"
    return text


def _without_none(value: Any) -> Any:
    if isinstance(value, dict):
        return {str(k): _without_none(v) for k, v in value.items() if v is not None}
    if isinstance(value, list):
        return [_without_none(v) for v in value if v is not None]
    return value


def edit(tables: dict[str, Any], rng: random.Random) -> dict[str, Any]:
    """An edit as a browser would send it, or nearly so."""
    path = list(rng.choice(places(tables)))
    if rng.random() < 0.3:
        path = [rng.choice((-1, 0, "pieces", "job", "shades", "", "x")), *path[1:]]
    value = rng.choice(HOSTILE)
    piece = rng.choice((0, 0, 1, -1, 499))
    change = rng.choice((
        {"do": "put", "path": path, "value": value}, {"do": "put", "path": path, "value": value},
        {"do": "write", "path": path, "text": str(value)}, {"do": "clear", "path": path},
        {"do": "add", "kind": rng.choice([*KINDS, "x"])}, {"do": "duplicate", "piece": piece},
        {"do": "mirror", "piece": piece}, {"do": "drop", "piece": piece},
        {"do": "reorder", "piece": piece, "to": rng.choice((0, 1, 9))},
        {"do": "swap", "old": "coral", "new": rng.choice(("sand", "new", "", " "))},
        {"do": "paint", "piece": piece, "rows": [["coral", "sand", "teal", "white"]] * 3},
    ))  # fmt: skip
    return {"version": 1, "changes": [change], "have": []}


@dataclass
class Run:
    """One run of the fuzzer, and what came of it."""

    seed: int
    out: Path | None = None
    builder: Builder = field(default_factory=lambda: Builder(lambda: dt.date(2027, 3, 1)))
    cases: Counter[str] = field(default_factory=Counter)
    failures: list[str] = field(default_factory=list)
    planned: int = 0
    slowest_s: float = 0.0

    def one(self, number: int) -> None:
        """One case; the same number and seed make the same case."""
        rng = random.Random(f"{self.seed}:{number}")
        target = (self._job, self._job, self._studio, self._edit)[number % 4]
        name = target.__name__.lstrip("_")
        given: list[str] = []
        began = time.monotonic()
        try:
            target(rng, given.append)
        except Exception as problem:  # noqa: BLE001  whatever it is, it is what we look for
            said = traceback.format_exception(problem)
            self._failed(number, name, given, "".join(said))
        took = time.monotonic() - began
        self.slowest_s = max(self.slowest_s, took)
        if took > SLOW_S:
            self._failed(number, name, given, f"took {took:.1f} s")
        self.cases[name] += 1

    def _failed(self, number: int, name: str, given: list[str], why: str) -> None:
        last = why.strip().splitlines()[-1]
        self.failures.append(f"seed {self.seed}, case {number} ({name}): {last}")
        if self.out is not None:
            self.out.mkdir(parents=True, exist_ok=True)
            text = "\n\n# ----\n\n".join([*given, why])
            (self.out / f"{self.seed}-{number}-{name}.txt").write_text(
                text, "utf-8", errors="backslashreplace"
            )

    def _job(self, rng: random.Random, given: Callable[[str], None]) -> None:
        text = as_text(changed(rng.choice(jobs()), rng), rng)
        given(text)
        self._sound(self.builder.evaluate(text, ""))

    def _studio(self, rng: random.Random, given: Callable[[str], None]) -> None:
        text = as_text(changed(studio_tables(), rng), rng)
        given(text)
        reading = read_studio(text)
        _told(reading.findings)
        job = tomlkit.dumps(jobs()[0])
        evaluation = self.builder.evaluate(job, text)
        self._sound(evaluation)

    def _edit(self, rng: random.Random, given: Callable[[str], None]) -> None:
        tables = rng.choice(jobs())
        text, asked = tomlkit.dumps(tables), edit(tables, rng)
        given(text)
        given(repr(asked))
        try:
            body = json.dumps(asked, default=str)
            wanted = TypeAdapter(Edit).validate_json(body)
            written, label = apply(text, resolved(text, wanted.changes))
        except (ValidationError, EditError):
            return
        assert label
        self._sound(self.builder.evaluate(written, ""))

    def _sound(self, evaluation: Evaluation) -> None:
        _told(evaluation.findings)
        evaluation.summary()
        evaluation.head()
        if evaluation.plan is not None:
            self.planned += 1
            for option in evaluation.plan.options:
                assert option.money.price > 0, f"priced at {option.money.price}"


def _told(findings: tuple[Finding, ...]) -> None:
    for found in findings:
        assert say(found.what).strip(), found
        assert say(found.mend).strip(), found


def main(arguments: list[str] | None = None) -> int:
    """Run for some minutes or cases; 1 when anything failed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--minutes", type=float, default=2.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--first", type=int, default=0, help="number of the first case")
    parser.add_argument("--cases", type=int, default=0, help="stop after so many; 0: the minutes")
    parser.add_argument("--out", type=Path, default=Path("out/fuzz"))
    asked = parser.parse_args(arguments)
    run, end, number = (
        Run(asked.seed, asked.out),
        time.monotonic() + 60 * asked.minutes,
        asked.first,
    )
    while time.monotonic() < end and not (asked.cases and number - asked.first >= asked.cases):
        run.one(number)
        number += 1
    counts = ", ".join(f"{count:,} {name}" for name, count in sorted(run.cases.items()))
    sys.stdout.write(
        f"{sum(run.cases.values()):,} cases ({counts}), {run.planned:,} of them planned, "
        f"seed {asked.seed}, "
        f"slowest {run.slowest_s:.1f} s, {len(run.failures)} failures\n"
    )
    for line in run.failures[:40]:
        sys.stdout.write(f"  {line}\n")
    return 1 if run.failures else 0


if __name__ == "__main__":
    sys.exit(main())
