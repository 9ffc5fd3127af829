"""RFC 5545, Internet Calendaring and Scheduling, §3.1: lines of the job's calendar file.

"Lines of text SHOULD NOT be longer than 75 octets, excluding the line break"; lines end with
CRLF; a folded line goes on after CRLF and one space. §3.3.11: backslash, semicolon, comma and
newline are escaped in texts.
"""

from __future__ import annotations

import pytest

from airwright.papers.calendar import make
from airwright.papers.common.request import request_for
from tests.papers.plans import CJK, TODAY, plan_with

OCTETS = 75


@pytest.mark.published
def test_lines_are_folded_at_75_octets() -> None:
    plan = plan_with(head={"title": (CJK + " ") * 6, "contact": "x" * 200})
    (paper,) = make(request_for(plan, TODAY))
    lines = paper.data.split(b"\r\n")
    assert lines[-1] == b""
    assert max(map(len, lines)) <= OCTETS
    assert b"\n" not in paper.data.replace(b"\r\n", b"")


@pytest.mark.published
def test_texts_are_escaped() -> None:
    plan = plan_with(head={"title": "Load-in; hall A, level 2\\3"})
    (paper,) = make(request_for(plan, TODAY))
    unfolded = paper.data.replace(b"\r\n ", b"")
    assert b"SUMMARY:Build: Load-in\\; hall A\\, level 2\\\\3\r\n" in unfolded
