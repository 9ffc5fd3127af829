"""Builds the place round the decor: walls, floor and lights, as the renderer's description.

The lights and walls stand round the decor's own box and the camera, so that a bouquet and a
ten metre garland are both well lit and nothing stands in the picture by accident.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import joined, plate
from airwright.pictures.photo.colour import shade_linear
from airwright.pictures.photo.garden import hedge, turf
from airwright.pictures.photo.hall import hall
from airwright.pictures.photo.materials import matte_patch, painted, picture, rgb
from airwright.pictures.photo.parts import Part
from airwright.pictures.photo.places import Place
from airwright.pictures.photo.render import renderer
from airwright.pictures.photo.stage import (
    Stage,
    extruded,
    grey,
    half_depth,
    moved,
    rectangle,
    shape,
    sky_light,
    softbox,
    turned,
    wall_behind,
)
from airwright.pictures.photo.textures import meadow

Floats = NDArray[np.float64]
Scene = dict[str, Any]

SCREEN_RIM_M, SCREEN_THICK_M = 0.6, 0.04
HAZE = np.array([0.86, 0.80, 0.70])
"""Radiance of the bright sky low behind the photographer."""


def surround(place: Place, stage: Stage) -> Scene:
    """Walls, floor and lights of a place round a stage, turned with the camera."""
    built = {"sweep": _sweep, "hall": hall, "lawn": _lawn}[place.kind](place, stage)
    if stage.hung and place.kind != "hall":
        built |= _canopy(stage)
    if stage.on_wall and place.kind != "hall":
        built |= _screen(stage)
    return built


def _screen(stage: Stage) -> Scene:
    """A white wall for what hangs on one, where the place has none."""
    c, s = abs(np.cos(stage.camera.turn_rad)), abs(np.sin(stage.camera.turn_rad))
    dx, dy, _ = stage.high - stage.low
    wide, top = float(c * dx + s * dy) + SCREEN_RIM_M, float(stage.high[2]) + SCREEN_RIM_M / 2
    panel = plate(wide, SCREEN_THICK_M, top, 0.01)
    back = wall_behind(stage) + SCREEN_THICK_M / 2
    white = grey(0.78)
    return {"screen": shape(moved(panel, (0.0, back, 0.0)), stage, painted(white, 0.6), white)}


def _canopy(stage: Stage) -> Scene:
    """A light roof on four posts, where there is no ceiling to hang from."""
    c, s = abs(np.cos(stage.camera.turn_rad)), abs(np.sin(stage.camera.turn_rad))
    dx, dy, _ = (stage.high - stage.low) / 2
    wide, deep = float(c * dx + s * dy) + 0.6, float(s * dx + c * dy) + 0.6
    top = float(stage.high[2])
    roof = moved(plate(2 * wide, 2 * deep, 0.05, 0.02), (0.0, 0.0, top))
    posts = [
        moved(plate(0.07, 0.07, top, 0.01), (x * (wide - 0.05), y * (deep - 0.05), 0.0))
        for x in (-1, 1)
        for y in (-1, 1)
    ]
    white = grey(0.8)
    return {"canopy": shape(joined([roof, *posts]), stage, painted(white, 0.5), white)}


# ------------------------------------------------------------------ seamless paper


def _sweep(place: Place, stage: Stage) -> Scene:
    """Paper that runs from the floor up the wall in one curve; large softboxes."""
    r, far = stage.reach, stage.distance
    back = half_depth(stage) + 0.9 + 0.5 * r
    wide = 3.0 * (far + back)
    tall = max(4.0, 3.5 * r) + far
    bend = 0.9
    arc = np.linspace(0, np.pi / 2, 20)
    profile = np.concatenate(
        [
            [[-(far + 3.0), 0.0]],
            np.stack([back - bend + bend * np.sin(arc), bend - bend * np.cos(arc)], 1),
            [[back, tall]],
        ]
    )
    paper = extruded(profile, wide)
    z = float(stage.middle[2])
    return {
        "paper": shape(
            paper, stage, matte_patch(shade_linear(place.wall)), shade_linear(place.wall)
        ),
        "key": softbox(
            stage, (-1.5 * r - 0.7, -1.5 * r - 1.0, z + 1.3 * r + 0.7), (0.75 * r, r), grey(9.0)
        ),
        "strip": softbox(
            stage, (1.9 * r + 0.8, -1.0 * r - 0.6, z + 0.5 * r), (0.35 * r, 1.1 * r), grey(5.0)
        ),
        "top": softbox(stage, (0.2 * r, 0.2 * r, z + 2.4 * r + 0.9), (1.1 * r, 0.9 * r), grey(3.2)),
        "air": sky_light(grey(0.55)),
    }


# ------------------------------------------------------------------ lawn


def _lawn(place: Place, stage: Stage) -> Scene:
    t = renderer().ScalarTransform4f()
    texture = picture(meadow() * (shade_linear(place.floor) / shade_linear("#5c7a3a")) * 0.8)
    texture["to_uv"] = t.scale([40, 40, 1])
    ground = {"type": "twosided", "side": {"type": "diffuse", "reflectance": texture}}
    scene: Scene = {
        "ground": rectangle(stage, (0, 0, 0), (240, 240), (0, 0, 1), ground),
        "sky": {
            "type": "sunsky",
            "turbidity": 8.0,
            "sun_direction": [float(v) for v in _sun(stage)],
            "sun_scale": 1.15,
            "sky_scale": 2.2,
            "sun_aperture": 6.0,
            "albedo": 0.25,
            "to_world": t,
        },
        "haze": rectangle(
            stage, (0, -stage.distance - 30, 12), (120, 24), (0, 1, 0), matte_patch(grey(0.0))
        ),
    }
    scene["haze"]["emitter"] = {"type": "area", "radiance": rgb(HAZE)}
    return scene


def greenery(place: Place, stage: Stage) -> list[Part]:
    """Grass and hedge of a lawn; nothing elsewhere."""
    if place.kind != "lawn":
        return []
    frame = np.array(turned(stage).matrix, dtype=float).reshape(4, 4)
    r, far, deep = stage.reach, stage.distance, half_depth(stage)
    camera = stage.camera
    fall = (camera.size[1] / camera.size[0] / 2 - camera.shift[1]) / camera.focal
    nearest = min(camera.at[2] / max(fall, 0.05), far - deep) - far - 0.3
    spread = 0.5 / camera.focal + abs(camera.shift[0]) / camera.focal
    return [
        *turf(frame, nearest, deep + 2.3 + 0.6 * r, far, spread),
        *hedge(frame, deep + 2.6 + 0.6 * r, spread * (far + deep + 4 + r), place.wall),
    ]


def _sun(stage: Stage) -> Floats:
    """Way to a mid-morning sun behind the photographer's left shoulder."""
    high, c, s = np.radians(40), np.cos(stage.camera.turn_rad), np.sin(stage.camera.turn_rad)
    aside, before = -0.75, -0.66
    flat = np.array([c * aside - s * before, s * aside + c * before])
    flat *= np.cos(high) / np.linalg.norm(flat)
    return np.array([*flat, np.sin(high)])
