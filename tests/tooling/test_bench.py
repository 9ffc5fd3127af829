"""The bench runner prints what was measured, and a failing measurement fails the run."""

from __future__ import annotations

import json
import sys
import types
from pathlib import Path
from typing import Any

import pytest

from bench import __main__ as runner

RESULT = {
    "title": "Packing",
    "baseline": "a slow way",
    "rows": [
        {"balloons": 48, "ours s": 0.00123456, "ratio": 16.2, "note": "warm"},
        {"balloons": 5000, "ours s": 0.5, "ratio": 1234.5, "note": None},
    ],
}


@pytest.fixture
def module(monkeypatch: pytest.MonkeyPatch) -> types.ModuleType:
    made = types.ModuleType("bench.invented")
    monkeypatch.setitem(sys.modules, "bench.invented", made)
    monkeypatch.setattr(runner, "modules", lambda wanted: ["invented"])
    return made


def test_a_table_is_printed_and_kept(
    module: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    module.run = lambda quick: {**RESULT, "note": f"quick: {quick}"}
    assert runner.main(["--quick", "--json", str(tmp_path / "r.json")]) == 0
    printed = capsys.readouterr().out
    assert "Baseline: a slow way." in printed
    assert "|       48 | 0.00123 |  16.2 | warm |" in printed
    assert "|     5000 |     0.5 | 1,234 |      |" in printed
    assert "quick: True" in printed
    assert json.loads((tmp_path / "r.json").read_text())["invented"]["rows"] == RESULT["rows"]


def test_a_failing_measurement_fails_the_run(
    module: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    def run(quick: bool) -> None:
        raise RuntimeError("no such command")

    module.run = run
    assert runner.main([]) == 1
    assert "no such command" in capsys.readouterr().err


def test_an_unknown_name_is_refused() -> None:
    with pytest.raises(SystemExit, match=r"no bench named nonsense; there are: .*commands"):
        runner.main(["nonsense"])
