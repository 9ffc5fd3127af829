"""Decor in the client's own room: placed at true size into the venue's photo.

The decor is traced over a bare floor in the photo's mean floor colour, lit by the photo itself
and by what is known of sun or lamps. Where the decor stands, the traced picture covers the photo;
on the floor the photo is multiplied by traced-with over traced-without decor, which brings shadow
and reflection. What was marked as standing in front stays before it. Only the part of the photo
that the decor and its shadow can reach is traced.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly
from airwright.job.findings import Finding
from airwright.language import message
from airwright.pictures.photo.camera import Camera
from airwright.pictures.photo.colour import LUMINANCE, rolled_off, to_bytes, to_encoded, to_linear
from airwright.pictures.photo.fit import Doubt, doubt_of
from airwright.pictures.photo.guides import cover_of, guides_of
from airwright.pictures.photo.match import Character, character_of, grained, softened
from airwright.pictures.photo.parts import Part, as_instances
from airwright.pictures.photo.photograph import (
    card_light,
    check_assembly,
    outline_points,
    seen_through,
)
from airwright.pictures.photo.pose import View
from airwright.pictures.photo.quality import PROPOSAL, Quality, quality_named
from airwright.pictures.photo.render import (
    Cancel,
    Progress,
    Window,
    loaded,
    renderer,
    traced,
)
from airwright.pictures.photo.room_light import Light, around, way_to_sun
from airwright.pictures.photo.room_view import fit_findings, in_view, seen_findings
from airwright.pictures.photo.scene import decor
from airwright.pictures.photo.stage import Stage
from airwright.pictures.photo.venue import Venue

Floats = NDArray[np.float64]
Scene = dict[str, Any]
Box = tuple[int, int, int, int]
"""Left, top, right, bottom [px]."""

COVER_SAMPLES = 16
"""Rays a pixel for the decor's edge against the photo."""
SOFT_SHADOW_M, SUN_SHADOW_M = 0.9, 4.0
"""How far from the decor a soft shadow is traced, and one of the sun at most [m]."""
BARE_BOUNCES = 3


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """A client's room and what is known of it.

    Attributes:
        venue: its photo.
        view: where that was taken from.
        light: how it is lit, and its floor.
        in_front: outlines (n, 2) [px of the worked picture] of what stands before the decor.
    """

    venue: Venue
    view: View
    light: Light = field(default_factory=Light)
    in_front: tuple[Floats, ...] = ()
    _bare: dict[Any, tuple[Box, Floats]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, eq=False)
class RoomPhoto:
    """The venue's photo with the decor in it.

    Attributes:
        pixels: (H, W, 3) sRGB bytes.
        doubt: how far off it may be drawn.
        misfit_px: how far the marks miss their places in the fit [px].
        samples, seconds: what it took.
        note: a sentence for the client's page.
        findings: what the picture shows badly, and how to mend it.
    """

    pixels: NDArray[np.uint8]
    doubt: Doubt
    misfit_px: float
    samples: int
    seconds: float
    note: str
    findings: tuple[Finding, ...] = ()


def photograph_in_room(
    assembly: Assembly,
    room: Room,
    at: tuple[float, float] = (0.0, 0.0),
    turn_rad: float = 0.0,
    quality: str | Quality = PROPOSAL,
    *,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> RoomPhoto:
    """The decor at `at` (x, y) on the floor [m], turned by `turn_rad`, in the venue's photo.

    A room remembers its bare floor: further options at one spot take less. Raises PhotoError,
    also when the decor would be behind the camera or out of the photo.
    """
    begun = time.monotonic()
    effort = quality_named(quality)
    check_assembly(assembly)
    view = room.view
    placed = assembly.moved((at[0], at[1], 0.0), turn_rad)
    in_view(placed, view)
    encoded = room.venue.pixels / 255.0
    photo = to_linear(encoded)
    character = character_of(encoded, photo)
    box = _reach(placed, room)
    parts = decor(placed, effort.detail)
    clearer = seen_through(placed, effort)
    place = around(photo, view, room.light, at, float(placed.bounds[1][2]))
    frame = {"type": "scene", "sensor": _sensor(view, box)}
    scene = loaded({**frame, **place, **as_instances(parts)})
    guides = guides_of(frame, place, parts, view.at.tolist())

    def share(done: float, left: float) -> None:
        if progress is not None:
            progress(0.75 * done, left + 0.33 * left)

    window = _window(placed, view, box)
    full = traced(scene, clearer, share, cancel, guides=guides, window=window)
    bare = _bare_floor(room, place, box, at, effort, cancel)
    cover = _cover(frame, parts, view)
    gain = _gain(photo, room, placed, place, character, (bare, box))
    front = _in_front(room, box)
    pixels = room.venue.pixels.copy()
    part = _part(box)
    light = (full * gain, bare * gain, cover, front)
    pixels[part] = _composed(photo[part], *light, _floor_mask(view)[part], character)
    if progress is not None:
        progress(1.0, 0.0)
    doubt = doubt_of(view, np.array([at[0], at[1], 0.0]), float(placed.bounds[1][2]))
    hidden = float((cover * front).sum() / max(float(cover.sum()), 1e-9))
    findings = (*fit_findings(view, doubt), *seen_findings(placed, view, hidden))
    return RoomPhoto(
        pixels,
        doubt,
        view.misfit_px,
        effort.samples,
        time.monotonic() - begun,
        _note(view, doubt),
        findings,
    )


def _note(view: View, doubt: Doubt) -> str:
    said = message(
        "Drawn to about {off} cm where the decor stands, {height} % of its height.",
        off=f"{max(doubt.cm, 0.1):.1f}",
        height=f"{max(100 * doubt.height_share, 0.1):.1f}",
    )
    lens = "" if view.focal_known else f" {message('The lens was guessed from the marks.')}"
    return f"{said}{lens}"


def _part(box: Box) -> tuple[slice, slice]:
    left, top, right, bottom = box
    return np.s_[top:bottom, left:right]


def _reach(placed: Assembly, room: Room) -> Box:
    """The part of the photo that the decor, its shadow and its mirror image can touch."""
    view, points = room.view, [outline_points(placed)]
    low, high = placed.bounds
    soft = SOFT_SHADOW_M
    floor = [
        [x, y, 0.0]
        for x in (low[0] - soft, high[0] + soft)
        for y in (low[1] - soft, high[1] + soft)
    ]
    points.append(np.array(floor))
    sun = way_to_sun(room.light, view)
    if sun is not None:
        long = min(float(high[2]) * np.hypot(*sun[:2]) / max(float(sun[2]), 0.1), SUN_SHADOW_M)
        away = -sun[:2] / max(float(np.hypot(*sun[:2])), 1e-6) * long
        points.append(np.array(floor) + np.append(away, 0.0))
    mirrored = points[0] * [1, 1, -0.5]
    seen = np.concatenate([*points, mirrored])
    seen = seen[((seen - view.at) @ view.rotation.T)[:, 2] > 0.2]
    at = view.project(seen)
    width, height = view.size
    left, top = np.clip(np.floor(at.min(axis=0)) - 8, 0, [width - 16, height - 16]).astype(int)
    right, bottom = np.clip(np.ceil(at.max(axis=0)) + 8, [16, 16], view.size).astype(int)
    return int(left), int(top), max(int(right), int(left) + 16), max(int(bottom), int(top) + 16)


def _window(placed: Assembly, view: View, box: Box) -> Window | None:
    """The decor within the part that is traced: round it, on the floor, fewer samples do."""
    points = outline_points(placed)
    at = view.project(points[((points - view.at) @ view.rotation.T)[:, 2] > 0.2])
    left, top = np.clip(np.floor(at.min(axis=0)) - 6, box[:2], np.array(box[2:]) - 8).astype(int)
    right, bottom = np.clip(np.ceil(at.max(axis=0)) + 6, np.array(box[:2]) + 8, box[2:]).astype(int)
    inner = (int(left), int(top), int(right), int(bottom))
    across, down = inner[2] - inner[0], inner[3] - inner[1]
    if min(across, down) < 8 or across * down > 0.8 * (box[2] - box[0]) * (box[3] - box[1]):
        return None
    corner = (inner[0] - box[0], inner[1] - box[1])
    return Window(corner, (across, down), _sensor(view, inner))


def _sensor(view: View, box: Box) -> Scene:
    t = renderer().ScalarTransform4f()
    forward, down = view.rotation[2], view.rotation[1]
    target = view.at + forward
    width, height = view.size
    left, top, right, bottom = box
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
            "crop_offset_x": left,
            "crop_offset_y": top,
            "crop_width": right - left,
            "crop_height": bottom - top,
            "pixel_format": "rgb",
            "component_format": "float32",
            "rfilter": {"type": "box"},
        },
        "sampler": {"type": "multijitter"},
    }


def _bare_floor(
    room: Room,
    place: Scene,
    box: Box,
    at: tuple[float, float],
    effort: Quality,
    cancel: Cancel | None,
) -> Floats:
    """The floor without the decor, traced once for all decor of about one height and spot."""
    lamp = np.array(place["lamp"]["to_world"].matrix, float)[2, 3] if "lamp" in place else 0.0
    key = (at, round(float(lamp), 3), effort.name)
    held = room._bare.get(key)
    if held is not None and _holds(held[0], box):
        (left, top, _, _), bare = held
        return bare[box[1] - top : box[3] - top, box[0] - left : box[2] - left]
    wide = box if held is None else _both(held[0], box)
    frame = {"type": "scene", "sensor": _sensor(room.view, wide)}
    plain = guides_of(frame, place, [], room.view.at.tolist())
    less = replace(effort, samples=max(2, effort.samples // 2), passes=1, bounces=BARE_BOUNCES)
    bare = traced(loaded({**frame, **place}), less, None, cancel, guides=plain)
    room._bare[key] = (wide, bare)
    return bare[box[1] - wide[1] : box[3] - wide[1], box[0] - wide[0] : box[2] - wide[0]]


def _holds(outer: Box, inner: Box) -> bool:
    return (
        outer[0] <= inner[0]
        and outer[1] <= inner[1]
        and outer[2] >= inner[2]
        and outer[3] >= inner[3]
    )


def _both(one: Box, other: Box) -> Box:
    return (
        min(one[0], other[0]),
        min(one[1], other[1]),
        max(one[2], other[2]),
        max(one[3], other[3]),
    )


def _gain(
    photo: Floats,
    room: Room,
    assembly: Assembly,
    place: Scene,
    character: Character,
    bare: tuple[Floats, Box],
) -> Floats:
    """(3,) gain: a white card at the decor is as bright and as tinted as the photo's whites."""
    tint = np.array(character.white)
    traced_floor, box = bare
    floor = _floor_mask(room.view)[_part(box)]
    if way_to_sun(room.light, room.view) is not None and floor.any():
        # in the sun a card that faces the camera may lie in shade: the floor tells instead
        mine = float(np.median(traced_floor[floor] @ LUMINANCE))
        theirs = float(np.median(photo[_part(box)][floor] @ LUMINANCE))
        return np.full(3, theirs / max(mine, 1e-6))
    low, high = assembly.bounds
    away = (low + high) / 2 - room.view.at
    turn = float(np.arctan2(-away[0], away[1]))
    stage = Stage(low, high, Camera((0.0, 0.0, 1.6), turn, 1.0, (0.0, 0.0), (64, 64)))
    card = card_light(stage, place, np.full(3, 0.85))
    white = float(np.clip(np.percentile(photo @ LUMINANCE, 96), 0.25, 0.92))
    return np.asarray(white * tint / np.maximum(card, 1e-9))


def _cover(frame: Scene, parts: list[Part], view: View) -> Floats:
    """(H, W) share of each pixel that the decor covers."""
    mi = renderer()
    first = mi.load_dict({"type": "path", "max_depth": 1})
    scene = cover_of(frame, parts, view.at.tolist())
    image = np.array(mi.render(scene, integrator=first, spp=COVER_SAMPLES, seed=3))
    return np.asarray(np.clip(image[..., 0], 0, 1), dtype=float)


def _in_front(room: Room, box: Box) -> Floats:
    """(H, W) share of each pixel that something before the decor takes."""
    import cv2

    left, top, right, bottom = box
    mask = np.zeros((bottom - top, right - left), np.uint8)
    for outline in room.in_front:
        ring = np.round((outline - [left, top]) * 16).astype(np.int32)
        cv2.fillPoly(mask, [ring], 255, lineType=cv2.LINE_AA, shift=4)
    return np.asarray(mask / 255.0)


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
    photo: Floats,
    full: Floats,
    bare: Floats,
    cover: Floats,
    front: Floats,
    floor: NDArray[np.bool_],
    character: Character,
) -> NDArray[np.uint8]:
    ratio = np.clip((full + 0.004) / (bare + 0.004), 0.0, 2.5)
    ground = np.where(floor[..., None], photo * ratio, photo)
    # beside the decor a pixel holds part of it; its floor share is what the photo shows
    edge = cover[..., None]
    ground = np.where((edge > 0) & (edge < 1), photo * np.clip(ratio, 0.0, 1.0), ground)
    own = softened(cover, character.soft_px)
    shown = softened(rolled_off(full) * edge, character.soft_px)  # edge pixels hold floor, too
    mixed = shown + ground * (1 - own[..., None])
    open_ = (1 - front)[..., None]
    mixed = mixed * open_ + photo * front[..., None]
    visible = own * (1 - front)
    done = np.clip(grained(to_bytes(mixed), character.grain, visible), 0, 255)
    original = np.round(to_encoded(photo) * 255).astype(np.uint8)
    untouched = (np.abs(ratio - 1).max(-1) < 0.004) & (own <= 0)
    kept = untouched | (~floor & (own <= 0)) | (front >= 1)
    return np.where(kept[..., None], original, np.round(done).astype(np.uint8))
