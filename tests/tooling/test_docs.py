"""The documentation keeps what it promises: fresh pages, one meaning a term, one unit a name."""

from __future__ import annotations

import ast
import json
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
from pydantic import BaseModel

from tools import browser_types
from tools.docs import __main__ as pages
from tools.docs import hooks, validation

ROOT = Path(__file__).resolve().parents[2]
GLOSSARY = (ROOT / "docs" / "glossary.md").read_text(encoding="utf-8")
#: Endings that say a unit, ours and those we do not want to see.
UNITS = (
    "m|m2|m3|mm|cm|km|ft|ft2|ft3|inches|yd|l|litre|litres|kg|g|mg|lb|lbs|oz|n|kn|lbf|pa|kpa|mpa|hpa"
    "|bar|psi|c|f|k|rad|deg|m_s|mph|kmh|km_h|knots|n_m|kg_m3|mol|j|kj|pa_s"
)


def test_a_stale_page_fails_the_check(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(pages, "ROOT", tmp_path)
    assert pages.main(["--check"]) == 1
    assert pages.main([]) == 0
    assert pages.main(["--check"]) == 0
    for name in ("docs/commands.md", "frontend/src/answers.ts"):
        with (tmp_path / name).open("a") as page:
            page.write("a change by hand\n")
        capsys.readouterr()
        assert pages.main(["--check"]) == 1
        assert f"{name} is stale" in capsys.readouterr().err


def test_types_of_the_front_end_follow_the_models() -> None:
    class Inner(BaseModel):
        at: tuple[float, float]
        word: Literal["left", "right"] | None

    class Outer(BaseModel):
        inner: list[Inner]
        named: dict[str, Inner] = {}
        cost: str | None = None

    declared = browser_types.declared(Outer)
    assert "export interface Inner {\n  at: [number, number];" in declared
    assert '  word: "left" | "right" | null;' in declared
    assert "  inner: Inner[];\n  named?: Record<string, Inner>;\n  cost?: string;" in declared


def test_the_validation_page_shows_what_differs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = {
        "test": "tests/validation/test_moist_air.py::test_x", "order": 0, "marker": "published",
        "source": "a|book", "what": "density", "unit": "kg/m3", "ours": 1.23456789,
        "published": 1.2, "tolerance": "1 %", "values": 3, "ok": False,
    }  # fmt: skip
    rows = tmp_path / "rows.json"
    rows.write_text(json.dumps([row]))
    monkeypatch.setattr(validation, "ROWS", rows)
    page = validation.render()
    assert "## Moist air" in page
    assert "| density (3 values) | 1.23457 kg/m3 ✗ | 1.2 kg/m3 |" in page
    assert "a\\|book" in page
    assert "**1 do not agree.**" in page


def test_every_decision_is_listed() -> None:
    listed = hooks.decision_list()
    records = sorted((ROOT / "docs" / "decisions").glob("[0-9]*.md"))
    assert len(records) >= 2
    numbers = [record.name.split("-")[0] for record in records]
    assert not [n for n, times in Counter(numbers).items() if times > 1]
    for record in records:
        assert f"({record.name})" in listed
        assert re.search(r"^# \S", record.read_text(encoding="utf-8"), re.MULTILINE), record.name


def glossary_rows() -> Iterator[list[str]]:
    """Terms with their meanings; the table of translations after them gives none."""
    meanings, _, _ = GLOSSARY.partition("## Trade words in the three languages")
    for line in meanings.splitlines():
        if line.startswith("| ") and not line.startswith(("| ---", "| term", "| quantity")):
            yield [cell.strip() for cell in line.strip("|").split("|")]


def test_the_glossary_gives_each_term_once() -> None:
    rows = list(glossary_rows())
    assert len(rows) > 80
    terms = Counter(row[0] for row in rows)
    assert not [term for term, times in terms.items() if times > 1]
    assert not [row for row in rows if len(row[-1]) < 10], "a meaning is missing"


def test_names_end_in_units_of_the_glossary() -> None:
    """A name that ends in a unit ends in one the glossary lists: SI inside, no inches or psi."""
    allowed = set(re.findall(r"`_(\w+)`", GLOSSARY))
    assert {"m", "kg", "pa", "n"} <= allowed
    ending = re.compile(rf"_({UNITS})$")
    strangers = [
        f"{path.relative_to(ROOT)}: {name}"
        for path in sorted((ROOT / "src").rglob("*.py"))
        for name in declared(ast.parse(path.read_text(encoding="utf-8")))
        if (match := ending.search(name)) and match.group(1) not in allowed
    ]
    assert not strangers, "units that docs/glossary.md does not know: " + ", ".join(strangers)


def declared(tree: ast.AST) -> Iterator[str]:
    """Parameters of functions and annotated fields, lower-case."""
    for node in ast.walk(tree):
        if isinstance(node, ast.arg):
            yield node.arg
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            yield node.target.id if node.target.id.islower() else ""


def test_the_site_builds_without_a_warning(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", tmp_path / "site"],
        cwd=ROOT, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    home = (tmp_path / "site" / "index.html").read_text(encoding="utf-8")
    assert "every single balloon" in home
