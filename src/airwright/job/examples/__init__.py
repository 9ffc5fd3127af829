"""Job files that ship with Airwright; all of them play in an invented harbour."""

from __future__ import annotations

from contextlib import AbstractContextManager
from importlib.resources import as_file, files
from pathlib import Path

NAMES = ("ferry-terminal", "harbour-festival")


def example_text(name: str) -> str:
    """The text of an example job file. Raises FileNotFoundError."""
    return files(__name__).joinpath(f"{name}.toml").read_text(encoding="utf-8")


def example_path(name: str) -> AbstractContextManager[Path]:
    """The example as a file, for as long as the context lasts."""
    return as_file(files(__name__).joinpath(f"{name}.toml"))


def designs_path() -> AbstractContextManager[Path]:
    """The folder of invented designs a look book can be tried with."""
    return as_file(files(__name__).joinpath("designs"))
