"""Fills the pages of the documentation that are read off the repository itself."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

DECISIONS = Path(__file__).resolve().parents[2] / "docs" / "decisions"
DECISION_LIST = "<!-- list of decisions -->"


def on_page_markdown(markdown: str, **_: Any) -> str:
    """mkdocs calls this for each page before it is rendered."""
    return markdown.replace(DECISION_LIST, decision_list())


def decision_list() -> str:
    """One line a record, by number, with its title."""
    lines = []
    for path in sorted(DECISIONS.glob("[0-9]*.md")):
        heading = re.search(r"^# (.+)$", path.read_text(encoding="utf-8"), re.MULTILINE)
        number = path.name.split("-")[0]
        title = re.sub(rf"^0*{int(number)}[.:]?\s*", "", heading.group(1)) if heading else path.stem
        lines.append(f"| {number} | [{title}]({path.name}) |")
    return "\n".join(["| number | decision |", "| --- | --- |", *lines])
