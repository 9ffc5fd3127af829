"""Things in the picture before the renderer sees them, and the forms it wants them in.

Each mesh is set many times (instances), or in small scenes copied.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import Mesh, joined
from airwright.pictures.photo.render import renderer, to_shape

Floats = NDArray[np.float64]
Scene = dict[str, Any]

COPIED_TRIANGLES = 400_000
"""Up to so many triangles in all, copies take little memory (some 40 MB) and a tenth less time."""

_HERE = np.eye(4)[None]


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One mesh in one material, set at one or more places.

    Attributes:
        name: unique name.
        mesh: in its own units.
        material: the renderer's description of its surface.
        colour: (3,) linear colour the denoiser is told.
        places: (n, 4, 4) matrices.
        smooth: whether normals run smoothly over edges.
        guiding: whether the guides show it; a clear skin round another balloon would hide that.
        opacity: how much it covers of a photo behind it; of what is not opaque the guides show
            the rim alone.
    """

    name: str
    mesh: Mesh
    material: dict[str, Any]
    colour: Floats
    places: Floats = field(default_factory=lambda: _HERE)
    smooth: bool = True
    guiding: bool = True
    opacity: float = 1.0


def as_instances(parts: Iterable[Part]) -> Scene:
    """Each mesh once, set at its places; in small scenes copied, which is traced faster."""
    t = renderer().ScalarTransform4f
    scene: Scene = {}
    parts = list(parts)
    small = sum(len(part.mesh.faces) * len(part.places) for part in parts) <= COPIED_TRIANGLES
    for part in parts:
        if small or len(part.places) == 1:
            mesh = joined([part.mesh.placed(matrix) for matrix in part.places])
            scene[part.name] = to_shape(mesh, part.name, part.material, smooth=part.smooth)
            continue
        shape = to_shape(part.mesh, part.name, part.material, smooth=part.smooth)
        scene[part.name] = {"type": "shapegroup", "shape": shape}
        for number, matrix in enumerate(part.places):
            scene[f"{part.name}_at{number}"] = {
                "type": "instance",
                "to_world": t(matrix),
                "shapegroup": {"type": "ref", "id": part.name},
            }
    return scene


def as_copies(parts: Iterable[Part]) -> Scene:
    """A mesh of its own at every place (for measuring what sharing saves)."""
    return {
        f"{part.name}_at{number}": to_shape(
            part.mesh.placed(matrix), part.name, part.material, smooth=part.smooth
        )
        for part in parts
        for number, matrix in enumerate(part.places)
    }


def as_shapes(around: Scene) -> Scene:
    """A place's description with its parts as the renderer's own shapes."""
    return {
        name: to_shape(part.mesh, name, part.material, smooth=part.smooth)
        if isinstance(part, Part)
        else part
        for name, part in around.items()
    }
