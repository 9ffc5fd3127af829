"""Unit meshes of balloons for the browser: one a kind, drawn a thousand times."""

from __future__ import annotations

import base64
from functools import lru_cache
from typing import Any

import numpy as np

from airwright.desk.editing.job_state import Answer
from airwright.pictures.mesh import (
    WEB,
    Mesh,
    foil_balloon,
    modelling,
    round_balloon,
)


class PackedMesh(Answer):
    """Vertices and normals (float32) and faces (uint16), packed little-endian in base64."""

    vertices: str
    normals: str
    faces: str


class NoShape(ValueError):
    """There is no mesh of that name."""


@lru_cache(maxsize=200)
def shape(name: str) -> PackedMesh:
    """The mesh of a shape's name: `pear-86`, `foil-star`, `long-30`.

    Returns:
        The mesh; lengths are in units of half the inflated diameter.

    Raises:
        NoShape: for a name that is none.
    """
    family, _, rest = name.partition("-")
    try:
        if family == "pear" and 20 <= int(rest) <= 120:
            return _packed(round_balloon(int(rest) / 100, WEB))
        if family == "foil":
            return _packed(foil_balloon(rest, WEB))
        if family == "long" and 0 <= int(rest) <= 60:
            return _packed(_long(int(rest)))
    except (ValueError, KeyError) as problem:
        raise NoShape(name) from problem
    raise NoShape(name)


def _long(ratio: int) -> Mesh:
    """A modelling balloon along its axis, `ratio` times as long as across."""
    half = max(ratio - 1.0, 0.5)  # its round ends come on top
    return modelling(np.array([[0.0, 0.0, -half], [0.0, 0.0, half]]), 2.0, WEB)


def _packed(mesh: Mesh) -> PackedMesh:
    def text(values: Any, kind: str) -> str:
        return base64.b64encode(np.ascontiguousarray(values, dtype=kind).tobytes()).decode()

    return PackedMesh(
        vertices=text(mesh.vertices, "<f4"),
        normals=text(mesh.normals, "<f4"),
        faces=text(mesh.faces, "<u2"),
    )
