"""Fills the pages of the documentation that are read off the repository itself."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

DECISIONS = Path(__file__).resolve().parents[2] / "docs" / "decisions"
DECISION_LIST = "<!-- list of decisions -->"


def on_page_markdown(markdown: str, **_: Any) -> str:
    """mkdocs calls this for each page before it is rendered."""
    return markdown.replace(DECISION_LIST, decision_list())


_pages: list[dict[str, str]] = []
"""What the search box looks into: address, title and words of each page."""


def on_pre_build(**_: Any) -> None:
    """mkdocs calls this before anything else."""
    _pages.clear()


def on_page_content(html: str, page: Any, **_: Any) -> str:
    """mkdocs calls this for each rendered page."""
    text = unescape(re.sub(r"<[^>]+>", " ", re.sub(r"(?s)<(style|script|svg).*?</\1>", " ", html)))
    words = " ".join(text.replace("#", " ").split())
    _pages.append({"url": page.url, "title": page.title, "text": words})
    return html


def on_post_build(config: Any, **_: Any) -> None:
    """mkdocs calls this at the end. A script, since pages opened off a disk may fetch nothing."""
    file = Path(config["site_dir"]) / "search-index.js"
    file.write_text(f"window.airwrightPages = {json.dumps(_pages)};\n", encoding="utf-8")


def decision_list() -> str:
    """One line a record, by number, with its title."""
    lines = []
    for path in sorted(DECISIONS.glob("[0-9]*.md")):
        heading = re.search(r"^# (.+)$", path.read_text(encoding="utf-8"), re.MULTILINE)
        number = path.name.split("-")[0]
        title = re.sub(rf"^0*{int(number)}[.:]?\s*", "", heading.group(1)) if heading else path.stem
        lines.append(f"| {number} | [{title}]({path.name}) |")
    return "\n".join(["| number | decision |", "| --- | --- |", *lines])
