"""What a client's photo is like, measured, so that decor set into it looks taken by the same lens:
grain, softness, and the colour of its white."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.photo.colour import LUMINANCE

Floats = NDArray[np.float64]

CALM_PX, REBLUR_PX = 1.0, 1.5
RENDERED_PX = 0.45
"""Softness of a traced edge: a box of one pixel, as the standard deviation of a blur."""
SOFTEST_PX, MOST_GRAIN = 3.0, 0.05
PALE = 0.25
"""Share of saturation below which a bright pixel may be something white."""


@dataclass(frozen=True, slots=True)
class Character:
    """Of a photo.

    Attributes:
        grain: standard deviation of its noise [encoded value, 0..1].
        soft_px: blur of its sharpest edges [px].
        white: (r, g, b) colour of what is white in it, of luminance 1.
    """

    grain: float
    soft_px: float
    white: tuple[float, float, float]


def character_of(encoded: Floats, linear: Floats) -> Character:
    """Measured from the photo (H, W, 3): sRGB values 0..1 and the same in linear light."""
    grey = encoded @ LUMINANCE
    return Character(_grain(grey), _softness(grey), _white(linear))


def _grain(grey: Floats) -> float:
    """Noise by the median of a second difference in which slopes cancel (Immerkaer 1996,
    robust form), where the photo is neither black nor burnt out."""
    if min(grey.shape) < 3:
        return 0.0
    g = grey
    second = (
        g[:-2, :-2] - 2 * g[:-2, 1:-1] + g[:-2, 2:]
        - 2 * (g[1:-1, :-2] - 2 * g[1:-1, 1:-1] + g[1:-1, 2:])
        + g[2:, :-2] - 2 * g[2:, 1:-1] + g[2:, 2:]
    )  # fmt: skip
    middle = g[1:-1, 1:-1]
    seen = second[(middle > 0.04) & (middle < 0.96)]
    if seen.size < 100:
        return 0.0
    return float(min(np.median(np.abs(seen)) / 0.6745 / 6.0, MOST_GRAIN))


def _softness(grey: Floats) -> float:
    """Blur of the sharpest edges from how much a known blur more weakens them: an edge of blur s
    keeps 1/sqrt(1 + b²/s²) of its slope (Zhuo and Sim 2011, from memory)."""
    import cv2

    image = cv2.GaussianBlur(grey.astype(np.float32), (0, 0), CALM_PX)  # grain is no edge
    again = cv2.GaussianBlur(image, (0, 0), REBLUR_PX)

    def slope(of: NDArray[Any]) -> Floats:
        down, across = np.gradient(np.asarray(of, dtype=float))
        return np.asarray(np.hypot(down, across))

    before, after = slope(image), slope(again)
    strong = before >= max(float(np.quantile(before, 0.995)), 0.03)
    if np.count_nonzero(strong) < 50:
        return RENDERED_PX
    ratio = float(np.median(before[strong] / np.maximum(after[strong], 1e-6)))
    if ratio <= 1.0 + 1e-3:
        return SOFTEST_PX
    whole = REBLUR_PX / np.sqrt(ratio**2 - 1)
    return float(np.clip(np.sqrt(max(whole**2 - CALM_PX**2, 0.0)), RENDERED_PX, SOFTEST_PX))


def _white(linear: Floats) -> tuple[float, float, float]:
    """Colour of the bright, pale and not burnt-out pixels; neutral where there are few."""
    light = linear @ LUMINANCE
    low, high = np.quantile(light, [0.80, 0.97])
    most, least = linear.max(-1), linear.min(-1)
    pale = (most - least) < PALE * np.maximum(most, 1e-6)
    chosen = (light >= low) & (light <= high) & pale & (most < 0.95)
    if np.count_nonzero(chosen) < 0.01 * light.size:
        return (1.0, 1.0, 1.0)
    mean = linear[chosen].mean(axis=0)
    r, g, b = np.clip(mean / max(float(mean @ LUMINANCE), 1e-6), 0.75, 1.35)
    return float(r), float(g), float(b)


def softened(image: Floats, soft_px: float) -> Floats:
    """A traced picture (H, W) or (H, W, C) as soft as the photo's edges."""
    import cv2

    more = np.sqrt(max(soft_px**2 - RENDERED_PX**2, 0.0))
    if more < 0.2:
        return image
    return np.asarray(cv2.GaussianBlur(image, (0, 0), float(more)), dtype=float)


def grained(pixels: NDArray[np.uint8], grain: float, where: Floats, seed: int = 5) -> Floats:
    """Bytes (H, W, 3) with the photo's grain wherever the decor covers it (H, W), as floats."""
    noise = np.random.default_rng(seed).normal(size=pixels.shape[:2]) * 255 * grain
    return np.asarray(pixels + (noise * where)[..., None])
