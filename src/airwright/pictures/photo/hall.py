"""Halls: floorboards, panelled walls, a ceiling, daylight or warm lamps."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import Mesh, cylinder, joined, plate
from airwright.pictures.photo.colour import shade_linear
from airwright.pictures.photo.materials import matte_patch, painted, picture, rgb
from airwright.pictures.photo.places import Place
from airwright.pictures.photo.render import renderer
from airwright.pictures.photo.stage import (
    Stage,
    grey,
    moved,
    rectangle,
    room_light,
    shape,
    sky_light,
    softbox,
    turned,
    wall_behind,
)
from airwright.pictures.photo.textures import floorboards, plaster

Floats = NDArray[np.float64]
Scene = dict[str, Any]

DOOR_WIDTH_M, DOOR_HEIGHT_M = 0.91, 2.03
"""A common single door leaf. From memory."""
SKIRTING_M = 0.11
EVENING_ROOM = np.array([0.50, 0.35, 0.21])
"""Radiance of an evening hall's lit side behind the photographer."""
LARGE_M = 2.2
"""Half the width of decor from which on the ceiling's light lies flat."""


def hall(place: Place, stage: Stage) -> Scene:
    """A hall in the client's colours, by day or in the evening."""
    r, far = stage.reach, stage.distance
    back = wall_behind(stage)
    tall = max(3.6, float(stage.high[2]) + 1.2, _seen_top(stage, back) + 0.3)
    if stage.hung:
        tall = float(stage.high[2])
    wide = max(4.0, 1.6 * r + 2.4)
    wall = shade_linear(place.wall)
    door = _door_x(stage) if place.door else None
    scene: Scene = {
        "floor": _floor(place, stage, back, wide + 6, far + 6),
        "wall": _wall(stage, wall, back, wide + 6, tall),
        "mouldings": shape(
            _mouldings(back, wide + 6, tall, door), stage, painted(wall * 0.97 + 0.02, 0.45), wall
        ),
        "skirting": shape(
            _skirting(back, wide + 6, door),
            stage,
            painted(np.clip(wall * 1.06, 0, 0.9), 0.35),
            wall,
        ),
        "ceiling": rectangle(
            stage, (0, -far / 2, tall), (wide + 6, far + 8), (0, 0, -1), matte_patch(grey(0.82))
        ),
    }
    if stage.hung:
        scene["cornice"] = shape(
            _cornice(back, wide + 6, tall, far), stage, painted(grey(0.8), 0.45), grey(0.8)
        )
    if place.door:
        scene |= _door(stage, back, evening=place.evening)
    scene |= _lamps(stage, back, tall) if place.evening else _daylight(stage, tall, wide)
    return scene


def _cornice(back: float, half_wide: float, tall: float, far: float) -> Mesh:
    """Where wall and ceiling meet, and flat beams towards the camera: a ceiling that is seen."""
    strips = [(0.10, 0.05), (0.06, 0.12), (0.03, 0.18)]
    parts = [
        moved(plate(2 * half_wide, deep, high, 0.004), (0.0, back - deep / 2, tall - high))
        for deep, high in strips
    ]
    long = back + far + 2
    for number in range(-4, 5):
        beam = plate(0.14, long, 0.035, 0.005)
        parts.append(moved(beam, (1.5 * number + 0.75, back - long / 2, tall - 0.035)))
    return joined(parts)


def _daylight(stage: Stage, tall: float, wide: float) -> Scene:
    """Tall windows to the left and before the decor, a bright ceiling."""
    r = stage.reach
    scene: Scene = {"air": sky_light(np.array([0.62, 0.64, 0.66]))}
    for number, y in enumerate((-1.2 * r - 2.4, -0.2 * r - 0.6)):
        scene[f"window{number}"] = softbox(
            stage, (-wide - 0.6, y, 0.62 * tall), (0.7, 0.4 * tall), np.array([9.5, 10.0, 10.8])
        )
    scene["far_window"] = softbox(
        stage,
        (wide + 1.6, -1.2 * r - 1.6, 0.6 * tall),
        (0.8, 0.36 * tall),
        np.array([3.4, 3.5, 3.7]),
    )
    middle, half = (0.0, -0.6 * r - 0.8, tall - 0.05), (1.3 * r, 0.6 * r)
    glow = np.array([2.6, 2.6, 2.6])
    if stage.hung:  # under the ceiling it would hang into the picture
        ahead = (0.0, -stage.distance - 1.0, 0.5 * tall)
        scene["panel"] = softbox(stage, ahead, (2.0, 1.2), glow)
    elif r <= LARGE_M:
        scene["panel"] = softbox(stage, middle, half, glow)
    else:  # aimed at decor so wide, its edge would hang into the picture
        size = (2 * half[0], 2 * half[1])
        scene["panel"] = rectangle(stage, middle, size, (0, 0, -1), matte_patch(grey(0.8)))
        scene["panel"]["emitter"] = {"type": "area", "radiance": rgb(glow)}
    return scene


def _lamps(stage: Stage, back: float, tall: float) -> Scene:
    """Wall lamps behind, pendant globes before and above: warm pools of light."""
    r = stage.reach
    warm = np.array([1.0, 0.66, 0.36])
    scene: Scene = {"air": room_light(stage, EVENING_ROOM, np.array([0.050, 0.045, 0.050]))}
    t = renderer().ScalarTransform4f()
    for number, x in enumerate((-1.0, 1.0)):
        at = turned(stage) @ t.translate(
            [x * (1.25 * r + 0.75), back - 0.16, min(2.15, tall - 0.8)]
        )
        scene[f"shade{number}"] = {
            "type": "cylinder",
            "p0": [0, 0, -0.13],
            "p1": [0, 0, 0.13],
            "radius": 0.075,
            "to_world": at,
            "emitter": {"type": "area", "radiance": rgb(7.0 * warm)},
        }
    spots = ((-0.8, -1.3), (0.8, -1.5), (0.0, -2.3))
    for number, (x, y) in enumerate(() if stage.hung else spots):
        at = turned(stage) @ t.translate([x * (r + 0.5), y * (r + 0.4), tall - 0.35])
        scene[f"globe{number}"] = {
            "type": "sphere",
            "radius": 0.22,
            "to_world": at,
            "emitter": {"type": "area", "radiance": rgb(20.0 * warm)},
        }
    scene["key"] = softbox(
        stage,
        (-1.6 * r - 1.0, -1.8 * r - 1.4, tall - 0.3),
        (0.7, 0.7),
        5.0 * np.array([1, 0.74, 0.48]),
    )
    return scene


def _floor(place: Place, stage: Stage, back: float, half_wide: float, depth: float) -> Scene:
    colour = shade_linear(place.floor)
    boards = floorboards((float(colour[0]), float(colour[1]), float(colour[2])))
    t = renderer().ScalarTransform4f()
    size = back + depth
    texture = picture(boards)
    texture["to_uv"] = t.scale([2 * half_wide / 2.4, size / 2.4, 1])
    lacquer = {
        "type": "principled",
        "base_color": texture,
        "roughness": 0.24,
        "specular": 0.5,
    }
    return rectangle(
        stage,
        (0, back - size / 2, 0),
        (2 * half_wide, size),
        (0, 0, 1),
        {"type": "twosided", "side": lacquer},
    )


def _wall(stage: Stage, colour: Floats, back: float, half_wide: float, tall: float) -> Scene:
    t = renderer().ScalarTransform4f()
    texture = picture(plaster((float(colour[0]), float(colour[1]), float(colour[2]))))
    texture["to_uv"] = t.scale([half_wide / 1.5, tall / 3.0, 1])
    paint = {"type": "twosided", "side": {"type": "diffuse", "reflectance": texture}}
    return rectangle(stage, (0, back, tall / 2), (2 * half_wide, tall), (0, -1, 0), paint)


def _mouldings(back: float, half_wide: float, tall: float, door: float | None) -> Mesh:
    """Raised frames on the wall, evenly spaced, as in an old hall; they give it scale."""
    parts = []
    wide, gap = 1.25, 0.28
    top = min(tall - 0.45, 3.0)
    count = int(half_wide // (wide + gap))
    for number in range(-count, count + 1):
        x = number * (wide + gap)
        if door is not None and abs(x - door) < wide / 2 + DOOR_WIDTH_M / 2 + 0.2:
            continue
        for low, high in ((0.30, 0.95), (1.08, top)):
            parts += _frame(x, back, wide, low, high)
    rail = plate(2 * half_wide, 0.035, 0.05, 0.004)
    parts.append(moved(rail, (0.0, back - 0.0175, 0.99)))
    return joined(parts)


def _frame(x: float, back: float, wide: float, low: float, high: float) -> list[Mesh]:
    bar, thick = 0.032, 0.016
    y = back - thick / 2
    across = plate(wide, thick, bar, 0.003)
    upright = plate(bar, thick, high - low, 0.003)
    return [
        moved(across, (x, y, low)),
        moved(across, (x, y, high - bar)),
        moved(upright, (x - wide / 2 + bar / 2, y, low)),
        moved(upright, (x + wide / 2 - bar / 2, y, low)),
    ]


def _skirting(back: float, half_wide: float, door: float | None) -> Mesh:
    if door is None:
        return moved(plate(2 * half_wide, 0.022, SKIRTING_M, 0.004), (0.0, back - 0.011, 0.0))
    x = door
    left = x - DOOR_WIDTH_M / 2 - 0.08 + half_wide
    right = half_wide - x - DOOR_WIDTH_M / 2 - 0.08
    return joined(
        [
            moved(plate(left, 0.022, SKIRTING_M, 0.004), (-half_wide + left / 2, back - 0.011, 0)),
            moved(plate(right, 0.022, SKIRTING_M, 0.004), (half_wide - right / 2, back - 0.011, 0)),
        ]
    )


def _seen_top(stage: Stage, back: float) -> float:
    """Height at which the picture's upper edge meets the back wall [m]."""
    camera = stage.camera
    frame = camera.size[1] / camera.size[0]
    rise = (camera.shift[1] + frame / 2) / camera.focal
    return float(camera.at[2] + rise * (stage.distance + back))


def _door_x(stage: Stage) -> float:
    """Where the door stands: to the right of the decor (in the stage's axes)."""
    c, s = abs(np.cos(stage.camera.turn_rad)), abs(np.sin(stage.camera.turn_rad))
    dx, dy, _ = (stage.high - stage.low) / 2
    return float(c * dx + s * dy) + 0.35 + DOOR_WIDTH_M / 2


def door_at(stage: Stage) -> Floats:
    """(2, 3) lower left and upper right corner of the door in the scene [m]."""
    back = wall_behind(stage)
    x = _door_x(stage)
    c, s = np.cos(stage.camera.turn_rad), np.sin(stage.camera.turn_rad)
    corners = []
    for dx, z in ((-0.6, 0.0), (0.6, DOOR_HEIGHT_M)):
        px, py = x + dx * DOOR_WIDTH_M, back
        corners.append([c * px - s * py + stage.middle[0], s * px + c * py + stage.middle[1], z])
    return np.array(corners)


def _door(stage: Stage, back: float, *, evening: bool) -> Scene:
    x = _door_x(stage)
    tone = grey(0.30 if evening else 0.74)
    leaf = moved(plate(DOOR_WIDTH_M, 0.03, DOOR_HEIGHT_M, 0.003), (x, back - 0.015, 0.0))
    side = plate(0.07, 0.045, DOOR_HEIGHT_M + 0.07, 0.004)
    lintel = plate(DOOR_WIDTH_M + 0.14, 0.045, 0.07, 0.004)
    half = DOOR_WIDTH_M / 2 + 0.035
    frame = [
        moved(side, (x - half, back - 0.0225, 0.0)),
        moved(side, (x + half, back - 0.0225, 0.0)),
        moved(lintel, (x, back - 0.0225, DOOR_HEIGHT_M)),
    ]
    panels: list[Mesh] = []
    for low, high in ((0.22, 0.92), (1.08, 1.86)):
        panels += _frame(x, back - 0.03, DOOR_WIDTH_M - 0.26, low, high)
    knob = moved(cylinder(0.026, 0.03), (x - half + 0.1, back - 0.07, 1.02))
    return {
        "door": shape(joined([leaf, *panels]), stage, painted(tone, 0.35), tone),
        "door_frame": shape(joined(frame), stage, painted(tone * 1.1, 0.35), tone * 1.1),
        "door_knob": shape(knob, stage, painted(grey(0.2), 0.2), grey(0.2)),
    }
