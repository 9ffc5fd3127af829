"""Writes the generated pages and the types of the front end, or says which are stale.

    python -m tools.docs            write them
    python -m tools.docs --check    write nothing; exit 1 when one is stale

The validation page depends on a test run, and the page of kinds builds every one of them, so they
are written but not checked.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from tools import browser_types
from tools.docs import buying_files, calculators, commands, job_file, pieces, plan_file, validation

ROOT = Path(__file__).resolve().parents[2]
#: File, what renders it, whether a stale copy fails the check.
PAGES: tuple[tuple[str, Callable[[], str], bool], ...] = (
    ("docs/commands.md", commands.render, True),
    ("docs/calculators.md", calculators.render, True),
    ("docs/job-file.md", job_file.render, True),
    ("docs/plan-file.md", plan_file.render, True),
    ("docs/plan.schema.json", plan_file.schema_text, True),
    ("docs/buying-files.md", buying_files.render, True),
    ("docs/suppliers.schema.json", buying_files.suppliers_text, True),
    ("docs/stock.schema.json", buying_files.stock_text, True),
    ("docs/buying.schema.json", buying_files.answer_text, True),
    ("frontend/src/answers.ts", browser_types.render, True),
    ("docs/pieces.md", pieces.render, False),
    ("docs/validation.md", validation.render, False),
)


def main(arguments: list[str]) -> int:
    check = "--check" in arguments
    stale = []
    for name, render, checked in PAGES:
        if check and not checked:
            continue
        page, text = ROOT / name, render()
        if page.is_file() and page.read_text(encoding="utf-8") == text:
            continue
        if check:
            stale.append(name)
        else:
            page.parent.mkdir(parents=True, exist_ok=True)
            page.write_text(text, encoding="utf-8")
            print(name)
    for name in stale:
        print(f"{name} is stale: run 'make docs-pages' and commit it", file=sys.stderr)
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
