"""Builds the place round the decor: walls, floor and lights, as the renderer's description.

The lights and walls stand round the decor's own box and the camera, so that a bouquet and a
ten metre garland are both well lit and nothing stands in the picture by accident.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import Mesh, cylinder, joined, normals_of, plate
from airwright.pictures.photo.camera import Camera
from airwright.pictures.photo.colour import shade_linear
from airwright.pictures.photo.garden import hedge, turf
from airwright.pictures.photo.materials import matte_patch, painted, picture, rgb
from airwright.pictures.photo.parts import Part
from airwright.pictures.photo.places import Place
from airwright.pictures.photo.render import renderer
from airwright.pictures.photo.textures import floorboards, meadow, plaster

Floats = NDArray[np.float64]
Scene = dict[str, Any]

DOOR_WIDTH_M, DOOR_HEIGHT_M = 0.91, 2.03
"""A common single door leaf. From memory."""
SKIRTING_M = 0.11
EVENING_ROOM = np.array([0.50, 0.35, 0.21])
"""Radiance of an evening hall's lit side behind the photographer."""
HAZE = np.array([0.86, 0.80, 0.70])
"""Radiance of the bright sky low behind the photographer."""
LARGE_M = 2.2
"""Half the width of decor from which on the ceiling's light lies flat."""


@dataclass(frozen=True, slots=True)
class Stage:
    """What the place must leave room for.

    Attributes:
        low, high: corners of the decor's box (3,) [m].
        camera: where it is seen from.
        hung: whether it hangs, so that there must be something above to hang from.
    """

    low: Floats
    high: Floats
    camera: Camera
    hung: bool = False

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


def surround(place: Place, stage: Stage) -> Scene:
    """Walls, floor and lights of a place round a stage, turned with the camera."""
    built = {"sweep": _sweep, "hall": _hall, "lawn": _lawn}[place.kind](place, stage)
    if stage.hung and place.kind != "hall":
        built |= _canopy(stage)
    return built


def _canopy(stage: Stage) -> Scene:
    """A light roof on four posts, where there is no ceiling to hang from."""
    c, s = abs(np.cos(stage.camera.turn_rad)), abs(np.sin(stage.camera.turn_rad))
    dx, dy, _ = (stage.high - stage.low) / 2
    wide, deep = float(c * dx + s * dy) + 0.6, float(s * dx + c * dy) + 0.6
    top = float(stage.high[2])
    roof = _moved(plate(2 * wide, 2 * deep, 0.05, 0.02), (0.0, 0.0, top))
    posts = [
        _moved(plate(0.07, 0.07, top, 0.01), (x * (wide - 0.05), y * (deep - 0.05), 0.0))
        for x in (-1, 1)
        for y in (-1, 1)
    ]
    white = _grey(0.8)
    return {"canopy": _shape(joined([roof, *posts]), stage, painted(white, 0.5), white)}


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


# ------------------------------------------------------------------ seamless paper


def _sweep(place: Place, stage: Stage) -> Scene:
    """Paper that runs from the floor up the wall in one curve; large softboxes."""
    r, far = stage.reach, stage.distance
    back = _half_depth(stage) + 0.9 + 0.5 * r
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
    paper = _extruded(profile, wide)
    z = float(stage.middle[2])
    return {
        "paper": _shape(
            paper, stage, matte_patch(shade_linear(place.wall)), shade_linear(place.wall)
        ),
        "key": softbox(
            stage, (-1.5 * r - 0.7, -1.5 * r - 1.0, z + 1.3 * r + 0.7), (0.75 * r, r), _grey(9.0)
        ),
        "strip": softbox(
            stage, (1.9 * r + 0.8, -1.0 * r - 0.6, z + 0.5 * r), (0.35 * r, 1.1 * r), _grey(5.0)
        ),
        "top": softbox(
            stage, (0.2 * r, 0.2 * r, z + 2.4 * r + 0.9), (1.1 * r, 0.9 * r), _grey(3.2)
        ),
        "air": sky_light(_grey(0.55)),
    }


# ------------------------------------------------------------------ halls


def _hall(place: Place, stage: Stage) -> Scene:
    r, far = stage.reach, stage.distance
    back = _half_depth(stage) + 0.9 + 0.35 * r
    tall = max(3.6, float(stage.high[2]) + 1.2, _seen_top(stage, back) + 0.3)
    if stage.hung:
        tall = float(stage.high[2])
    wide = max(4.0, 1.6 * r + 2.4)
    wall = shade_linear(place.wall)
    door = _door_x(stage) if place.door else None
    scene: Scene = {
        "floor": _floor(place, stage, back, wide + 6, far + 6),
        "wall": _wall(stage, wall, back, wide + 6, tall),
        "mouldings": _shape(
            _mouldings(back, wide + 6, tall, door), stage, painted(wall * 0.97 + 0.02, 0.45), wall
        ),
        "skirting": _shape(
            _skirting(back, wide + 6, door),
            stage,
            painted(np.clip(wall * 1.06, 0, 0.9), 0.35),
            wall,
        ),
        "ceiling": _rectangle(
            stage, (0, -far / 2, tall), (wide + 6, far + 8), (0, 0, -1), matte_patch(_grey(0.82))
        ),
    }
    if stage.hung:
        scene["cornice"] = _shape(
            _cornice(back, wide + 6, tall, far), stage, painted(_grey(0.8), 0.45), _grey(0.8)
        )
    if place.door:
        scene |= _door(stage, back, evening=place.evening)
    scene |= _lamps(stage, back, tall) if place.evening else _daylight(stage, tall, wide)
    return scene


def _cornice(back: float, half_wide: float, tall: float, far: float) -> Mesh:
    """Where wall and ceiling meet, and flat beams towards the camera: a ceiling that is seen."""
    strips = [(0.10, 0.05), (0.06, 0.12), (0.03, 0.18)]
    parts = [
        _moved(plate(2 * half_wide, deep, high, 0.004), (0.0, back - deep / 2, tall - high))
        for deep, high in strips
    ]
    long = back + far + 2
    for number in range(-4, 5):
        beam = plate(0.14, long, 0.035, 0.005)
        parts.append(_moved(beam, (1.5 * number + 0.75, back - long / 2, tall - 0.035)))
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
        scene["panel"] = _rectangle(stage, middle, size, (0, 0, -1), matte_patch(_grey(0.8)))
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
    return _rectangle(
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
    return _rectangle(stage, (0, back, tall / 2), (2 * half_wide, tall), (0, -1, 0), paint)


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
    parts.append(_moved(rail, (0.0, back - 0.0175, 0.99)))
    return joined(parts)


def _frame(x: float, back: float, wide: float, low: float, high: float) -> list[Mesh]:
    bar, thick = 0.032, 0.016
    y = back - thick / 2
    across = plate(wide, thick, bar, 0.003)
    upright = plate(bar, thick, high - low, 0.003)
    return [
        _moved(across, (x, y, low)),
        _moved(across, (x, y, high - bar)),
        _moved(upright, (x - wide / 2 + bar / 2, y, low)),
        _moved(upright, (x + wide / 2 - bar / 2, y, low)),
    ]


def _skirting(back: float, half_wide: float, door: float | None) -> Mesh:
    if door is None:
        return _moved(plate(2 * half_wide, 0.022, SKIRTING_M, 0.004), (0.0, back - 0.011, 0.0))
    x = door
    left = x - DOOR_WIDTH_M / 2 - 0.08 + half_wide
    right = half_wide - x - DOOR_WIDTH_M / 2 - 0.08
    return joined(
        [
            _moved(plate(left, 0.022, SKIRTING_M, 0.004), (-half_wide + left / 2, back - 0.011, 0)),
            _moved(
                plate(right, 0.022, SKIRTING_M, 0.004), (half_wide - right / 2, back - 0.011, 0)
            ),
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
    back = _half_depth(stage) + 0.9 + 0.35 * stage.reach
    x = _door_x(stage)
    c, s = np.cos(stage.camera.turn_rad), np.sin(stage.camera.turn_rad)
    corners = []
    for dx, z in ((-0.6, 0.0), (0.6, DOOR_HEIGHT_M)):
        px, py = x + dx * DOOR_WIDTH_M, back
        corners.append([c * px - s * py + stage.middle[0], s * px + c * py + stage.middle[1], z])
    return np.array(corners)


def _door(stage: Stage, back: float, *, evening: bool) -> Scene:
    x = _door_x(stage)
    tone = _grey(0.30 if evening else 0.74)
    leaf = _moved(plate(DOOR_WIDTH_M, 0.03, DOOR_HEIGHT_M, 0.003), (x, back - 0.015, 0.0))
    side = plate(0.07, 0.045, DOOR_HEIGHT_M + 0.07, 0.004)
    lintel = plate(DOOR_WIDTH_M + 0.14, 0.045, 0.07, 0.004)
    half = DOOR_WIDTH_M / 2 + 0.035
    frame = [
        _moved(side, (x - half, back - 0.0225, 0.0)),
        _moved(side, (x + half, back - 0.0225, 0.0)),
        _moved(lintel, (x, back - 0.0225, DOOR_HEIGHT_M)),
    ]
    panels: list[Mesh] = []
    for low, high in ((0.22, 0.92), (1.08, 1.86)):
        panels += _frame(x, back - 0.03, DOOR_WIDTH_M - 0.26, low, high)
    knob = _moved(cylinder(0.026, 0.03), (x - half + 0.1, back - 0.07, 1.02))
    return {
        "door": _shape(joined([leaf, *panels]), stage, painted(tone, 0.35), tone),
        "door_frame": _shape(joined(frame), stage, painted(tone * 1.1, 0.35), tone * 1.1),
        "door_knob": _shape(knob, stage, painted(_grey(0.2), 0.2), _grey(0.2)),
    }


# ------------------------------------------------------------------ lawn


def _lawn(place: Place, stage: Stage) -> Scene:
    t = renderer().ScalarTransform4f()
    texture = picture(meadow() * (shade_linear(place.floor) / shade_linear("#5c7a3a")) * 0.8)
    texture["to_uv"] = t.scale([40, 40, 1])
    ground = {"type": "twosided", "side": {"type": "diffuse", "reflectance": texture}}
    scene: Scene = {
        "ground": _rectangle(stage, (0, 0, 0), (240, 240), (0, 0, 1), ground),
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
        "haze": _rectangle(
            stage, (0, -stage.distance - 30, 12), (120, 24), (0, 1, 0), matte_patch(_grey(0.0))
        ),
    }
    scene["haze"]["emitter"] = {"type": "area", "radiance": rgb(HAZE)}
    return scene


def greenery(place: Place, stage: Stage) -> list[Part]:
    """Grass and hedge of a lawn; nothing elsewhere."""
    if place.kind != "lawn":
        return []
    frame = np.array(turned(stage).matrix, dtype=float).reshape(4, 4)
    r, far, deep = stage.reach, stage.distance, _half_depth(stage)
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


# ------------------------------------------------------------------ parts


def _grey(level: float) -> Floats:
    return np.full(3, float(level))


def _half_depth(stage: Stage) -> float:
    """Half the box's extent along the line of sight."""
    c, s = abs(np.cos(stage.camera.turn_rad)), abs(np.sin(stage.camera.turn_rad))
    dx, dy, _ = (stage.high - stage.low) / 2
    return float(s * dx + c * dy)


def _moved(mesh: Mesh, at: tuple[float, float, float]) -> Mesh:
    matrix = np.eye(4)
    matrix[:3, 3] = at
    return mesh.placed(matrix)


def _extruded(profile: Floats, half_wide: float) -> Mesh:
    """Sheet along x over a profile of (y, z) points."""
    count = len(profile)
    rows = [np.column_stack([np.full(count, x), profile]) for x in (-half_wide, half_wide)]
    k = np.arange(count - 1)
    faces = np.concatenate(
        [np.stack([k, k + count, k + count + 1], 1), np.stack([k, k + count + 1, k + 1], 1)]
    ).astype(np.int32)
    vertices = np.concatenate(rows)
    return Mesh(vertices, faces, normals_of(vertices, faces))


def _shape(mesh: Mesh, stage: Stage, material: dict[str, Any], colour: Floats) -> Part:
    """A mesh of the place, and the plain colour the denoiser is told."""
    matrix = np.array(turned(stage).matrix, dtype=float).reshape(4, 4)
    return Part("place", mesh.placed(matrix), material, np.asarray(colour))


def _rectangle(
    stage: Stage,
    middle: tuple[float, float, float],
    size: tuple[float, float],
    normal: tuple[float, float, float],
    material: dict[str, Any],
) -> Scene:
    t = renderer().ScalarTransform4f()
    up = [0, 1, 0] if abs(normal[2]) > 0.5 else [0, 0, 1]
    target = [m + n for m, n in zip(middle, normal, strict=True)]
    aimed = t.look_at(origin=list(middle), target=target, up=up)
    return {
        "type": "rectangle",
        "to_world": turned(stage) @ aimed @ t.scale([size[0] / 2, size[1] / 2, 1]),
        "bsdf": material,
    }
