"""How photographs are to be, as typed on the command line; and the folder they go into."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from airwright.cli import common


@dataclass(frozen=True)
class PhotoSettings:
    """How photographs are to be, checked."""

    quality: str
    place: str | None
    size: tuple[int, int] | None
    view: Mapping[str, Any]


def checked_settings(
    quality: str, place: str | None, size: str | None, view: Mapping[str, Any]
) -> PhotoSettings:
    """How photographs are to be; ends with exit code 2 for what cannot be."""
    from airwright.pictures.photo import PhotoError, place_named, quality_named

    try:
        quality_named(quality)
        if place is not None:
            place_named(place)
    except PhotoError as problem:
        common.usage_error(problem.what, problem.mend)
    for name in ("wall", "floor"):
        colour = view.get(name)
        if colour is not None and not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
            common.usage_error(f'--{name}: "{colour[:20]}" is no colour.', 'Write it "#e8e2d8".')
    wanted = {name: value for name, value in view.items() if value not in (None, False)}
    return PhotoSettings(quality, place, None if size is None else _pixels(size), wanted)


def _pixels(text: str) -> tuple[int, int]:
    from airwright.pictures.photo import PhotoError
    from airwright.pictures.photo.photograph import check_size

    match = re.fullmatch(r"\s*(\d{1,6})\s*[x×]\s*(\d{1,6})\s*", text)
    if match is None:
        common.usage_error(f'--size: "{text[:20]}" is no size.', "Write pixels like 900x1200.")
    size = (int(match[1]), int(match[2]))
    try:
        check_size(size)
    except PhotoError as problem:
        common.usage_error(f"--size: {problem.what}", problem.mend)
    return size


def make_folder(out: Path) -> None:
    """The folder for the pictures, before the long work; ends with exit code 2 without it."""
    import tempfile

    try:
        out.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=out):
            pass
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or "it is no usable name"
        common.usage_error(
            f"The folder {str(out)[:200]} cannot take pictures: {reason}.",
            "Name another one with --out.",
        )
