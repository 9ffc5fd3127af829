"""A triangle mesh as a frozen value, and the few things asked of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Triangles in space.

    Attributes:
        vertices: (V, 3) points, in units of the thing meshed or [m].
        faces: (F, 3) vertex indices, anticlockwise seen from outside.
        normals: (V, 3) unit vectors, outwards.
        uv: (V, 2) texture coordinates in 0..1, or None.
    """

    vertices: Floats
    faces: Ints
    normals: Floats
    uv: Floats | None = None

    def __post_init__(self) -> None:
        if self.vertices.ndim != 2 or self.vertices.shape[1] != 3:
            raise ValueError("vertices must be (V, 3)")
        if self.faces.ndim != 2 or self.faces.shape[1] != 3:
            raise ValueError("faces must be (F, 3)")
        if self.normals.shape != self.vertices.shape:
            raise ValueError("a mesh has one normal a vertex")
        if self.uv is not None and self.uv.shape != (len(self.vertices), 2):
            raise ValueError("a mesh has one uv pair a vertex")
        for array in (self.vertices, self.faces, self.normals):
            array.setflags(write=False)

    @property
    def area(self) -> float:
        """Sum of the triangles [vertex units squared]."""
        return float(0.5 * np.linalg.norm(_crosses(self.vertices, self.faces), axis=1).sum())

    @property
    def volume(self) -> float:
        """Enclosed volume, positive when the faces look outwards (closed meshes only)."""
        a, b, c = (self.vertices[self.faces[:, k]] for k in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)

    @property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest corner."""
        return self.vertices.min(axis=0), self.vertices.max(axis=0)

    @property
    def euler(self) -> int:
        """V - E + F with vertices at one place counted once; 2 for a closed ball."""
        welded = self.welded()
        used = len(np.unique(welded.faces))
        return used - len(welded.edges()) + len(welded.faces)

    @property
    def closed(self) -> bool:
        """Whether every edge is walked once in each direction (no hole, one orientation)."""
        directed = _directed(self.welded().faces)
        there = {(int(a), int(b)) for a, b in directed}
        return len(there) == len(directed) and all((b, a) in there for a, b in there)

    def edges(self) -> Ints:
        """(E, 2) edges, each once."""
        return np.unique(np.sort(_directed(self.faces), axis=1), axis=0).astype(np.int32)

    def welded(self, decimals: int = 9) -> Mesh:
        """The same surface with vertices at one place made one, and collapsed faces left out."""
        rounded = np.round(self.vertices, decimals) + 0.0  # -0 and 0 are one place
        _, first, index = np.unique(rounded, axis=0, return_index=True, return_inverse=True)
        faces = index.reshape(-1)[self.faces].astype(np.int32)
        a, b, c = faces.T
        faces = faces[(a != b) & (b != c) & (c != a)]
        points = self.vertices[first]
        return Mesh(points, faces, normals_of(points, faces))

    def placed(self, matrix: Floats) -> Mesh:
        """Moved by a (4, 4) affine matrix; normals follow."""
        linear = matrix[:3, :3]
        turn = np.linalg.inv(linear).T
        normals = _unit(self.normals @ turn.T)
        faces = self.faces if np.linalg.det(linear) > 0 else self.faces[:, ::-1].copy()
        return Mesh(self.vertices @ linear.T + matrix[:3, 3], faces, normals, self.uv)


def joined(meshes: Sequence[Mesh]) -> Mesh:
    """Several meshes as one; texture coordinates are kept only where all have them."""
    if not meshes:
        return Mesh(np.zeros((0, 3)), np.zeros((0, 3), np.int32), np.zeros((0, 3)))
    starts = np.cumsum([0] + [len(m.vertices) for m in meshes[:-1]])
    uvs = [m.uv for m in meshes if m.uv is not None]
    return Mesh(
        np.concatenate([m.vertices for m in meshes]),
        np.concatenate([m.faces + s for m, s in zip(meshes, starts, strict=True)]).astype(np.int32),
        np.concatenate([m.normals for m in meshes]),
        np.concatenate(uvs) if len(uvs) == len(meshes) else None,
    )


def normals_of(vertices: Floats, faces: Ints) -> Floats:
    """(V, 3) unit normals: the faces round each vertex, weighted by area."""
    crosses = _crosses(vertices, faces)
    sums = np.zeros_like(vertices)
    for corner in range(3):
        np.add.at(sums, faces[:, corner], crosses)
    return _unit(sums)


def _crosses(vertices: Floats, faces: Ints) -> Floats:
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    return np.asarray(np.cross(b - a, c - a))


def _directed(faces: Ints) -> Ints:
    return np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])


def _unit(rows: Floats) -> Floats:
    length = np.linalg.norm(rows, axis=1, keepdims=True)
    return np.asarray(
        np.where(length > 0, rows / np.where(length > 0, length, 1.0), [0.0, 0.0, 1.0])
    )
