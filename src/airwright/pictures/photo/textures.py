"""Surfaces painted by sum: floorboards, plaster and grass.

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
