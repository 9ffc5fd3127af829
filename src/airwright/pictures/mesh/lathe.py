"""Solids of revolution: pear balloons, cylinders, discs."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from airwright.physics.shape import Profile, pear_profile
from airwright.pictures.mesh.detail import FINE, Detail
from airwright.pictures.mesh.mesh import Mesh, normals_of

Floats = NDArray[np.float64]

_POLE = 1e-9
"""A radius below this is a point on the axis."""


def lathe(z: Floats, rho: Floats, segments: int, *, uv: bool = False) -> Mesh:
    """Closed solid of an outline turned about the z axis.

    `z (n,)` rises, `rho (n,)` is the distance from the axis; an end that is not on the axis
    gets a flat lid. `segments` (3 at least) sides. With `uv` the vertices along the seam (at
    +y, behind the balloon) are doubled: u runs round, v from first to last point by length.
    """
    if segments < 3:
        raise ValueError("a solid of revolution needs at least three sides")
    if len(z) < 2 or z.shape != rho.shape:
        raise ValueError("an outline is two arrays of one length, at least two points")
    z, rho = _on_axis(np.asarray(z, float), np.asarray(rho, float))
    columns = segments + 1 if uv else segments
    angle = np.pi / 2 + np.arange(columns) * (2 * np.pi / segments)
    ring = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    vertices = np.empty((len(z), columns, 3))
    vertices[:, :, :2] = rho[:, None, None] * ring
    vertices[:, :, 2] = z[:, None]
    flat = vertices.reshape(-1, 3)
    faces = _grid_faces(len(z), columns, segments, rho)
    texture = _texture(z, rho, columns) if uv else None
    if uv:
        return Mesh(flat, faces, _seamless(flat, faces, len(z), columns), texture)
    return Mesh(flat, faces, normals_of(flat, faces)).welded()


def _on_axis(z: Floats, rho: Floats) -> tuple[Floats, Floats]:
    if rho[0] > _POLE:
        z, rho = np.concatenate([z[:1], z]), np.concatenate([[0.0], rho])
    if rho[-1] > _POLE:
        z, rho = np.concatenate([z, z[-1:]]), np.concatenate([rho, [0.0]])
    return z, rho


def _grid_faces(rows: int, columns: int, segments: int, rho: Floats) -> NDArray[np.int32]:
    low = np.arange(rows - 1)[:, None] * columns + np.arange(segments)[None, :]
    right = np.arange(rows - 1)[:, None] * columns + (np.arange(segments)[None, :] + 1) % columns
    above, above_right = low + columns, right + columns
    lower = np.stack([low, right, above_right], axis=-1)
    upper = np.stack([low, above_right, above], axis=-1)
    lower = lower[rho[:-1] > _POLE]  # a quad at a pole is a single triangle
    upper = upper[rho[1:] > _POLE]
    return np.concatenate([lower.reshape(-1, 3), upper.reshape(-1, 3)]).astype(np.int32)


def _texture(z: Floats, rho: Floats, columns: int) -> Floats:
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(z), np.diff(rho)))])
    u = np.linspace(0.0, 1.0, columns)
    return np.stack(np.broadcast_arrays(u[None, :], (along / along[-1])[:, None]), -1).reshape(
        -1, 2
    )


def _seamless(vertices: Floats, faces: NDArray[np.int32], rows: int, columns: int) -> Floats:
    """Normals that agree on both sides of the seam and all round a pole."""
    normals = normals_of(vertices, faces).reshape(rows, columns, 3)
    seam = normals[:, 0] + normals[:, -1]
    seam /= np.maximum(np.linalg.norm(seam, axis=1, keepdims=True), 1e-12)
    normals[:, 0] = normals[:, -1] = seam
    for row, sign in ((0, -1.0), (rows - 1, 1.0)):
        normals[row] = [0.0, 0.0, sign]
    return normals.reshape(-1, 3)


def pear(profile: Profile, segments: int = FINE.segments, *, uv: bool = False) -> Mesh:
    """Balloon of a profile, in units of its equatorial radius; the lip is closed by a lid.

    Area and volume are those of `physics.shape` less what the flat sides cut off.
    """
    return lathe(profile.z, profile.rho, segments, uv=uv)


@lru_cache(maxsize=128)
def round_balloon(tightness: float, detail: Detail = FINE, *, uv: bool = False) -> Mesh:
    """Tied latex balloon at a degree of inflation (inflated over nominal diameter)."""
    return pear(pear_profile(detail.points, tightness), detail.segments, uv=uv)


@lru_cache(maxsize=128)
def plain_balloon(tightness: float, rows: int, segments: int) -> Mesh:
    """Tied latex balloon of few triangles, neck and knot as one cone; `rows` (3 at least) points
    from the neck's end to the crown, which has the full one's height and width."""
    if rows < 3:
        raise ValueError("a balloon needs at least three points from neck to crown")
    full = pear_profile(64, tightness)
    z, rho = full.z[full.body_start :], full.rho[full.body_start :]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(z), np.diff(rho)))])
    at = np.interp(np.linspace(0.0, along[-1], rows), along, np.arange(len(z)))
    at[np.abs(at - rho.argmax()).argmin()] = rho.argmax()  # as wide as it is
    at = np.rint(at).astype(int)
    ends = z[at].copy()
    ends[0] = full.z[0]
    round_ = rho[at].copy()
    round_[0] = round_[-1] = 0.0
    return lathe(ends, round_, segments)


def cylinder(radius: float, height: float, segments: int = 32) -> Mesh:
    """Closed cylinder on z = 0, axis up; rims have a hair-thin bevel so that they catch light."""
    if radius <= 0 or height <= 0:
        raise ValueError("a cylinder needs a radius and a height above zero")
    bevel = min(0.08 * radius, 0.25 * height, 0.004)
    z = np.array([0.0, 0.0, bevel, height - bevel, height, height])
    rho = np.array([0.0, radius - bevel, radius, radius, radius - bevel, 0.0])
    return lathe(z, rho, segments)


def disc(radius: float, segments: int = 48) -> Mesh:
    """Flat open disc at z = 0 looking up."""
    angle = np.arange(segments) * (2 * np.pi / segments)
    rim = np.stack([radius * np.cos(angle), radius * np.sin(angle), np.zeros(segments)], axis=1)
    vertices = np.concatenate([np.zeros((1, 3)), rim])
    index = np.arange(segments)
    faces = np.stack([np.zeros_like(index), 1 + index, 1 + (index + 1) % segments], axis=1)
    normals = np.tile([0.0, 0.0, 1.0], (len(vertices), 1))
    return Mesh(vertices, faces.astype(np.int32), normals)
