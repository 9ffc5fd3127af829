"""Small helpers for writing Markdown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def cell(value: object) -> str:
    """Text that is safe inside a table cell."""
    return " ".join(str(value).split()).replace("|", "\\|")


def code(value: object) -> str:
    """Text as code, empty for nothing."""
    shown = cell(value)
    return f"`{shown}`" if shown else ""


def table(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A Markdown table."""
    lines = [f"| {' | '.join(head)} |", f"| {' | '.join('---' for _ in head)} |"]
    lines += [f"| {' | '.join(cell(value) for value in row)} |" for row in rows]
    return "\n".join(lines)


def generated(by: str) -> str:
    """The note on top of a generated page."""
    return f"<!-- Written by 'make docs-pages' from {by}; changes here are lost. -->"
