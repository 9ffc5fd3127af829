"""No circle of imports inside a room: whoever reads a file need not have read another first."""

from __future__ import annotations

from functools import cache
from typing import Any

import grimp
import pytest


@cache
def graph() -> Any:
    return grimp.build_graph("airwright", cache_dir=None)


def circles(built: Any, files: set[str]) -> set[str]:
    """Files that are imported by something they import."""
    return {
        file
        for file in files
        for other in built.find_modules_directly_imported_by(file)
        if other in files and file in built.find_upstream_modules(other)
    }


@pytest.mark.parametrize("room", ["plan", "money", "physics", "job", "decor"])
def test_no_file_imports_itself_by_way_of_others(room: str) -> None:
    built, name = graph(), f"airwright.{room}"
    # A front door names what lies behind it; that is no circle for whoever reads the file.
    files = {m for m in built.modules if m.startswith(f"{name}.") and not built.find_children(m)}
    assert len(files) > 3
    assert circles(built, files) == set()


def test_a_circle_would_be_seen() -> None:
    found = grimp.ImportGraph()
    for one, other in (("a.b", "a.c"), ("a.c", "a.d"), ("a.d", "a.b")):
        found.add_import(importer=one, imported=other)
    assert circles(found, {"a.b", "a.c", "a.d"}) == {"a.b", "a.c", "a.d"}
