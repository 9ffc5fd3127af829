"""What is printed or stuck on a balloon: flat shapes laid onto its curved skin.

        seen from the front          on the skin
          ┌───────┐                     .--.
          │ Ahoy  │   each point       ( Ahoy )   so that it reads straight
          └───────┘   straight back     '--'      from the front

The skin is any mesh: a pear, a foil, one that neighbours press flat. Its front looks to -y.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from airwright.pictures.mesh.mesh import Floats, Mesh, normals_of

FINE_STEP: Final = 0.09
"""Edges of a decal are no longer than this, in radii, so that it follows the skin."""
LIFT: Final = 0.006
"""How far it lies before the skin [radii]: no further than its thickness looks."""
DOTS: Final = 46
DOT: Final = 0.15
"""Dots of a dotted print, and their radius [radii]; as the drawings have them."""
DOT_CORNERS: Final = 16
_GOLDEN_TURN: Final = np.pi * (3.0 - np.sqrt(5.0))


def decal(corners: Floats, skin: Mesh, lift: float = LIFT) -> Mesh:
    """Shapes on the front of a skin.

    Args:
        corners: (t, 3, 2) triangles that fill them, right and up from its middle [radii].
        skin: of a balloon of radius 1 in its own axes.
        lift: how far they lie before it [radii].
    """
    fine = _finer(np.asarray(corners, dtype=float))
    flat = fine.reshape(-1, 2)
    depth, normal = _front_of(skin, flat)
    points = np.column_stack([flat[:, 0], depth, flat[:, 1]]) + lift * normal
    faces = np.arange(len(points), dtype=np.int32).reshape(-1, 3)
    a, b, c = (points[faces[:, k]] for k in range(3))
    away = np.cross(b - a, c - a)[:, 1] > 0.0  # its back to the viewer
    faces[away] = faces[away][:, ::-1]
    return Mesh(points, faces, normal)


def dots(skin: Mesh, lift: float = LIFT) -> Mesh:
    """Dots spread evenly over all of a round skin."""
    k = np.arange(DOTS)
    z = 1.0 - 2.0 * (k + 0.5) / DOTS
    flat = np.sqrt(1.0 - z * z)
    middle = np.stack([flat * np.cos(_GOLDEN_TURN * k), flat * np.sin(_GOLDEN_TURN * k), z], axis=1)
    first = np.cross(middle, [0.0, 0.0, 1.0])
    first /= np.maximum(np.linalg.norm(first, axis=1, keepdims=True), 1e-9)
    second = np.cross(middle, first)
    turn = np.arange(DOT_CORNERS) * 2 * np.pi / DOT_CORNERS
    around = np.cos(turn)[:, None, None] * first + np.sin(turn)[:, None, None] * second
    rim = np.cos(DOT) * middle + np.sin(DOT) * around
    ways = np.concatenate([middle[None], rim]).transpose(1, 0, 2)  # dot, corner, axis
    points = ways.reshape(-1, 3)
    points = points * (_reach(skin, points) + lift)[:, None]
    corner = 1 + np.arange(DOT_CORNERS)
    fan = np.column_stack([np.zeros(DOT_CORNERS, int), corner, np.roll(corner, -1)])
    faces = (fan[None] + (k * (1 + DOT_CORNERS))[:, None, None]).reshape(-1, 3).astype(np.int32)
    a, b, c = (points[faces[:, n]] for n in range(3))
    inward = np.einsum("ij,ij->i", np.cross(b - a, c - a), a) < 0.0
    faces[inward] = faces[inward][:, ::-1]
    return Mesh(points, faces, normals_of(points, faces))


def _finer(corners: Floats) -> Floats:
    """Triangles (t, 3, 2) cut at the middle of their longest side until all sides are short."""
    done = []
    while len(corners):
        sides = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2)
        longest = sides.argmax(axis=1)
        long = sides.max(axis=1) > FINE_STEP
        done.append(corners[~long])
        cut, at = corners[long], longest[long]
        rows = np.arange(len(cut))
        a, b, c = (cut[rows, (at + k) % 3] for k in range(3))
        middle = (a + b) / 2
        corners = np.concatenate(
            [np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)]
        )
    return np.concatenate(done) if done else np.zeros((0, 3, 2))


def _front_of(skin: Mesh, flat: Floats) -> tuple[Floats, Floats]:
    """Where the skin's front is at (n, 2) places, right and up: y (n,), and its normals (n, 3)."""
    from scipy.interpolate import LinearNDInterpolator, NearestNDInterpolator

    front = skin.normals[:, 1] < 0.0
    points, values = skin.vertices[front], skin.normals[front]
    table = np.column_stack([points[:, 1], values])
    found = LinearNDInterpolator(points[:, [0, 2]], table)(flat)
    lost = np.isnan(found).any(axis=1)
    if lost.any():  # just beyond the rim
        found[lost] = NearestNDInterpolator(points[:, [0, 2]], table)(flat[lost])
    normal = found[:, 1:]
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-9)
    return found[:, 0], normal


def _reach(skin: Mesh, ways: Floats) -> Floats:
    """Distance (n,) from the middle to a round skin in unit directions (n, 3)."""
    points = skin.vertices
    polar = np.arctan2(np.hypot(points[:, 0], points[:, 1]), points[:, 2])
    order = np.argsort(polar)
    asked = np.arctan2(np.hypot(ways[:, 0], ways[:, 1]), ways[:, 2])
    found: Floats = np.interp(asked, polar[order], np.linalg.norm(points, axis=1)[order])
    return found
