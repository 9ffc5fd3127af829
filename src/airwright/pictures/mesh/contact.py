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

    def on_floor(self, frame: Floats, height: float) -> Contact:
        """With the floor as one more plane, `height` radii below the centre, where it presses.

        `frame (3, 3)` turns the balloon's own axes into the scene's.
        """
        if not -1.0 < height < 1.0:
            return self
        direction = np.concatenate([self.direction, [-frame[2]]])
        return Contact(direction, np.append(self.height, max(height, DEEPEST)))

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
    row, direction, height = contact_planes(centre, radius, loose_m=loose_m)
    own = np.einsum("ki,kij->kj", direction, frame[row]) if len(row) else direction
    if len(radius) == 0:
        return []
    ends = np.cumsum(np.bincount(row, minlength=len(radius)))[:-1]
    pairs = zip(np.split(own, ends), np.split(height, ends), strict=True)
    return [Contact(way, at) for way, at in pairs]


def contact_planes(
    centre: Floats, radius: Floats, *, loose_m: float = 0.0
) -> tuple[NDArray[np.intp], Floats, Floats]:
    """All contact planes, sorted by balloon: its row (K,), the unit vector to the plane (K, 3)
    in the scene's axes, and the plane's distance (K,) [radii of that balloon]."""
    from scipy.spatial import cKDTree

    none = np.zeros(0, dtype=np.intp), np.zeros((0, 3)), np.zeros(0)
    if len(radius) < 2:
        return none
    i, j = cKDTree(centre).query_pairs(2 * float(radius.max()), output_type="ndarray").T
    i, j = np.concatenate([i, j]), np.concatenate([j, i])
    across = centre[j] - centre[i]
    apart = np.linalg.norm(across, axis=1)
    meet = (apart >= CELL_GAP) & (radius[i] + radius[j] - apart > loose_m)
    i, j, across, apart = i[meet], j[meet], across[meet], apart[meet]
    height = (apart**2 + radius[i] ** 2 - radius[j] ** 2) / (2 * apart) / radius[i]
    order = np.lexsort((j, i))
    order = order[height[order] < 1.0]
    return i[order], across[order] / apart[order, None], np.maximum(height[order], DEEPEST)


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
