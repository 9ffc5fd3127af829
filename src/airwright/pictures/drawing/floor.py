"""The soft pool of shadow under whatever stands on, or hangs just above, the floor."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from airwright.decor.assembly import Assembly
from airwright.pictures.drawing.camera import Camera
from airwright.pictures.drawing.paint import radial, stops
from airwright.pictures.drawing.svg import number, ref
from airwright.pictures.drawing.values import MM, Box

HANGING_M = 0.5
"""Balloons higher than this throw no shadow that could be seen."""
SPREAD = 1.12
"""How far a shadow fades out beyond what throws it."""
LEVEL_TILT = 0.10
"""A shadow seen from the side would be a line; it is drawn this flat instead."""
STANDING = ("base", "weight", "stand", "cylinder", "table")


@dataclass
class Spot:
    """A round shadow on the floor [m], and how dark it is."""

    x: float
    y: float
    half: float
    strength: float


def floor_shadow(
    assembly: Assembly, camera: Camera, defs: dict[str, str]
) -> tuple[str, Box | None]:
    """SVG of the shadow, and how far it reaches; seen from above it would only blur the plan."""
    found = [] if camera.overhead else spots(assembly)
    if not found:
        return "", None
    dark = "#2b2622"
    content = stops((0.0, dark, 0.42), (0.45, dark, 0.30), (0.75, dark, 0.10), (1.0, dark, 0.0))
    defs.setdefault("shadow", radial("shadow", 0, 0, 1, content))
    tilt = max(LEVEL_TILT, abs(math.sin(camera.sight.elevation_rad)))
    out: list[str] = []
    reach: Box | None = None
    for spot in found:
        px, py, _ = camera.project(np.array([spot.x, spot.y, 0.0]))
        wide = spot.half * SPREAD
        x, y = (px + 0.06 * spot.half) * MM, -py * MM
        out.append(
            f'<circle r="1" fill="url(#{ref("shadow")})" opacity="{number(spot.strength, 2)}" '
            f'transform="translate({number(x)} {number(y)})'
            f'scale({number(wide * MM)} {number(wide * tilt * MM)})"/>'
        )
        half, low = 0.9 * wide * MM, 0.8 * wide * tilt * MM
        box = Box(x - half, y - low, x + half, y + low)
        reach = box if reach is None else reach.union(box)
    return "".join(out), reach


def spots(assembly: Assembly) -> list[Spot]:
    """Where shadows lie, near ones joined into one pool."""
    found: list[Spot] = []
    for part in assembly.hardware:
        if part.use in STANDING and part.path and part.path[0][2] < 0.3:
            x, y, _ = part.path[0]
            found.append(Spot(x, y, part.diameter_m / 2 * 1.15, 1.0))
    low = assembly.centre[:, 2] - assembly.radius
    rows = np.flatnonzero(low < HANGING_M)
    for row in rows[np.argsort(low[rows], kind="stable")]:
        strength = 0.9 * max(0.0, 1.0 - max(0.0, float(low[row])) / HANGING_M) ** 2
        if strength < 0.05:
            continue
        x, y, _ = (float(v) for v in assembly.centre[row])
        _join(found, x, y, float(assembly.radius[row]), strength)
    return found


def _join(found: list[Spot], x: float, y: float, half: float, strength: float) -> None:
    for spot in found:
        far = math.hypot(spot.x - x, spot.y - y)
        if far < spot.half + 0.6 * half:
            grown = max(spot.half, min(far + half, spot.half + half))
            spot.half = min(grown, 1.6 * max(spot.half, half))
            return
    found.append(Spot(x, y, half, strength))
