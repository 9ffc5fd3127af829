"""Photographs for paper: taken when readable, else the drawing stands in and a finding says why."""

from __future__ import annotations

import base64
import io
import warnings
from pathlib import Path
from typing import Final

from airwright.job.findings import Finding, hint
from airwright.papers.common.pictures import Picture

LARGEST_FILE: Final = 40_000_000
MOST_PIXELS: Final = 60_000_000
_FORMATS: Final = {"PNG": "png", "JPEG": "jpeg"}


def photograph(
    path: Path | None, stem: str, name: str
) -> tuple[Picture | None, tuple[Finding, ...]]:
    """Read a photograph.

    Args:
        path: PNG or JPEG file, None for none.
        stem: file name it gets in the template, without its ending.
        name: what it shows.

    Returns:
        The picture and no finding, or None and why.
    """
    if path is None:
        return None, ()
    try:
        data, kind, wide, high = _read(path)
    except (OSError, ValueError, SyntaxError) as problem:
        what = f'The photograph of "{name}" ({path.name}) cannot be used: {_reason(problem)}.'
        return None, (hint("photo-unusable", "", what, "The drawing is shown; use a PNG or JPEG."),)
    alt = f"Photograph of {name}"
    return Picture(f"{stem}.svg", wrapped(data, kind, wide, high), wide / high, alt, True), ()


def wrapped(data: bytes, kind: str, wide: int, high: int) -> bytes:
    """A photograph inside an SVG: the typesetter takes only texts from memory."""
    inside = base64.b64encode(data).decode("ascii")
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="{wide}" height="{high}" viewBox="0 0 {wide} {high}">'
        f'<image width="{wide}" height="{high}" xlink:href="data:image/{kind};base64,{inside}"/>'
        "</svg>"
    ).encode("ascii")


def _read(path: Path) -> tuple[bytes, str, int, int]:
    from PIL import Image

    if path.stat().st_size > LARGEST_FILE:
        raise ValueError("the file is too large")
    data = path.read_bytes()
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            with Image.open(io.BytesIO(data)) as image:
                kind = _FORMATS.get(image.format or "")
                wide, high = image.size
                if kind is None:
                    raise ValueError(f"{image.format} is not a format for print")
                if wide * high > MOST_PIXELS:
                    raise ValueError("it has too many pixels")
                image.load()
        except (Image.DecompressionBombError, Image.DecompressionBombWarning):
            raise ValueError("it has too many pixels") from None
    return data, kind, wide, high


def _reason(problem: Exception) -> str:
    if isinstance(problem, OSError) and problem.strerror:
        return problem.strerror.lower()
    if isinstance(problem, OSError | SyntaxError):
        return "it is no picture"
    return str(problem)
