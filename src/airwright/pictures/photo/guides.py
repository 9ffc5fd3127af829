"""What the denoiser is told: the colour and the slope of whatever each pixel shows.

Both are pictures of first hits alone. Every surface is turned into a lamp that shines in its own
colour (or in its normal, written as a colour), and a path of one step sees nothing but lamps: no
light is scattered, so many rays a pixel cost little and edges come out clean.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import Mesh, joined
from airwright.pictures.photo.materials import rgb
from airwright.pictures.photo.parts import Part
from airwright.pictures.photo.render import Guides, loaded, to_shape

Floats = NDArray[np.float64]
Scene = dict[str, Any]

RIM = 0.3
"""Clear film is a thing of its own where it is seen within 17° of edge on; else what is behind
it counts."""
_LAMP_COLOUR = np.ones(3)
_ALONE = ("sphere", "cylinder")
_FLAT = ("rectangle", "disk")


def guides_of(frame: Scene, around: Scene, parts: Sequence[Part], eye: Sequence[float]) -> Guides:
    """Guides of a scene seen from `eye` (x, y, z) [m]; its place is `around`, with the decor."""
    solid = [part for part in (*around.values(), *parts) if isinstance(part, Part)]
    solid = [part for part in solid if part.guiding]
    flat = {name: part for name, part in around.items() if _type(part) in _FLAT + _ALONE}
    merged, colours = _merged(solid, np.asarray(eye, dtype=float), rims=True)
    shown: Scene = {name: _shining(part, _colour(part)) for name, part in flat.items()}
    sloped: Scene = {name: _shining(part, rgb(_slope(part))) for name, part in flat.items()}
    if len(merged.faces):
        shown["all"] = _lamp(merged, colours)
        sloped["all"] = _lamp(merged, (merged.normals + 1) / 2)
    level = {"type": "constant", "radiance": rgb(np.full(3, 0.5))}  # no slope where nothing is
    return Guides(loaded({**frame, **shown}), loaded({**frame, **sloped, "nothing": level}))


def cover_of(frame: Scene, parts: Sequence[Part], eye: Sequence[float]) -> Any:
    """A scene in which the parts shine white, clear ones less, and nothing else does."""
    covering = [replace(part, colour=np.full(3, part.opacity)) for part in parts]
    merged, colours = _merged(covering, np.asarray(eye, dtype=float), rims=False)
    return loaded({**frame, "all": _lamp(merged, colours)})


def _type(part: Any) -> str:
    return str(part.get("type", "")) if isinstance(part, dict) else ""


def _merged(parts: Sequence[Part], eye: Floats, *, rims: bool) -> tuple[Mesh, Floats]:
    """All parts as one mesh whose faces look to the eye, and the colour of each vertex; with
    `rims` no more of clear film than where it is seen at a slant."""
    meshes = [
        Mesh(placed.vertices, placed.faces, placed.normals)
        for part in parts
        for placed in (part.mesh.placed(matrix) for matrix in part.places)
    ]
    whole = joined(meshes)
    owner = [part for part in parts for _ in part.places]
    colours = [
        np.broadcast_to(part.colour, mesh.vertices.shape)
        for part, mesh in zip(owner, meshes, strict=True)
    ]
    a, b, c = (whole.vertices[whole.faces[:, k]] for k in range(3))
    slope, sight = np.cross(b - a, c - a), a - eye
    facing = np.einsum("ij,ij->i", slope, sight)
    faces = np.where((facing > 0)[:, None], whole.faces[:, ::-1], whole.faces)
    if rims:
        size = np.linalg.norm(slope, axis=1) * np.linalg.norm(sight, axis=1)
        film = np.repeat(
            [part.opacity < 1 for part in owner], [len(mesh.faces) for mesh in meshes]
        ).astype(bool)
        faces = faces[~film | (np.abs(facing) < RIM * size)]
    return (
        Mesh(whole.vertices, faces, whole.normals),
        np.concatenate(colours) if colours else np.zeros((0, 3)),
    )


def _lamp(mesh: Mesh, colours: Floats) -> Any:
    radiance = {"type": "mesh_attribute", "name": "vertex_color"}
    return to_shape(mesh, "lamp", None, smooth=False, colours=colours, radiance=radiance)


def _shining(part: Scene, radiance: Scene) -> Scene:
    kept = {name: value for name, value in part.items() if name not in ("bsdf", "emitter")}
    return kept | {"emitter": {"type": "area", "radiance": radiance}}


def _colour(part: Scene) -> Scene:
    if "emitter" in part:
        return rgb(_LAMP_COLOUR)
    return _reflectance(part["bsdf"])


def _reflectance(material: Scene) -> Scene:
    """The plain colour or texture of a material."""
    for name in ("base_color", "reflectance"):
        if name in material:
            return dict(material[name])
    for inner in material.values():
        if isinstance(inner, dict) and "type" in inner:
            found = _reflectance(inner)
            if found:
                return found
    return {}


def _slope(part: Scene) -> Floats:
    """(n + 1) / 2 of a flat part; a round one counts as facing nowhere."""
    if _type(part) in _ALONE:
        return np.full(3, 0.5)
    matrix = np.array(part["to_world"].matrix, dtype=float).reshape(4, 4)
    normal = matrix[:3, 2] / np.linalg.norm(matrix[:3, 2])
    return np.asarray((normal + 1) / 2)
