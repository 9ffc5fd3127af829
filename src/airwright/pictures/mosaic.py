"""Images in, mosaics out: reading a picture to be laid in balloons, and showing what was laid."""

from __future__ import annotations

import io
import math
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from airwright.decor.assembly import Floats
from airwright.decor.mosaic import Cells
from airwright.language import Text, message
from airwright.physics.srgb import encoded_of, light_of

MOST_BYTES: Final = 60_000_000
MOST_PIXELS: Final = 120_000_000
FEWEST_PX: Final = 8
WORKING_PX: Final = 1600
"""Larger pictures are made smaller: a cell never needs more."""

ACUITY_PX_PER_RAD: Final = 60 * 180 / math.pi
"""Pixels a radian when one pixel is one minute of arc, what a good eye tells apart."""

MOST_SEEN_PX: Final = 2400

GAP: Final = 0.30
"""Brightness in the corner between four balloons, of the balloons' own."""


class ImageRefused(Exception):
    """A picture that cannot be laid: what is wrong and how to cure it."""

    def __init__(self, what: Text, mend: Text) -> None:
        super().__init__(str(what))
        self.what, self.mend = what, mend


@dataclass(frozen=True, slots=True)
class Crop:
    """A part of a picture, in shares of its width and height from the top left corner."""

    left: float = 0.0
    top: float = 0.0
    right: float = 1.0
    bottom: float = 1.0


def read_image(source: Path | bytes, crop: Crop | None = None) -> Floats:
    """A picture (H, W, 3) as linear light, upright, on white where it is see-through.

    Raises:
        ImageRefused: no picture, damaged, too large, too small, or nothing left of it.
    """
    from PIL import Image, ImageOps

    data = source if isinstance(source, bytes) else _read(source)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data)) as image:
                if image.width * image.height > MOST_PIXELS:
                    raise _too_large()
                image.draft("RGB", (2 * WORKING_PX, 2 * WORKING_PX))
                upright = ImageOps.exif_transpose(image).convert("RGBA")
    except Image.DecompressionBombError as problem:
        raise _too_large() from problem
    except (OSError, SyntaxError, ValueError, ZeroDivisionError, TypeError) as problem:
        raise ImageRefused(
            message("The image cannot be read: it is no picture, or it is damaged."),
            message("Use a PNG, JPEG or WebP file."),
        ) from problem
    part = _cropped(upright.size, crop or Crop())
    upright = upright.crop(part)
    upright.thumbnail((WORKING_PX, WORKING_PX), Image.Resampling.LANCZOS)
    values = np.asarray(upright, dtype=np.float64) / 255.0
    opaque = values[..., 3:]
    return np.asarray(light_of(values[..., :3]) * opaque + (1.0 - opaque))


def _read(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise _too_large()
        return path.read_bytes()
    except OSError as problem:
        raise ImageRefused(
            message("The image {name} cannot be opened.", name=path.name),
            message("Check its name and folder."),
        ) from problem


def _too_large() -> ImageRefused:
    return ImageRefused(
        message("The image is too large."),
        message("Save it with a long side of about 2000 pixels."),
    )


def _cropped(size: tuple[int, int], crop: Crop) -> tuple[int, int, int, int]:
    wide, high = size
    box = (
        round(crop.left * wide),
        round(crop.top * high),
        round(crop.right * wide),
        round(crop.bottom * high),
    )
    if box[2] - box[0] < FEWEST_PX or box[3] - box[1] < FEWEST_PX:
        raise ImageRefused(
            message(
                "The image is only {wide} × {high} pixels.",
                wide=max(box[2] - box[0], 0),
                high=max(box[3] - box[1], 0),
            ),
            message("Take one of at least {least} × {least} pixels.", least=FEWEST_PX),
        )
    return box


def wall_image(cells: Cells, colours: Floats, cell_px: int) -> Floats:
    """The wall from the front, each balloon a soft, pressed ball; (H, W, 3) linear light."""
    across = (np.arange(cell_px) + 0.5) / cell_px * 2.0 - 1.0
    x, y = np.meshgrid(across, across)
    far = (np.abs(x) ** 2.6 + np.abs(y) ** 2.6) ** (1 / 2.6)
    round_off = np.clip(1.0 - 0.38 * far**3, 0.0, 1.0)
    light_from_above = 1.0 + 0.10 * (-y) * (1.0 - far).clip(0, 1)
    edge = np.clip((1.08 - far) / 0.10, 0.0, 1.0)
    ball = round_off * light_from_above * (GAP + (1.0 - GAP) * edge)
    shine = 0.16 * np.exp(-(((x + 0.3) ** 2 + (y + 0.4) ** 2) / 0.05))
    tall, wide = cells.shape
    painted = np.kron(colours[cells], np.ones((cell_px, cell_px, 1)))
    tiled = np.tile(ball, (tall, wide))[..., None]
    lit = painted * tiled + np.tile(shine, (tall, wide))[..., None]
    return np.asarray(np.clip(lit, 0.0, 1.0))


def seen_from(cells: Cells, colours: Floats, cell_m: float, distance_m: float) -> Floats:
    """What a good eye tells apart at a distance: one pixel a minute of arc.

    Args:
        cells, colours: the mosaic.
        cell_m: across one balloon [m].
        distance_m: from the middle of the wall [m].

    Returns:
        (H, W, 3) linear light; walls that fill more of the view than the picture may hold are
        shown with fewer pixels a degree.
    """
    from scipy.ndimage import gaussian_filter, zoom

    wide_rad = 2 * math.atan(cells.shape[1] * cell_m / 2 / distance_m)
    wide_px = min(wide_rad * ACUITY_PX_PER_RAD, MOST_SEEN_PX)
    per_cell = wide_px / cells.shape[1]
    drawn_px = max(8, math.ceil(per_cell))
    drawn = wall_image(cells, colours, drawn_px)
    shrink = per_cell / drawn_px
    soft = gaussian_filter(drawn, (0.5 / shrink, 0.5 / shrink, 0))
    return np.asarray(np.clip(zoom(soft, (shrink, shrink, 1), order=1), 0.0, 1.0))


def png(light: Floats) -> bytes:
    """Linear light (H, W, 3) as a PNG file."""
    from PIL import Image

    out = io.BytesIO()
    Image.fromarray(np.round(encoded_of(light) * 255).astype(np.uint8)).save(out, "PNG")
    return out.getvalue()
