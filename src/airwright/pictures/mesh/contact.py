"""Where balloons press together: the flat patch at the contact plane.

Two overlapping balls of the packing meet in the plane through the circle they share. The
rubber of each stops there and turns away in a soft edge, so that the pair shows a groove, as
real balloons do, and never passes through its neighbour.

        .---.  |  .---.
      .'     '.|.'     '.
     |    <----|---->    |      h = distance of the plane from the centre,
      '.     .'|'.     .'           in units of the balloon's own radius
        '---'  |  '---'
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh.mesh import Mesh, normals_of

Floats = NDArray[np.float64]

SOFT_EDGE = 0.10
"""Rounding of a patch's rim in radii, at most; shallow patches get less."""
DEEPEST = 0.30
"""No plane comes nearer to a centre than this [radii]."""
CELL_GAP = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Contact:
    """A balloon's contact planes in its own frame.

    Attributes:
        direction: (k, 3) unit vectors from its centre to the planes.
        height: (k,) distance of each plane [radii].
    """

    direction: Floats
    height: Floats

    def signature(self, steps: int = 24) -> tuple[tuple[int, ...], ...]:
        """Rounded planes in a fixed order: balloons of one signature share one mesh."""
        rows = np.round(np.column_stack([self.direction, self.height]) * steps).astype(int)
        return tuple(sorted(tuple(int(v) for v in row) for row in rows))


def contacts(
    centre: Floats, radius: Floats, frame: Floats, *, loose_m: float = 0.0
) -> list[Contact]:
    """One `Contact` a balloon, from `centre (N, 3)` and `radius (N,)` [m].

    `frame (N, 3, 3)` turns a balloon's own axes into the scene's (`roll_frame`). Pairs that
    overlap by less than `loose_m` are left alone.
    """
    from scipy.spatial import cKDTree

    planes: list[list[Floats]] = [[] for _ in radius]
    if len(radius) > 1:
        reach = 2 * float(radius.max())
        for i, j in cKDTree(centre).query_pairs(reach, output_type="ndarray"):
            across = centre[j] - centre[i]
            apart = float(np.linalg.norm(across))
            if apart < CELL_GAP or radius[i] + radius[j] - apart <= loose_m:
                continue
            at = (apart**2 + radius[i] ** 2 - radius[j] ** 2) / (2 * apart)
            unit = across / apart
            _note(planes[i], unit @ frame[i], at / radius[i])
            _note(planes[j], -unit @ frame[j], (apart - at) / radius[j])
    return [
        Contact(
            np.array([row[:3] for row in rows]).reshape(-1, 3), np.array([row[3] for row in rows])
        )
        for rows in planes
    ]


def _note(rows: list[Floats], direction: Floats, height: float) -> None:
    if height < 1.0:
        rows.append(np.array([*direction, max(height, DEEPEST)]))


def pressed(mesh: Mesh, contact: Contact) -> Mesh:
    """The mesh with its contact planes pressed flat, edges rounded, normals renewed."""
    points = mesh.vertices
    for direction, height in zip(contact.direction, contact.height, strict=True):
        soft = min(SOFT_EDGE, 0.8 * (1.0 - height) + 0.01)
        reach = points @ direction
        points = points - np.outer(reach - _soft_min(reach, height, soft), direction)
    return Mesh(points, mesh.faces, normals_of(points, mesh.faces), mesh.uv)


def _soft_min(value: Floats, limit: float, soft: float) -> Floats:
    """min(value, limit) with a parabola of width `soft` for a corner; never above either."""
    blend = np.clip(0.5 + 0.5 * (limit - value) / soft, 0.0, 1.0)
    return np.asarray(limit + (value - limit) * blend - soft * blend * (1.0 - blend))
