"""A short run of the fuzzer, always the same; and a proof that it can find something."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwright.desk.editing import builder
from tools.fuzz import Run


def test_a_short_run_finds_nothing() -> None:
    run = Run(seed=7)
    for number in range(160):
        run.one(number)
    assert run.failures == []
    assert run.planned > 20  # not every case may stop at the first error
    assert {"job", "studio", "edit"} == set(run.cases)


def test_what_is_raised_is_found_and_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise KeyError("no such row")

    monkeypatch.setattr(builder, "read_job", broken)
    run = Run(seed=7, out=tmp_path)
    run.one(0)
    assert len(run.failures) == 1
    assert "KeyError" in run.failures[0]
    kept = next(tmp_path.iterdir()).read_text("utf-8")
    assert "airwright-job/1" in kept
