"""Decor in the client's own room: placed at true size into the venue's photo.

The decor is traced over a bare floor in the photo's mean floor colour, lit by the photo
itself. Where the decor stands, the traced picture covers the photo; on the floor the photo is
multiplied by traced-with over traced-without decor, which brings shadow and reflection.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly
from airwright.pictures.photo.colour import LUMINANCE, rolled_off, to_bytes, to_encoded, to_linear
from airwright.pictures.photo.errors import PhotoError
from airwright.pictures.photo.guides import cover_of, guides_of
from airwright.pictures.photo.materials import picture, rgb
from airwright.pictures.photo.parts import Part, as_instances
from airwright.pictures.photo.photograph import check_assembly
from airwright.pictures.photo.pose import View
from airwright.pictures.photo.quality import PROPOSAL, Quality, quality_named
from airwright.pictures.photo.render import Cancel, Progress, loaded, renderer, traced
from airwright.pictures.photo.scene import decor
from airwright.pictures.photo.venue import Venue

Floats = NDArray[np.float64]
Scene = dict[str, Any]

LAMP_SHARE = 0.68
"""Share of the light that comes from above the decor, as a room's lamps and sky do."""
LIGHTS_FROM, LIGHTS_GAIN = 0.9, 5.0
"""Photo values above this are lamps and windows, clipped by the camera; they get this gain."""
COVER_SAMPLES = 16
"""Rays a pixel for the decor's edge against the photo."""
SHEEN = 0.35
"""Gloss of the bare floor (renderer's specular): between carpet and lacquer. By eye."""


@dataclass(frozen=True, slots=True, eq=False)
class RoomPhoto:
    """The venue's photo with the decor in it.

    Attributes:
        pixels: (H, W, 3) sRGB bytes.
        off_cm: how far off the fit is at the decor [cm].
        misfit_px: the same in the photo [px].
        samples, seconds: what it took.
        note: a sentence for the client's page.
    """

    pixels: NDArray[np.uint8]
    off_cm: float
    misfit_px: float
    samples: int
    seconds: float
    note: str


def photograph_in_room(
    assembly: Assembly,
    venue: Venue,
    view: View,
    at: tuple[float, float] = (0.0, 0.0),
    turn_rad: float = 0.0,
    quality: str | Quality = PROPOSAL,
    *,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> RoomPhoto:
    """The decor at `at` (x, y) on the floor [m], turned by `turn_rad`, in the venue's photo.

    Raises PhotoError, also when the decor would be behind the camera or out of the photo.
    """
    begun = time.monotonic()
    effort = quality_named(quality)
    check_assembly(assembly)
    placed = assembly.moved((at[0], at[1], 0.0), turn_rad)
    _check_in_view(placed, view)
    photo = to_linear(venue.pixels / 255.0)
    parts = decor(placed, effort.detail)
    around = _around(photo, view, placed)
    gain = _gain(photo, view, placed, around)
    frame = {"type": "scene", "sensor": _sensor(view)}
    with_decor = loaded({**frame, **around, **as_instances(parts)})
    guides = guides_of(frame, around, parts, view.at.tolist())

    def share(done: float, left: float) -> None:
        if progress is not None:
            progress(0.75 * done, left + 0.33 * left)

    full = traced(with_decor, effort, share, cancel, guides=guides)
    bare_floor = loaded({**frame, **around})
    plain = guides_of(frame, around, [], view.at.tolist())
    bare = traced(bare_floor, replace(effort, bounces=3), None, cancel, guides=plain)
    cover = _cover(frame, parts, view)
    pixels = _composed(photo, full * gain, bare * gain, cover, _floor_mask(view))
    if progress is not None:
        progress(1.0, 0.0)
    off = view.off_cm(np.array([at[0], at[1], 0.0]))
    return RoomPhoto(
        pixels, off, view.misfit_px, effort.samples, time.monotonic() - begun, _note(view, off)
    )


def _note(view: View, off: float) -> str:
    lens = "" if view.focal_known else " The lens was guessed from the marks."
    return f"The marks fit to about {max(off, 0.1):.1f} cm where the decor stands.{lens}"


def _check_in_view(assembly: Assembly, view: View) -> None:
    low, high = assembly.bounds
    middle = (low + high) / 2
    depth = float(((middle - view.at) @ view.rotation.T)[2])
    seen = view.project(middle[None])[0]
    inside = (seen > 0).all() and (seen < np.array(view.size)).all()
    if depth < 0.5 or not inside:
        raise PhotoError(
            "room.out-of-view",
            "The decor would stand outside the venue's photo.",
            "Move it towards the middle of the marked floor.",
        )


def _sensor(view: View) -> Scene:
    t = renderer().ScalarTransform4f()
    forward, down = view.rotation[2], view.rotation[1]
    target = view.at + forward
    width, height = view.size
    return {
        "type": "perspective",
        "fov_axis": "x",
        "fov": float(np.degrees(2 * np.arctan(0.5 * width / view.focal_px))),
        "near_clip": 0.05,
        "far_clip": 1000.0,
        "to_world": t.look_at(
            origin=[float(v) for v in view.at],
            target=[float(v) for v in target],
            up=[float(-v) for v in down],
        ),
        "film": {
            "type": "hdrfilm",
            "width": width,
            "height": height,
            "pixel_format": "rgb",
            "component_format": "float32",
            "rfilter": {"type": "box"},
        },
        "sampler": {"type": "independent"},
    }


def _around(photo: Floats, view: View, assembly: Assembly) -> Scene:
    """Bare floor, the photo as light from all round, and a soft lamp overhead."""
    t = renderer().ScalarTransform4f()
    low, high = assembly.bounds
    x, y, _ = (float(v) for v in (low + high) / 2)
    surround = _environment(photo, view)
    brightness = float((surround @ LUMINANCE).mean())
    lift = float(high[2]) + 2.0
    half = max(0.8, 0.4 * float((high - low).max()))
    # a square of this radiance adds about LAMP_SHARE of what the surround sheds on the floor
    radiance = brightness * LAMP_SHARE / (1 - LAMP_SHARE) * (lift / half) ** 2 * 0.8
    tint = surround.reshape(-1, 3).mean(axis=0) / max(brightness, 1e-6)
    floor = {
        "type": "principled",
        "base_color": rgb(np.clip(_floor_colour(photo, view), 0.02, 0.9)),
        "roughness": 0.35,
        "specular": SHEEN,
    }
    bitmap = picture(surround)["bitmap"]
    return {
        "floor": {
            "type": "disk",
            "to_world": t.translate([x, y, 0.0]).scale(40.0),
            "bsdf": {"type": "twosided", "side": floor},
        },
        "room": {
            "type": "envmap",
            "bitmap": bitmap,
            # the renderer's own sky stands along +y; ours along +z
            "to_world": t.rotate([1, 0, 0], 90),
        },
        "lamp": {
            "type": "rectangle",
            "to_world": t.translate([x - 0.25 * half, y - 0.35 * half, lift])
            .rotate([1, 0, 0], 180)
            .scale([half, half, 1]),
            "emitter": {"type": "area", "radiance": rgb(radiance * tint)},
            "bsdf": {"type": "diffuse", "reflectance": rgb(np.zeros(3))},
        },
    }


def _environment(photo: Floats, view: View) -> Floats:
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
    coarse = cv2.GaussianBlur(bright, (0, 0), max(view.size) / 25)

    def sampled(image: NDArray[Any]) -> Floats:
        x, y = folded[..., 0].astype(np.float32), folded[..., 1].astype(np.float32)
        return np.asarray(cv2.remap(image.astype(np.float32), x, y, cv2.INTER_LINEAR), dtype=float)

    return np.where(inside[..., None], sampled(bright), sampled(coarse))


def _floor_colour(photo: Floats, view: View) -> Floats:
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


def _gain(photo: Floats, view: View, assembly: Assembly, around: Scene) -> Floats:
    """(3,) gain: a white card at the decor is about as bright as the photo's whites."""
    low, high = assembly.bounds
    middle = (low + high) / 2
    away = middle - view.at
    turn = float(np.arctan2(-away[0], away[1]))
    from airwright.pictures.photo.camera import Camera
    from airwright.pictures.photo.photograph import card_light
    from airwright.pictures.photo.stage import Stage

    stage = Stage(low, high, Camera((0.0, 0.0, 1.6), turn, 1.0, (0.0, 0.0), (64, 64)))
    card = card_light(stage, around, np.full(3, 0.85))
    white = float(np.clip(np.percentile(photo @ LUMINANCE, 96), 0.25, 0.92))
    plain = white / max(float(card @ LUMINANCE), 1e-9)
    neutral = white / np.maximum(card, 1e-9)
    return np.asarray(plain * (neutral / plain) ** 0.5)


def _cover(frame: Scene, parts: list[Part], view: View) -> Floats:
    """(H, W) share of each pixel that the decor covers."""
    mi = renderer()
    first = mi.load_dict({"type": "path", "max_depth": 1})
    scene = cover_of(frame, parts, view.at.tolist())
    image = np.array(mi.render(scene, integrator=first, spp=COVER_SAMPLES, seed=3))
    return np.asarray(np.clip(image[..., 0], 0, 1), dtype=float)


def _floor_mask(view: View) -> NDArray[np.bool_]:
    """(H, W) pixels whose line of sight meets the floor within 30 m."""
    width, height = view.size
    x, y = np.meshgrid(np.arange(width) + 0.5, np.arange(height) + 0.5)
    local = np.stack([x - width / 2, y - height / 2, np.full_like(x, view.focal_px)], -1)
    way = local @ view.rotation
    reach = -view.at[2] / np.where(way[..., 2] < -1e-6, way[..., 2], np.nan)
    away = np.nan_to_num(reach * np.linalg.norm(way[..., :2], axis=-1), nan=1e9)
    return np.asarray(away < 30.0)


def _composed(
    photo: Floats, full: Floats, bare: Floats, cover: Floats, floor: NDArray[np.bool_]
) -> NDArray[np.uint8]:
    ratio = np.clip((full + 0.004) / (bare + 0.004), 0.0, 2.5)
    ground = np.where(floor[..., None], photo * ratio, photo)
    # beside the decor a pixel holds part of it; its floor share is what the photo shows
    edge = cover[..., None]
    ground = np.where((edge > 0) & (edge < 1), photo * np.clip(ratio, 0.0, 1.0), ground)
    mixed = rolled_off(full) * edge + ground * (1 - edge)
    untouched = (np.abs(ratio - 1).max(-1) < 0.004) & (cover <= 0)
    done = to_bytes(mixed)
    original = np.round(to_encoded(photo) * 255).astype(np.uint8)
    return np.where((untouched | (~floor & (cover <= 0)))[..., None], original, done)
