"""A client's photo of the venue, read with care: it comes from anywhere."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.photo.errors import PhotoError

MOST_BYTES = 60_000_000
MOST_PIXELS = 120_000_000
"""No phone takes more; beyond it a file is a mistake or an attack."""
LEAST_SIDE_PX = 200
WORKING_PX = 1600
"""Longer side of the picture that is worked on and given back."""
_FOCAL_35MM = 41989
_NOTED_WIDTH, _NOTED_HEIGHT = 40962, 40963
SHAPES = (1.0, 5 / 4, 4 / 3, 3 / 2, 16 / 9, 2.0, 19.5 / 9, 20 / 9)
"""Longer over shorter side of what phones and cameras take."""
SAME_SHAPE = 0.012
"""Shapes nearer than this, as a share, are the same: cameras round to blocks of pixels."""
_EXIF_BLOCK = 0x8769


@dataclass(frozen=True, slots=True, eq=False)
class Venue:
    """A photo of the venue.

    Attributes:
        pixels: (H, W, 3) sRGB bytes, longer side at most WORKING_PX.
        scale: pixels here over pixels of the file (marks are given in the file's pixels).
        focal_px: focal length in these pixels, None where the camera did not note it.
        noted: sides of the picture that the camera noted [px], None where it did not.
    """

    pixels: NDArray[np.uint8]
    scale: float
    focal_px: float | None
    noted: tuple[int, int] | None = None

    @property
    def cut(self) -> bool | None:
        """Whether the photo was cut after it was taken: True where the camera's note says so,
        None where only its shape is unusual."""
        shape = max(self.size) / min(self.size)
        if self.noted is not None:
            taken = max(self.noted) / min(self.noted)
            if abs(shape / taken - 1) > SAME_SHAPE:
                return True
        return False if any(abs(shape / known - 1) <= SAME_SHAPE for known in SHAPES) else None

    @property
    def size(self) -> tuple[int, int]:
        """(width, height) [px]."""
        return self.pixels.shape[1], self.pixels.shape[0]


def read_venue(source: Path | bytes) -> Venue:
    """The venue's photo from a file or its bytes, upright and of workable size.

    Raises PhotoError for what is no picture, is damaged, or is too large or too small.
    """
    from PIL import Image, ImageOps

    data = _bytes_of(source)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data)) as image:
                _check_size(image.size)
                focal = _focal_share(image)
                noted = _noted_size(image)
                long_side = max(image.size)
                image.draft("RGB", (2 * WORKING_PX, 2 * WORKING_PX))
                upright = ImageOps.exif_transpose(image).convert("RGB")
        upright.thumbnail((WORKING_PX, WORKING_PX), Image.Resampling.LANCZOS)
    except Image.DecompressionBombError as error:
        raise _too_large("more than it may hold") from error
    except MemoryError as error:
        raise _too_large("too many pixels for this computer's memory") from error
    except (OSError, SyntaxError, ValueError, ZeroDivisionError, TypeError) as error:
        raise PhotoError(
            "room.unreadable",
            "The venue's photo cannot be read: it is no picture, or it is damaged.",
            "Use a JPEG or PNG straight from the camera or phone.",
        ) from error
    pixels = np.asarray(upright, dtype=np.uint8)
    working = max(pixels.shape[:2])
    focal_px = None if focal is None else focal * working
    return Venue(pixels, working / long_side, focal_px, noted)


def _bytes_of(source: Path | bytes) -> bytes:
    if isinstance(source, bytes):
        data = source
    else:
        try:
            if source.stat().st_size > MOST_BYTES:
                raise _too_large(f"a file of {source.stat().st_size / 1e6:.0f} MB")
            data = source.read_bytes()
        except OSError as error:
            raise PhotoError(
                "room.missing",
                f"The venue's photo {source.name} cannot be opened ({error.strerror}).",
                "Check its name and folder.",
            ) from error
    if len(data) > MOST_BYTES:
        raise _too_large(f"a file of {len(data) / 1e6:.0f} MB")
    return data


def _check_size(size: tuple[int, int]) -> None:
    width, height = size
    if width * height > MOST_PIXELS:
        raise _too_large(f"{width} × {height} pixels")
    if min(size) < LEAST_SIDE_PX:
        raise PhotoError(
            "room.too-small",
            f"The venue's photo has only {width} × {height} pixels.",
            f"Use one of at least {LEAST_SIDE_PX} pixels a side.",
        )


def _focal_share(image: object) -> float | None:
    """Focal length over the longer side, from the 35 mm equivalent the camera noted."""
    exif = image.getexif()  # type: ignore[attr-defined]
    noted = exif.get_ifd(_EXIF_BLOCK).get(_FOCAL_35MM) or exif.get(_FOCAL_35MM)
    try:
        length = float(noted)
    except (TypeError, ValueError):
        return None
    return length / 36.0 if 8 <= length <= 600 else None


def _noted_size(image: object) -> tuple[int, int] | None:
    """Width and height the camera noted [px], whichever way it was held."""
    block = image.getexif().get_ifd(_EXIF_BLOCK)  # type: ignore[attr-defined]
    try:
        width, height = int(block[_NOTED_WIDTH]), int(block[_NOTED_HEIGHT])
    except (KeyError, TypeError, ValueError):
        return None
    return (width, height) if min(width, height) >= LEAST_SIDE_PX else None


def _too_large(how: str) -> PhotoError:
    return PhotoError(
        "room.too-large",
        f"The venue's photo is too large ({how}).",
        "Save it smaller, for example 4000 pixels wide, and try again.",
    )
