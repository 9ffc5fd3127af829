"""The light and the floor of a client's room, read off its photo and the few words about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.photo.colour import LUMINANCE, to_linear
from airwright.pictures.photo.materials import picture, rgb
from airwright.pictures.photo.render import renderer
from airwright.pictures.photo.view import View

Floats = NDArray[np.float64]
Scene = dict[str, Any]

SUNS = ("left", "right", "behind", "ahead")
"""Where the sun may stand, seen by the photographer."""
_STANDS = {
    "left": (-1.0, -0.35),
    "right": (1.0, -0.35),
    "behind": (-0.25, -1.0),
    "ahead": (0.3, 1.0),
}
"""The same as a way: to the right, and away from the camera."""
LIGHTS = (*SUNS, "overcast", "lamps")
FLOORS = {"dull": (0.06, 0.7), "usual": (0.22, 0.4), "glossy": (0.5, 0.18)}
"""Gloss (the renderer's specular) and roughness of the floor, by word. By eye."""

LAMP_SHARE = 0.68
"""Share of the light that comes from above the decor, as a room's lamps do."""
LAMP_WIDE, OVERCAST_WIDE = 0.32, 1.1
"""Half the width of the light overhead, of its height. By eye."""
SUN_SHARE = 0.72
"""Share of the light on the floor that comes from a sun that throws shadows."""
SUN_HIGH = np.radians(38)
SUN_COLOUR = np.array([1.08, 1.0, 0.86])
SUN_WIDE_DEG = 1.2
"""The sun's disc is 0.5° wide; thin cloud and haze soften its shadows a little more."""
LIGHTS_FROM, LIGHTS_GAIN = 0.9, 5.0
"""Photo values above this are lamps and windows, clipped by the camera; they get this gain."""


@dataclass(frozen=True, slots=True)
class Light:
    """How a room is lit.

    Attributes:
        word: one of LIGHTS.
        to_sun: (x, y, z) way to the sun in floor axes, for a marked shadow; else by the word.
        floor: one of FLOORS.
    """

    word: str = "lamps"
    to_sun: tuple[float, float, float] | None = None
    floor: str = "usual"


def way_to_sun(light: Light, view: View) -> Floats | None:
    """Unit vector (3,) to the sun in floor axes; None where no sun throws shadows."""
    if light.to_sun is not None:
        way = np.array(light.to_sun, dtype=float)
        return np.asarray(way / np.linalg.norm(way))
    if light.word not in SUNS:
        return None
    aside, on = _STANDS[light.word]
    ahead, right = view.rotation[2, :2], view.rotation[0, :2]
    flat = aside * right / np.hypot(*right) + on * ahead / max(float(np.hypot(*ahead)), 1e-9)
    flat *= np.cos(SUN_HIGH) / np.linalg.norm(flat)
    return np.array([*flat, np.sin(SUN_HIGH)])


def sun_of_shadow(foot: Floats, tip: Floats, height_m: float | None) -> tuple[float, float, float]:
    """Way to the sun from a shadow on the floor: its foot and tip (2,) [m], and the height of
    what throws it, without which the sun stands at a usual height."""
    along = np.asarray(foot) - np.asarray(tip)
    long = float(np.linalg.norm(along))
    rise = np.tan(SUN_HIGH) * long if height_m is None else height_m
    way = np.array([*along, rise]) / np.hypot(long, rise)
    return float(way[0]), float(way[1]), float(way[2])


@dataclass(frozen=True, slots=True, eq=False)
class Lit:
    """What a room's photo says about its light: from all round (256, 512, 3), and its floor's
    colour (3,)."""

    room: Floats
    floor: Floats


def lit_by(photo: Floats, view: View) -> Lit:
    """The light of a photo (H, W, 3, linear), which all decor in that room shares."""
    return Lit(environment(photo, view), np.clip(floor_colour(photo, view), 0.02, 0.9))


def around(
    lit: Lit, light: Light, spot: tuple[float, float], top_m: float, sun: Floats | None
) -> Scene:
    """Bare floor round a spot (x, y), the photo as light from all round, `sun` or soft lamp.

    `top_m` is how high the lamp has to hang at least [m]: the same for decor of nearly the same
    height, so that one picture of the bare floor serves all options.
    """
    t = renderer().ScalarTransform4f()
    x, y = spot
    room = lit.room
    brightness = float((room @ LUMINANCE).mean())
    tint = room.reshape(-1, 3).mean(axis=0) / max(brightness, 1e-6)
    gloss, rough = FLOORS[light.floor]
    scene: Scene = {
        "floor": {
            "type": "disk",
            "to_world": t.translate([x, y, 0.0]).scale(40.0),
            "bsdf": {
                "type": "twosided",
                "side": {
                    "type": "principled",
                    "base_color": rgb(lit.floor),
                    "roughness": rough,
                    "specular": gloss,
                },
            },
        },
        "room": {
            "type": "envmap",
            "bitmap": picture(room)["bitmap"],
            # the renderer's own sky stands along +y; ours along +z
            "to_world": t.rotate([1, 0, 0], 90),
        },
    }
    if sun is not None:
        return scene | {"sun": _sun(sun, brightness, spot)}
    lift = 2.0 + 1.5 * np.ceil(top_m / 1.5)
    half = (OVERCAST_WIDE if light.word == "overcast" else LAMP_WIDE) * lift
    # a square of this radiance adds about LAMP_SHARE of what the room sheds on the floor
    radiance = brightness * LAMP_SHARE / (1 - LAMP_SHARE) * (lift / half) ** 2 * 0.8
    radiance *= 1 + (half / lift) ** 2
    return scene | {
        "lamp": {
            "type": "rectangle",
            "to_world": t.translate([x - 0.25 * half, y - 0.35 * half, lift])
            .rotate([1, 0, 0], 180)
            .scale([half, half, 1]),
            "emitter": {"type": "area", "radiance": rgb(radiance * tint)},
            "bsdf": {"type": "diffuse", "reflectance": rgb(np.zeros(3))},
        }
    }


def _sun(way: Floats, brightness: float, spot: tuple[float, float]) -> Scene:
    """A small far disc: its shadows have a rim, as the sun's have."""
    t = renderer().ScalarTransform4f()
    far = 60.0
    half = far * np.tan(np.radians(SUN_WIDE_DEG) / 2)
    at = np.array([*spot, 0.0]) + far * way
    on_floor = brightness * np.pi * SUN_SHARE / (1 - SUN_SHARE)
    radiance = on_floor / max(float(way[2]), 0.15) * far**2 / (np.pi * half**2)
    target = [spot[0], spot[1], 0.0]
    return {
        "type": "disk",
        "to_world": t.look_at(origin=at.tolist(), target=target, up=[0.03, 0.02, 1])
        @ t.scale([half, half, 1.0]),
        "emitter": {"type": "area", "radiance": rgb(radiance * SUN_COLOUR)},
        "bsdf": {"type": "diffuse", "reflectance": rgb(np.zeros(3))},
    }


def environment(photo: Floats, view: View) -> Floats:
    """(256, 512, 3) light from every direction: the photo where it shows, else its soft mirror."""
    import cv2

    height, width = 256, 512
    theta = (np.arange(height) + 0.5) / height * np.pi
    phi = (np.arange(width) + 0.5) / width * 2 * np.pi
    st, ct = np.sin(theta)[:, None], np.cos(theta)[:, None]
    # direction of a texel in the renderer's own frame, then turned to z up
    own = np.stack([st * np.sin(phi), np.broadcast_to(ct, (height, width)), -st * np.cos(phi)], -1)
    way = np.stack([own[..., 0], -own[..., 2], own[..., 1]], -1)
    local = way @ view.rotation.T
    ahead = np.maximum(np.abs(local[..., 2:]), 0.15)
    at = np.array(view.size) / 2 + view.focal_px * local[..., :2] / ahead
    mirrored = np.abs(at)  # beyond an edge the photo is folded back
    limit = np.array(view.size, dtype=float) - 1
    folded = limit - np.abs(limit - mirrored % (2 * limit))
    inside = (local[..., 2] > 0.15) & (at >= 0).all(-1) & (at <= limit).all(-1)
    bright = photo * np.where(
        (photo.min(-1) > to_linear(np.array(LIGHTS_FROM)))[..., None], LIGHTS_GAIN, 1
    )
    coarse = _blurred(bright, max(view.size) / 25)

    def sampled(image: NDArray[Any]) -> Floats:
        x, y = folded[..., 0].astype(np.float32), folded[..., 1].astype(np.float32)
        return np.asarray(cv2.remap(image.astype(np.float32), x, y, cv2.INTER_LINEAR), dtype=float)

    return np.where(inside[..., None], sampled(bright), sampled(coarse))


def _blurred(image: Floats, spread_px: float) -> Floats:
    """A wide blur, worked out on a small copy, where it takes a hundredth of the time."""
    import cv2

    height, width = image.shape[:2]
    step = max(1, int(spread_px / 8))
    small = (max(width // step, 8), max(height // step, 8))
    less = cv2.resize(image, small, interpolation=cv2.INTER_AREA)
    soft = cv2.GaussianBlur(less, (0, 0), spread_px / (width / small[0]))
    return np.asarray(cv2.resize(soft, (width, height), interpolation=cv2.INTER_LINEAR))


def floor_colour(photo: Floats, view: View) -> Floats:
    """Mean colour of the floor round the origin, as reflectance under the photo's own white."""
    spots = np.array([[x, y, 0.0] for x in np.linspace(-1, 1, 9) for y in np.linspace(-1, 1, 9)])
    at = np.round(view.project(spots)).astype(int)
    width, height = view.size
    seen = (at[:, 0] >= 0) & (at[:, 0] < width) & (at[:, 1] >= 0) & (at[:, 1] < height)
    if not seen.any():
        return np.full(3, 0.4)
    colour = np.median(photo[at[seen, 1], at[seen, 0]], axis=0)
    white = max(0.2, float(np.percentile(photo @ LUMINANCE, 97)))
    return np.asarray(0.85 * colour / white)
