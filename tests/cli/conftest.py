"""A user's home of a test's own, the example job in it, and a camera that takes no time."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwright.job.examples import example_text
from airwright.pictures.photo import cache
from tests.cli.quick import QuickCamera


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user's cache folder of this test's own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path


@pytest.fixture
def camera(home: Path, monkeypatch: pytest.MonkeyPatch) -> QuickCamera:
    quick = QuickCamera()
    monkeypatch.setattr(cache, "photograph", quick)
    return quick


@pytest.fixture
def job_file(home: Path) -> Path:
    path = home / "job.toml"
    path.write_text(example_text("ferry-terminal"))
    return path
