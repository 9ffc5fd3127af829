"""Sleeves round a pole: hanging fringe, and plain fabric with folds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh.lathe import lathe
from airwright.pictures.mesh.mesh import Mesh, joined, normals_of

Floats = NDArray[np.float64]

STRAND_WIDTH_M = 0.005
"""Width of one strand of fringe. From memory."""
SPACING = 1.15
"""Strand to strand in strand widths, at the top. From memory, by eye."""
UNEVEN = 0.10
"""Longest strand over shortest, less one: a torn hem, not a sawn one. By eye."""
FLARE = 0.10
"""How much wider the hem hangs than the middle. By eye."""
GATHERED = 0.55
"""How much narrower it is where it is taped on. By eye."""
OPENS_M = 0.10
"""Over so much of its drop it opens out from there [m]. By eye."""
WRAPS_A_ROUND = 3
"""The strip is gathered: one round of it hangs as so many rings of strands. By eye."""
INNERMOST = 0.35
"""Radius of the innermost wrap, of the outermost's: the others fill what lies between."""
CLOTH_FOLDS = 15
"""Folds of a cloth that falls from a round table. By eye."""
CLOTH_SWING = 0.07
"""How far they swing out at the hem, of the table's radius. By eye."""
CLOTH_BEND = 0.03
"""Rounding over the table's edge, of its radius."""
GOLDEN = 0.6180339887498949
"""Steps of the golden ratio spread strands evenly without a pattern, and are repeatable."""


def fringe_sleeve(
    radius_m: float,
    bottom_m: float,
    top_m: float,
    layers: int = 1,
    *,
    drop_m: float | None = None,
    folds: int = 7,
) -> Mesh:
    """Open strips of metallic fringe that hang round the z axis [m].

    `layers` wraps, the outermost at `radius_m`; strips shorter than the sleeve (`drop_m`)
    hang in tiers. `folds` segments along each strand (fewer for the web).
    """
    height = top_m - bottom_m
    if radius_m <= 0 or height <= 0 or layers < 1:
        raise ValueError("a sleeve needs a radius, a height and at least one layer")
    drop = height if drop_m is None or drop_m <= 0 else min(drop_m, height)
    tiers = max(1, int(np.ceil(height / drop - 0.05)))
    parts = []
    wraps = layers * WRAPS_A_ROUND
    for layer in range(wraps):
        reach = radius_m * (1.0 - (1.0 - INNERMOST) * layer / wraps)
        for tier in range(tiers):
            foot = bottom_m + tier * (height - drop) / max(1, tiers - 1)
            parts.append(_wrap(reach, foot, drop, layer * 31 + tier * 17, folds))
    return joined(parts)


def _wrap(radius: float, foot: float, drop: float, seed: int, folds: int) -> Mesh:
    """One wrap of strands; each hangs, twists and ends a little differently.

    Strands that all faced outwards would close up to a solid tube; turned each its own way
    they catch the light one by one and leave gaps into the depth.
    """
    count = max(12, int(2 * np.pi * radius / (SPACING * STRAND_WIDTH_M)))
    number = np.arange(count)
    chance = (np.stack([number + 1 + seed] * 4, axis=1) * GOLDEN ** np.array([1, 2, 3, 5])) % 1.0
    chance = (chance + 0.37 * np.sin(12.9898 * (number + seed))[:, None]) % 1.0
    angle = (number + 0.9 * chance[:, 0]) * (2 * np.pi / count)
    fall = np.linspace(0.0, 1.0, folds + 1)
    length = drop * (1.0 - UNEVEN * chance[:, 1])
    sway = 0.014 * (chance[:, 2] - 0.4)[:, None] * fall + 0.003 * np.sin(
        9 * fall + 6.3 * chance[:, 3:4]
    )
    narrow = 1.0 - GATHERED * np.exp(-fall * drop / OPENS_M)
    reach = radius * narrow * (1.0 + FLARE * fall**2) + sway + 0.006 * (chance[:, 0:1] - 0.5)
    twist = 2.2 * (chance[:, 1:2] - 0.5) + 3.2 * (chance[:, 3:4] - 0.5) * fall
    swing = angle[:, None] + 0.16 * (chance[:, 2:3] - 0.5) * fall
    z = foot + drop - length[:, None] * fall
    half = STRAND_WIDTH_M / 2
    out = np.stack([np.cos(swing), np.sin(swing)], -1)
    side = np.stack([-np.sin(swing + twist), np.cos(swing + twist)], -1)
    left = np.concatenate([out * reach[..., None] + half * side, z[..., None]], -1)
    right = np.concatenate([out * reach[..., None] - half * side, z[..., None]], -1)
    vertices = np.stack([left, right], axis=2).reshape(-1, 3)
    base = (number[:, None] * (folds + 1) + np.arange(folds)[None]).reshape(-1) * 2
    faces = np.concatenate(
        [np.stack([base + 1, base, base + 2], 1), np.stack([base + 1, base + 2, base + 3], 1)]
    ).astype(np.int32)
    return Mesh(vertices, faces, normals_of(vertices, faces))


def sleeve(
    radius_m: float, bottom_m: float, top_m: float, *, pleats: int = 14, segments: int = 168
) -> Mesh:
    """Open fabric sleeve round the z axis, gathered in soft pleats [m]."""
    if radius_m <= 0 or top_m <= bottom_m:
        raise ValueError("a sleeve needs a radius and a height")
    rows = 9
    angle = np.arange(segments) * (2 * np.pi / segments)
    height = np.linspace(0.0, 1.0, rows)
    depth = 0.02 + 0.05 * (1 - height)[:, None]
    wave = np.cos(pleats * angle)[None] + 0.4 * np.cos((pleats + 3) * angle + 1.0)[None]
    reach = radius_m * (1.0 - depth + depth * wave * 0.7)
    vertices = np.stack(
        [
            reach * np.cos(angle),
            reach * np.sin(angle),
            np.broadcast_to((bottom_m + height * (top_m - bottom_m))[:, None], reach.shape),
        ],
        axis=-1,
    ).reshape(-1, 3)
    k = np.arange(segments)
    base = (np.arange(rows - 1) * segments)[:, None]
    nxt = (k + 1) % segments
    faces = np.concatenate(
        [
            np.stack([base + k, base + nxt, base + segments + nxt], -1).reshape(-1, 3),
            np.stack([base + k, base + segments + nxt, base + segments + k], -1).reshape(-1, 3),
        ]
    ).astype(np.int32)
    return Mesh(vertices, faces, normals_of(vertices, faces))


def tablecloth(across_m: float, high_m: float, segments: int = 240, rows: int = 24) -> Mesh:
    """A cloth over a round table, down to the floor: flat on top, in soft folds at the side [m].

    `segments` sides and `rows` points down the side.
    """
    if across_m <= 0 or high_m <= 0:
        raise ValueError("a table needs a width and a height above zero")
    radius = across_m / 2
    bend = min(CLOTH_BEND * radius, high_m / 2)
    turn = np.linspace(0.0, np.pi / 2, 6)
    z = np.concatenate(
        [np.linspace(0.0, high_m - bend, rows), high_m - bend + bend * np.sin(turn)[1:]]
    )
    rho = np.concatenate([np.full(rows, radius), radius - bend + bend * np.cos(turn)[1:]])
    z, rho = np.append(z, high_m), np.append(rho, 0.0)
    plain = lathe(z, rho, segments)
    points = plain.vertices.copy()
    fall = np.clip(1.0 - points[:, 2] / high_m, 0.0, 1.0)
    way = np.arctan2(points[:, 1], points[:, 0])
    wave = np.cos(CLOTH_FOLDS * way + 0.8 * np.sin(3 * way)) - 0.4
    points[:, :2] *= (1.0 + CLOTH_SWING * np.sqrt(fall) * wave)[:, None]
    return Mesh(points, plain.faces, normals_of(points, plain.faces))
