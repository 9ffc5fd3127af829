"""What a place is built round: the decor's box and the camera; and the things places share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import Mesh, normals_of
from airwright.pictures.photo.camera import Camera
from airwright.pictures.photo.materials import picture, rgb
from airwright.pictures.photo.parts import Part
from airwright.pictures.photo.render import renderer

Floats = NDArray[np.float64]
Scene = dict[str, Any]

TOUCHING_M = 0.02
"""Between what hangs on a wall and the wall [m]."""


@dataclass(frozen=True, slots=True)
class Stage:
    """What the place must leave room for.

    Attributes:
        low, high: corners of the decor's box (3,) [m].
        camera: where it is seen from.
        hung: whether it hangs, so that there must be something above to hang from.
        on_wall: whether it hangs from hooks below a ceiling, so that a wall must be behind it.
    """

    low: Floats
    high: Floats
    camera: Camera
    hung: bool = False
    on_wall: bool = False

    @property
    def middle(self) -> Floats:
        """Middle of the box."""
        return np.asarray((self.low + self.high) / 2)

    @property
    def reach(self) -> float:
        """Half the box's largest side, at least 0.8 m."""
        return max(0.8, float((self.high - self.low).max()) / 2)

    @property
    def distance(self) -> float:
        """Camera to middle, on the floor plan."""
        return float(np.hypot(*(np.array(self.camera.at[:2]) - self.middle[:2])))


def turned(stage: Stage) -> Any:
    """Transform from the place's own axes (+y away from the camera) to the scene's."""
    t = renderer().ScalarTransform4f()
    x, y, _ = (float(v) for v in stage.middle)
    return t.translate([x, y, 0.0]).rotate([0, 0, 1], float(np.degrees(stage.camera.turn_rad)))


def softbox(
    stage: Stage, at: tuple[float, float, float], half: tuple[float, float], light: Floats
) -> Scene:
    """Rectangle of light at a place given in the stage's axes, aimed at the decor's middle."""
    t = renderer().ScalarTransform4f()
    aim = [0.0, 0.0, float(stage.middle[2])]
    aimed = t.look_at(origin=list(at), target=aim, up=[0, 0, 1])
    return {
        "type": "rectangle",
        "to_world": turned(stage) @ aimed @ t.scale([half[0], half[1], 1.0]),
        "emitter": {"type": "area", "radiance": rgb(light)},
        "bsdf": {"type": "diffuse", "reflectance": rgb(np.zeros(3))},
    }


def sky_light(light: Floats) -> Scene:
    """Even light from everywhere."""
    return {"type": "constant", "radiance": rgb(light)}


def room_light(stage: Stage, ahead: Floats, elsewhere: Floats) -> Scene:
    """Light from a room that is not built: `ahead` from behind the camera, at the height of
    people and lamps, `elsewhere` from all other sides. Mirrors need something to show."""
    rows, columns = 32, 64
    up = np.pi / 2 - (np.arange(rows) + 0.5) / rows * np.pi
    round_ = (np.arange(columns) + 0.5) / columns * 2 * np.pi
    way_x, way_y = np.sin(round_), np.cos(round_)  # the place's own axes, +y away from the camera
    height = np.clip((np.sin(up) + 0.35) / 0.3, 0, 1) * np.clip((0.95 - np.sin(up)) / 0.3, 0, 1)
    before = np.clip(0.5 - 0.9 * way_y, 0, 1) * (0.8 + 0.2 * np.cos(5 * np.arctan2(way_x, way_y)))
    share = (height[:, None] * before[None])[..., None]
    t = renderer().ScalarTransform4f()
    turn = float(np.degrees(stage.camera.turn_rad))
    return {
        "type": "envmap",
        "bitmap": picture(elsewhere * (1 - share) + ahead * share)["bitmap"],
        # the renderer's own sky stands along +y and begins behind
        "to_world": t.rotate([0, 0, 1], turn).rotate([1, 0, 0], 90),
    }


def grey(level: float) -> Floats:
    """(3,) colour without a tint."""
    return np.full(3, float(level))


def half_depth(stage: Stage) -> float:
    """Half the box's extent along the line of sight."""
    c, s = abs(np.cos(stage.camera.turn_rad)), abs(np.sin(stage.camera.turn_rad))
    dx, dy, _ = (stage.high - stage.low) / 2
    return float(s * dx + c * dy)


def wall_behind(stage: Stage) -> float:
    """From the box's middle to the wall behind it [m], which holds what hangs on it."""
    deep = half_depth(stage)
    return deep + TOUCHING_M if stage.on_wall else deep + 0.9 + 0.35 * stage.reach


def moved(mesh: Mesh, at: tuple[float, float, float]) -> Mesh:
    """The mesh shifted to a place (x, y, z) [m]."""
    matrix = np.eye(4)
    matrix[:3, 3] = at
    return mesh.placed(matrix)


def extruded(profile: Floats, half_wide: float) -> Mesh:
    """Sheet along x over a profile of (y, z) points."""
    count = len(profile)
    rows = [np.column_stack([np.full(count, x), profile]) for x in (-half_wide, half_wide)]
    k = np.arange(count - 1)
    faces = np.concatenate(
        [np.stack([k, k + count, k + count + 1], 1), np.stack([k, k + count + 1, k + 1], 1)]
    ).astype(np.int32)
    vertices = np.concatenate(rows)
    return Mesh(vertices, faces, normals_of(vertices, faces))


def shape(mesh: Mesh, stage: Stage, material: dict[str, Any], colour: Floats) -> Part:
    """A mesh of the place, and the plain colour the denoiser is told."""
    matrix = np.array(turned(stage).matrix, dtype=float).reshape(4, 4)
    return Part("place", mesh.placed(matrix), material, np.asarray(colour))


def rectangle(
    stage: Stage,
    middle: tuple[float, float, float],
    size: tuple[float, float],
    normal: tuple[float, float, float],
    material: dict[str, Any],
) -> Scene:
    """A rectangle of a size [m] round its middle, in the stage's axes, looking along `normal`."""
    t = renderer().ScalarTransform4f()
    up = [0, 1, 0] if abs(normal[2]) > 0.5 else [0, 0, 1]
    target = [m + n for m, n in zip(middle, normal, strict=True)]
    aimed = t.look_at(origin=list(middle), target=target, up=up)
    return {
        "type": "rectangle",
        "to_world": turned(stage) @ aimed @ t.scale([size[0] / 2, size[1] / 2, 1]),
        "bsdf": material,
    }
