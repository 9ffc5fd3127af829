"""Photographs sent in from a phone: upright, of workable size, without what tells on people."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps, UnidentifiedImageError

from airwright.desk.editing.edits import EditError
from airwright.language import message

MOST_PIXELS = 120_000_000
LEAST_SIDE_PX = 200
_EXIF_BLOCK, _FOCAL_35MM = 0x8769, 41989


@dataclass(frozen=True, slots=True)
class SentPicture:
    """A picture as it is kept: a JPEG and its size [px]."""

    content: bytes
    width: int
    height: int


def kept_picture(data: bytes, longest_px: int) -> SentPicture:
    """A photograph made upright and small; of its notes only the lens stays, no place or time.

    Raises:
        EditError: it is no picture, damaged, or far too large or small.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as opened:
                _check_size(opened.size)
                noted = opened.getexif().get_ifd(_EXIF_BLOCK).get(_FOCAL_35MM)
                opened.draft("RGB", (2 * longest_px, 2 * longest_px))
                upright = ImageOps.exif_transpose(opened).convert("RGB")
    except EditError:
        raise
    except (
        UnidentifiedImageError, Image.DecompressionBombError, MemoryError, OSError, SyntaxError,
        ValueError, ZeroDivisionError, TypeError,
    ) as problem:  # fmt: skip
        raise EditError(
            message("This is no picture we can read."), message("Send a JPEG or PNG.")
        ) from problem
    upright.thumbnail((longest_px, longest_px), Image.Resampling.LANCZOS)
    notes = Image.Exif()
    if isinstance(noted, int) and 8 <= noted <= 600:
        notes.get_ifd(_EXIF_BLOCK)[_FOCAL_35MM] = noted
    out = io.BytesIO()
    upright.save(out, "JPEG", quality=90, exif=notes)
    return SentPicture(out.getvalue(), *upright.size)


def _check_size(size: tuple[int, int]) -> None:
    if size[0] * size[1] > MOST_PIXELS:
        raise EditError(
            message("This picture is too large."), message("Save it smaller and send it again.")
        )
    if min(size) < LEAST_SIDE_PX:
        raise EditError(
            message("This picture is too small."),
            message("Send one of at least {n} pixels a side.", n=LEAST_SIDE_PX),
        )
