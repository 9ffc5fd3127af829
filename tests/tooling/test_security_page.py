"""The page about security names tests that are there, and says of each row whether it is met."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "security.md"
ROW = re.compile(r"^\| (\d[\d., –]*) \| (.+?) \| (.+?) \| (.*?) \|$", re.MULTILINE)
SAYS_SO = re.compile(r"met|part|not met|none|there are none|as \d|nothing|Python")


def rows() -> list[tuple[str, str, str, str]]:
    return ROW.findall(PAGE.read_text(encoding="utf-8"))


def is_there(proof: str) -> bool:
    file, _, name = proof.partition("::")
    path = ROOT / file
    if not path.is_file():
        return False
    return not name or f"def {name}(" in path.read_text(encoding="utf-8")


def test_every_row_says_how_it_stands_and_names_a_test_that_is_there() -> None:
    assert len(rows()) > 90
    for ids, _, here, proof in rows():
        assert SAYS_SO.match(here), ids
        names = re.findall(r"`([^`]+)`", proof)
        if here == "met":
            assert names, f"{ids} is met, and nothing proves it"
        for name in names:
            assert is_there(name), f"{ids}: {name}"


def test_no_requirement_stands_twice() -> None:
    single = [one.strip() for ids, *_ in rows() for one in ids.split(",") if "–" not in one]
    assert sorted(single) == sorted(set(single))


def test_the_check_above_can_fail() -> None:
    assert not is_there("tests/tooling/test_security_page.py::test_nowhere")
    assert not is_there("tests/nowhere.py")
