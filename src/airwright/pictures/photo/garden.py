"""Turf and hedge: one patch of blades and one clump of leaves, set many times."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import Mesh, lathe, normals_of, plate
from airwright.pictures.photo.colour import shade_linear, to_linear
from airwright.pictures.photo.materials import matte_patch, rgb
from airwright.pictures.photo.parts import Part

Floats = NDArray[np.float64]

PATCH_M = 0.5
BLADES = 1700
LEAVES = 1300
BLADE_M = 0.045
ROWS = 6
CORE_M = 2.05
HEART_M = 0.25


def turf(frame: Floats, near: float, back: float, far: float, spread: float) -> list[Part]:
    """Patches of grass wherever the picture shows the ground, from `near` to `back` [m].

    `far` is the camera's distance, `spread` the half width of the view per metre of depth.
    """
    rng = np.random.default_rng(2)
    places: tuple[list[Floats], list[Floats]] = ([], [])
    for row, y in enumerate(np.arange(near, back, PATCH_M)):
        half = spread * (y + far + PATCH_M) + PATCH_M
        for column, x in enumerate(np.arange(-half, half, PATCH_M)):
            turn = np.pi / 2 * rng.integers(4)
            places[(row + column) % 2].append(frame @ _set((x, y, 0.0), turn))
    parts = []
    for kind, green in enumerate(([0.39, 0.53, 0.20], [0.46, 0.59, 0.25])):
        if places[kind]:
            colour = to_linear(np.array(green))
            material = _leaf_material(colour)
            parts.append(
                Part(f"turf{kind}", _blades(kind), material, colour, np.array(places[kind]))
            )
    return parts


def hedge(frame: Floats, back: float, half_wide: float, colour: str) -> list[Part]:
    """A clipped hedge across the back, taller than a person."""
    rng = np.random.default_rng(6)
    base = shade_linear(colour)
    places: tuple[list[Floats], list[Floats]] = ([], [])
    hearts: list[Floats] = []
    for row in range(ROWS):
        for x in np.arange(-half_wide - 0.4, half_wide + 0.4, 0.40):
            dx, dy, dz = rng.uniform(-0.07, 0.07, 3)
            at = (x + dx, back + dy, 0.2 + row * 0.40 + dz)
            set_at = frame @ _set(at, float(rng.uniform(0, 6.3)))
            places[int(rng.integers(2))].append(set_at)
            if row == ROWS - 1:
                hearts.append(set_at)
    parts = []
    for kind, tone in enumerate((1.2, 1.8)):
        if places[kind]:
            material = _leaf_material(base * tone)
            parts.append(
                Part(f"hedge{kind}", _leaves(kind), material, base * tone, np.array(places[kind]))
            )
    # dark within, up into the uppermost clumps: no sky shines through, and no straight edge shows
    core = plate(2 * half_wide + 1.0, 0.5, CORE_M, 0.01)
    dark = base * 0.3
    angle = np.linspace(0, np.pi, 9)
    heart = lathe(-HEART_M * np.cos(angle), HEART_M * np.sin(angle), 12)
    parts.append(Part("hedge_hearts", heart, matte_patch(dark), dark, np.array(hearts)))
    parts.append(
        Part(
            "hedge_core", core, matte_patch(dark), dark, (frame @ _set((0, back + 0.4, 0), 0))[None]
        )
    )
    return parts


def _set(at: tuple[float, float, float], turn: float) -> Floats:
    c, s = np.cos(turn), np.sin(turn)
    matrix = np.eye(4)
    matrix[:2, :2] = [[c, -s], [s, c]]
    matrix[:3, 3] = at
    return matrix


def _leaf_material(colour: Floats) -> dict[str, Any]:
    return {
        "type": "principledthin",
        "base_color": rgb(colour),
        "diff_trans": 0.7,
        "roughness": 0.5,
    }


def _blades(seed: int) -> Mesh:
    """Blades of grass on a square, each a bent strip of three triangles."""
    rng = np.random.default_rng(seed)
    root = np.column_stack([rng.uniform(-0.5, 0.5, (BLADES, 2)) * PATCH_M * 1.06, np.zeros(BLADES)])
    turn, lean = rng.uniform(0, 2 * np.pi, BLADES), rng.uniform(0.1, 0.75, BLADES)
    length = BLADE_M * rng.uniform(0.6, 1.25, BLADES)
    way = np.column_stack([np.cos(turn), np.sin(turn), np.zeros(BLADES)])
    side = np.column_stack([-np.sin(turn), np.cos(turn), np.zeros(BLADES)]) * 0.0028
    up = np.array([0, 0, 1.0])
    middle = root + (length * 0.55)[:, None] * up + (length * 0.2 * lean)[:, None] * way
    tip = root + (length * (1 - 0.35 * lean))[:, None] * up + (length * 0.75 * lean)[:, None] * way
    vertices = np.stack([root - side, root + side, middle - side, middle + side, tip], 1)
    base = np.arange(BLADES)[:, None] * 5
    faces = (base[:, None] + np.array([[0, 1, 3], [0, 3, 2], [2, 3, 4]])).reshape(-1, 3)
    points = vertices.reshape(-1, 3)
    faces = faces.astype(np.int32)
    return Mesh(points, faces, normals_of(points, faces))


def _leaves(seed: int) -> Mesh:
    """A clump of small leaves about half a metre across."""
    rng = np.random.default_rng(40 + seed)
    way = rng.normal(size=(LEAVES, 3))
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    at = way * (0.31 * rng.uniform(0.55, 1.0, LEAVES) ** 0.5)[:, None]
    normal = way + 0.7 * rng.normal(size=(LEAVES, 3))
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    along = np.cross(normal, rng.normal(size=(LEAVES, 3)))
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    across = np.cross(normal, along)
    size = (0.022 * rng.uniform(0.7, 1.3, LEAVES))[:, None]
    corners = [
        at - size * along,
        at + 0.5 * size * across,
        at + size * along,
        at - 0.5 * size * across,
    ]
    vertices = np.stack(corners, 1).reshape(-1, 3)
    base = np.arange(LEAVES)[:, None, None] * 4
    faces = (base + np.array([[0, 1, 2], [0, 2, 3]])).reshape(-1, 3).astype(np.int32)
    return Mesh(vertices, faces, normals_of(vertices, faces))
