"""Photographs for paper: taken when readable, else the drawing stands in and a finding says why."""

from __future__ import annotations

import io
import warnings
from pathlib import Path
from typing import Final

from airwright.job.findings import Finding, hint
from airwright.papers.common.pictures import Picture

LARGEST_FILE: Final = 40_000_000
MOST_PIXELS: Final = 60_000_000
_FORMATS: Final = {"PNG": "png", "JPEG": "jpg"}


def photograph(
    path: Path | None, stem: str, name: str
) -> tuple[Picture | None, tuple[Finding, ...]]:
    """Read a photograph.

    Args:
        path: PNG or JPEG file, None for none.
        stem: file name it gets in the template, without ending.
        name: what it shows.

    Returns:
        The picture and no finding, or None and why.
    """
    if path is None:
        return None, ()
    try:
        data, ending, aspect = _read(path)
    except (OSError, ValueError, SyntaxError) as problem:
        what = f'The photograph of "{name}" ({path.name}) cannot be used: {_reason(problem)}.'
        return None, (hint("photo-unusable", "", what, "The drawing is shown; use a PNG or JPEG."),)
    alt = f"Photograph of {name}"
    return Picture(f"{stem}.{ending}", data, aspect, alt, photograph=True), ()


def _read(path: Path) -> tuple[bytes, str, float]:
    from PIL import Image

    if path.stat().st_size > LARGEST_FILE:
        raise ValueError("the file is too large")
    data = path.read_bytes()
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            with Image.open(io.BytesIO(data)) as image:
                ending = _FORMATS.get(image.format or "")
                wide, high = image.size
                if ending is None:
                    raise ValueError(f"{image.format} is not a format for print")
                if wide * high > MOST_PIXELS:
                    raise ValueError("it has too many pixels")
                image.load()
        except (Image.DecompressionBombError, Image.DecompressionBombWarning):
            raise ValueError("it has too many pixels") from None
    return data, ending, wide / high


def _reason(problem: Exception) -> str:
    if isinstance(problem, OSError) and problem.strerror:
        return problem.strerror.lower()
    if isinstance(problem, OSError | SyntaxError):
        return "it is no picture"
    return str(problem)
