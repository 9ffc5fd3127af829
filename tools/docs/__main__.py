"""Writes the generated pages, or says which are stale.

    python -m tools.docs            write them
    python -m tools.docs --check    write nothing; exit 1 when one is stale

The validation page depends on a test run, so it is written but not checked.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from tools.docs import buying_files, calculators, commands, job_file, plan_file, validation

DOCS = Path(__file__).resolve().parents[2] / "docs"
#: Page, what renders it, whether a stale copy fails the check.
PAGES: tuple[tuple[str, Callable[[], str], bool], ...] = (
    ("commands.md", commands.render, True),
    ("calculators.md", calculators.render, True),
    ("job-file.md", job_file.render, True),
    ("plan-file.md", plan_file.render, True),
    ("plan.schema.json", plan_file.schema_text, True),
    ("buying-files.md", buying_files.render, True),
    ("suppliers.schema.json", buying_files.suppliers_text, True),
    ("stock.schema.json", buying_files.stock_text, True),
    ("buying.schema.json", buying_files.answer_text, True),
    ("validation.md", validation.render, False),
)


def main(arguments: list[str]) -> int:
    check = "--check" in arguments
    stale = []
    for name, render, checked in PAGES:
        if check and not checked:
            continue
        page, text = DOCS / name, render()
        if page.is_file() and page.read_text(encoding="utf-8") == text:
            continue
        if check:
            stale.append(name)
        else:
            page.write_text(text, encoding="utf-8")
            print(f"docs/{name}")
    for name in stale:
        print(f"docs/{name} is stale: run 'make docs-pages' and commit it", file=sys.stderr)
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
