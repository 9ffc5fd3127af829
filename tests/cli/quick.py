"""What the tests of photographs on the command line share."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from typer.testing import CliRunner, Result

from airwright.cli.app import app
from airwright.pictures.photo import Camera, Photo

SMALL = ["--quality", "draft", "--size", "64x86"]


@dataclass
class QuickCamera:
    """Stands in for the ray tracer: a plain picture at once, or the trouble it is told to have."""

    taken: list[str] = field(default_factory=list)
    trouble: Exception | None = None

    def __call__(
        self, assembly: Any, place: str, quality: str, size: tuple[int, int], **view: Any
    ) -> Photo:
        if self.trouble is not None:
            raise self.trouble
        self.taken.append(assembly.name)
        if view["progress"] is not None:
            view["progress"](0.5, 1.0)
        pixels = np.full((size[1], size[0], 3), len(self.taken), np.uint8)
        at = Camera((0.0, -4.0, 1.6), 0.0, 1.5, (0.0, 0.0), size)
        return Photo(pixels, 1, 0.0, at, place, quality)


def run(*args: object) -> Result:
    done = CliRunner().invoke(app, [str(arg) for arg in args])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    assert "Traceback" not in done.stderr
    return done


def one_cloud_column(text: str) -> str:
    """The example with its cloud column as the only piece."""
    head, *pieces = text[: text.index("[[options]]")].split("[[pieces]]")
    (cloud,) = (piece for piece in pieces if "Cloud column" in piece)
    return f"{head}[[pieces]]{cloud}"


def files_in(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
