"""Surfaces painted by sum: floorboards, plaster, grass, and the print on a jumbo.

All are repeatable (fixed seeds) and in linear light.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.photo.colour import to_linear
from airwright.pictures.photo.render import image_library

Floats = NDArray[np.float64]


def _noise(shape: tuple[int, int], cells: tuple[int, int], seed: int) -> Floats:
    """Smooth noise -1..1 that wraps, so that tiles join."""
    cv2 = image_library()

    rng = np.random.default_rng(seed)
    coarse = rng.uniform(-1, 1, cells)
    padded = np.pad(coarse, ((2, 2), (2, 2)), mode="wrap").astype(np.float32)
    scale = (shape[0] / cells[0], shape[1] / cells[1])
    big = cv2.resize(
        padded,
        (round(padded.shape[1] * scale[1]), round(padded.shape[0] * scale[0])),
        interpolation=cv2.INTER_CUBIC,
    )
    top, left = round(2 * scale[0]), round(2 * scale[1])
    return np.asarray(big[top : top + shape[0], left : left + shape[1]], dtype=np.float64)


@lru_cache(maxsize=8)
def floorboards(colour: tuple[float, float, float], seed: int = 3) -> Floats:
    """(1024, 1024, 3) boards running into the depth, one tile 2.4 m square, in a linear colour."""
    size, boards = 1024, 16
    rng = np.random.default_rng(seed)
    x = np.arange(size)
    board = x * boards // size
    edge = np.minimum(x % (size // boards), size // boards - 1 - x % (size // boards))
    tone = np.zeros((size, size))
    seam = np.ones((size, size))
    rows = np.arange(size)
    for number in range(boards):
        columns = board == number
        joint = int(rng.integers(size))
        length = (rows - joint) % size
        half = length < size * rng.uniform(0.4, 0.6)
        tones = rng.normal(0, 0.07, 2)
        tone[:, columns] = np.where(half, tones[0], tones[1])[:, None]
        near = np.minimum(length, np.roll(length, int(size * 0.5)))
        seam[near < 2, :] = np.where(columns[None, :], 0.6, seam[near < 2, :])
        streaks = np.roll(_noise((size, size), (6, 256), seed + 7), joint, axis=0)
        tone[:, columns] += 0.055 * streaks[:, columns]
    tone += 0.04 * _noise((size, size), (24, 40), seed + 1)
    seam *= np.where(edge < 1, 0.55, 1.0)[None, :]
    value = np.exp(tone) * seam
    base = np.asarray(colour)
    warm = 1 + 0.18 * tone[..., None] * np.array([0.4, 0.0, -0.7])
    return np.asarray(np.clip(base * value[..., None] * warm, 0.0, 0.95))


@lru_cache(maxsize=8)
def plaster(colour: tuple[float, float, float], seed: int = 5) -> Floats:
    """(512, 512, 3) painted wall: barely cloudy, so that large walls do not look like paper."""
    value = 1 + 0.012 * _noise((512, 512), (6, 6), seed) + 0.008 * _noise((512, 512), (64, 64), 9)
    return np.clip(np.asarray(colour) * value[..., None], 0.0, 0.95)


@lru_cache(maxsize=2)
def meadow(seed: int = 11) -> Floats:
    """(1024, 1024, 3) mown grass seen from far."""
    shape = (1024, 1024)
    tone = 0.22 * _noise(shape, (12, 12), seed) + 0.3 * _noise(shape, (300, 300), seed + 1)
    dry = np.clip(0.3 + 0.5 * _noise(shape, (20, 20), seed + 2), 0, 1)[..., None]
    green = to_linear(np.array([0.30, 0.43, 0.16]))
    straw = to_linear(np.array([0.50, 0.52, 0.24]))
    return np.clip((green * (1 - 0.5 * dry) + straw * 0.5 * dry) * np.exp(tone)[..., None], 0, 0.9)


def print_on(mark: str, colour: Floats, ink: Floats | None = None) -> Floats:
    """(512, 1024, 3) print round a balloon: "dots", or a text on its front and its back.

    u runs round the balloon with the front in the middle, v from neck to crown. The ink is
    white on dark shades and dark on light ones unless given (linear).
    """
    width, height = 1024, 512
    if ink is None:
        light = float(colour @ np.array([0.2126, 0.7152, 0.0722])) > 0.35
        ink = np.full(3, 0.03) if light else np.full(3, 0.88)
    cover = _dots(width, height) if mark.strip().lower() == "dots" else _text(mark, width, height)
    upright = cover[::-1, :, None]  # the renderer counts rows from the neck
    return np.asarray(colour * (1 - upright) + ink * upright)


def _dots(width: int, height: int) -> Floats:
    """Dots spread evenly over the ball: rows of equal pitch, each row with what fits round it."""
    v, u = np.mgrid[0:height, 0:width]
    polar = (v + 0.5) / height * np.pi  # from the neck; near enough to a ball
    cover = np.zeros((height, width))
    rows = 9
    for row in range(1, rows):
        angle = row * np.pi / rows
        count = max(1, round(2 * rows * np.sin(angle)))
        turn = (u / width * count + 0.5 * (row % 2)) % 1.0 - 0.5
        east = turn / count * 2 * np.pi * np.sin(angle)
        distance = np.hypot(east, polar - angle)
        cover = np.maximum(cover, np.clip((0.085 - distance) / 0.008 + 0.5, 0, 1))
    return cover


def _text(mark: str, width: int, height: int) -> Floats:
    from PIL import Image, ImageDraw, ImageFont

    words = mark.strip()[:60]
    lines = words.split() if len(words) > 9 and " " in words else [words]
    lines = lines[:4]
    room = width * 0.30  # about a third of the way round can be read from the front
    longest = max(lines, key=len)
    size = int(min(110, room / max(1, len(longest)) * 1.65, height * 0.36 / len(lines)))
    font = ImageFont.load_default(size=max(size, 14))
    canvas = Image.new("L", (width, height), 0)
    pen = ImageDraw.Draw(canvas)
    for at in (0, width // 2, width):
        for number, line in enumerate(lines):
            y = height * 0.42 + (number - (len(lines) - 1) / 2) * size * 1.12
            pen.text(
                (at, y), line, fill=255, font=font, anchor="mm", stroke_width=max(1, size // 28)
            )
    return np.asarray(canvas, dtype=float) / 255
