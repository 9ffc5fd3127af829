"""Colour between a shade's #rrggbb, linear light and the picture's bytes."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from airwright.physics.srgb import encoded_of, light_of
from airwright.pictures.photo.errors import PhotoError

Floats = NDArray[np.float64]

SHOULDER = 0.86
"""Linear light up to which the picture is true; brighter light is rolled off softly."""

LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
"""Share of red, green and blue in brightness (sRGB, IEC 61966-2-1)."""


def to_linear(encoded: Floats) -> Floats:
    """sRGB values 0..1 as linear light (IEC 61966-2-1)."""
    return light_of(np.clip(np.asarray(encoded, dtype=float), 0.0, 1.0))


def to_encoded(linear: Floats) -> Floats:
    """Linear light 0..1 as sRGB values (IEC 61966-2-1)."""
    return encoded_of(linear)


def shade_linear(colour: str) -> Floats:
    """(3,) linear light of "#rrggbb"; PhotoError for anything else."""
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
        raise PhotoError(
            "photo.colour",
            f"“{colour}” is no colour.",
            "Write it as #rrggbb, for example #f0705a.",
        )
    return to_linear(np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)]) / 255)


def rolled_off(linear: Floats) -> Floats:
    """Light with its highlights bent to white: untouched up to SHOULDER, never above 1.

    The brightest channel decides, so that a coloured highlight keeps its hue; far above white
    it pales, as film and eye do.
    """
    peak = np.maximum(linear.max(axis=-1, keepdims=True), 1e-9)
    room = 1.0 - SHOULDER
    over = np.maximum(peak - SHOULDER, 0.0) / room
    bent = np.where(over > 0, SHOULDER + room * (1.0 - np.exp(-over)), peak)
    kept = linear * (bent / peak)
    pale = np.clip((peak - 1.0) / 6.0, 0.0, 1.0)
    return np.asarray(kept + (bent - kept) * pale)


def to_bytes(linear: Floats, seed: int = 7) -> NDArray[np.uint8]:
    """Linear light (H, W, 3) as sRGB bytes; a repeatable half-step dither hides banding."""
    encoded = to_encoded(rolled_off(np.maximum(linear, 0.0))) * 255
    rng = np.random.default_rng(seed)
    grain = rng.random(encoded.shape[:2])[..., None] + rng.random(encoded.shape[:2])[..., None] - 1
    return np.clip(np.round(encoded + 0.45 * grain), 0, 255).astype(np.uint8)
