"""The folder that needs no Python: what it takes along, and the proof that it starts."""

from __future__ import annotations

import stat
from importlib.util import find_spec
from pathlib import Path

import pytest

from tools.app import EXTRA, SOURCE, START, WHOLE, prove


def test_what_is_taken_along_is_there() -> None:
    assert [name for name in WHOLE if find_spec(name) is None] == []
    assert not set(WHOLE) & set(EXTRA)
    assert (SOURCE / "store" / "migrations" / "env.py").is_file()
    compile(START, "start.py", "exec")


@pytest.mark.parametrize(
    ("script", "said"),
    [("echo a traceback", "a traceback"), ("echo open at http://127.0.0.1:9/", "refused")],
)
def test_a_program_that_does_not_start_fails_the_proof(
    tmp_path: Path, script: str, said: str
) -> None:
    program = tmp_path / "airwright"
    program.write_text(f"#!/bin/sh\n{script}\n")
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    with pytest.raises((RuntimeError, OSError), match=said):
        prove(program)
