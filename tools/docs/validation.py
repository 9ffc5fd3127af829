"""The validation page: each of our figures beside the published one."""

from __future__ import annotations

import ast
import json
import math
import re
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any

from tools.docs.text import cell, generated, table

ROOT = Path(__file__).resolve().parents[2]
ROWS = ROOT / "out" / "validation.json"
MUTANTS = ROOT / "tools" / "docs" / "mutants.json"
PAGE = ROOT / "docs" / "validation.md"
#: Marker -> how far a reader may trust the value on the right-hand side.
ORIGINS = {
    "published": "read in a published text or data set",
    "closed_form": "a closed form, computed in the test on its own",
    "other_program": "printed by a reference library",
    "common_practice": "common practice of the trade, without a source",
    "from_memory": "from memory of the document named: a weak check",
    "regression": "our own earlier result: shows no error of thought, only change",
}
INTRO = """# Validation

Every figure below is computed by Airwright during the tests and held against a value from
outside it; the tests fail when they drift apart. Where a test compares a whole table, the row
shows the value that fits worst.

The last column says where the outside value comes from:
"""
CONSTANTS_INTRO = """## Numbers the job uses

Each number may lie anywhere in its range; beyond it, the effect that guards it leaves a band
known from outside, and `tests/validation/test_constants.py` fails. The tests prove that, too:
they spoil every number on purpose. Wide ranges say how little is known, not how sure we are.
Rules that are no number, like from when on latex ages, are held under "Spoiled rules"."""
EMPTY = "No test run has been recorded here yet: run `make test`, then `make docs`."


def render() -> str:
    """The page, from the rows that the last whole test run recorded."""
    rows: list[dict[str, Any]] = (
        json.loads(ROWS.read_text(encoding="utf-8")) if ROWS.is_file() else []
    )
    origins = table(("origin", "meaning"), ((words(k), v) for k, v in ORIGINS.items()))
    parts = [generated("out/validation.json"), INTRO + "\n" + origins]
    parts += [CONSTANTS_INTRO, constants(), mutants()]
    if not rows:
        return "\n\n".join([*parts, kept() or EMPTY]) + "\n"
    parts.append(summary(rows))
    by_topic: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for row in rows:
        by_topic[topic(row["test"])].append(row)
    for name in sorted(by_topic):
        parts += [f"## {name}", about(by_topic[name][0]["test"]), topic_table(by_topic[name])]
    return "\n\n".join(parts) + "\n"


def kept() -> str:
    """What an earlier test run left on the page, for a copy in which none was recorded."""
    found = PAGE.is_file() and re.search(
        r"^\d+ comparisons of .*", PAGE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL
    )
    return found[0].strip() if found else ""


def constants() -> str:
    """The numbers the job uses, their ranges, and what guards each."""
    from airwright.job.studio import Studio
    from tests.validation.constants import CONSTANTS

    studio = Studio()
    return table(
        ("number", "where", "now", "range", "guarded by", "band", "source", "origin"),
        (
            (
                one.what,
                f"`{one.at}`",
                figure(one.value(studio), one.unit),
                f"{one.low:g} to {one.high:g} {known(one.unit)}".strip(),
                one.guard.what,
                f"{one.guard.low:g} to {one.guard.high:g} {known(one.guard.unit)}".strip(),
                one.guard.source,
                words(one.guard.origin),
            )
            for one in CONSTANTS
        ),
    )


def mutants() -> str:
    """What a mutation tester found in a sample of changes to the code."""
    found = json.loads(MUTANTS.read_text(encoding="utf-8"))
    tried, noticed = (sum(row[at] for row in found["rows"]) for at in (1, 2))
    share = 100 * noticed / max(tried, 1)
    drawn = f"{found['each']} a module, seed {found['seed']}" if found["each"] else "all there are"
    figure = (
        f"{found['program'].replace('==', ' ')} changed money, hours, spares, needs, cautions, "
        f"options and tax one place at a time (`make mutants`), words of sentences left out. Of "
        f"{found['drawn']} changes drawn ({drawn}) {tried} were tried, and {noticed} were noticed "
        f"by a test: {share:.1f} %."
    )
    counts = table(("module", "changes", "noticed"), found["rows"])
    rows = ((row["where"], f"`{row['was']}`", f"`{row['became']}`", row["why"] or "not held yet")
            for row in found["survivors"])  # fmt: skip
    left = table(("where", "was", "became", "why no test notices"), rows)
    return "\n\n".join(["## Changes that tests notice", figure, counts, left])


def summary(rows: list[dict[str, Any]]) -> str:
    """How many values were compared, by origin."""
    values: Counter[str] = Counter()
    for row in rows:
        values[row["marker"]] += row["values"]
    listed = ", ".join(f"{values[name]} {words(name)}" for name in ORIGINS if values[name])
    failed = sum(not row["ok"] for row in rows)
    ending = f" **{failed} do not agree.**" if failed else " All agree."
    return f"{len(rows)} comparisons of {sum(values.values())} values ({listed}).{ending}"


def topic(test: str) -> str:
    """tests/validation/test_moist_air.py::test_x -> Moist air."""
    stem = Path(test.split("::")[0]).stem.removeprefix("test_").replace("_", " ")
    return stem[:1].upper() + stem[1:]


def about(test: str) -> str:
    """The first paragraph on top of the test file: the outside source."""
    path = ROOT / test.split("::")[0]
    if not path.is_file():
        return ""
    head = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    return " ".join(head.split("\n\n")[0].split())


def topic_table(rows: list[dict[str, Any]]) -> str:
    """One line a comparison."""
    return table(
        ("what", "ours", "outside", "may be off by", "source", "origin"),
        (
            (
                row["what"] + (f" ({row['values']} values)" if row["values"] > 1 else ""),
                figure(row["ours"], row["unit"]) + ("" if row["ok"] else " ✗"),
                figure(row["published"], row["unit"]),
                allowed(row["tolerance"], row["unit"]),
                row["source"],
                words(row["marker"]),
            )
            for row in rows
        ),
    )


def figure(value: Any, unit: str) -> str:
    """Six significant digits, so that the last bits of a machine do not change the page."""
    if isinstance(value, float):
        value = f"{value + 0.0:.6g}" if math.isfinite(value) else str(value)
    shown = f"{value} {known(unit)}".strip()
    return cell(shown).replace("*", "\\*").replace("<", "&lt;")


def allowed(tolerance: str, unit: str) -> str:
    """The tolerance with the unit that an absolute one is meant in."""
    if tolerance == "equal" or tolerance.endswith("%"):
        return tolerance
    return f"{tolerance} {known(unit)}".strip()


def known(unit: str) -> str:
    """The unit, empty where a test writes a dash or a one for a plain number."""
    return "" if unit in ("-", "1", "–") else unit


def words(marker: str) -> str:
    """closed_form -> closed form."""
    return marker.replace("_", " ")
