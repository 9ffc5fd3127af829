"""Decor in the client's own room: placed at true size into the venue's photo.

The decor is traced over a bare floor in the photo's mean floor colour, lit by the photo itself
and by what is known of sun or lamps. Where the decor stands, the traced picture covers the photo;
on the floor the photo is multiplied by traced-with over traced-without decor, which brings shadow
and reflection. What was marked as standing in front stays before it. Only the part of the photo
that the decor and its shadow can reach is traced.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly
from airwright.job.findings import Finding
from airwright.language import message
from airwright.pictures.photo.camera import Camera
from airwright.pictures.photo.colour import LUMINANCE, rolled_off, to_bytes, to_encoded, to_linear
from airwright.pictures.photo.fit import Doubt, doubt_of
from airwright.pictures.photo.match import Character, character_of, grained, softened
from airwright.pictures.photo.photograph import (
    card_light,
    check_assembly,
    outline_points,
    seen_through,
)
from airwright.pictures.photo.quality import PROPOSAL, Quality, quality_named
from airwright.pictures.photo.render import Cancel, Progress
from airwright.pictures.photo.room_light import Light, Lit, around, lit_by, way_to_sun
from airwright.pictures.photo.room_trace import Box, bare_floor, cover, decor_in_light
from airwright.pictures.photo.room_view import cut_findings, fit_findings, in_view, seen_findings
from airwright.pictures.photo.scene import decor
from airwright.pictures.photo.stage import Stage
from airwright.pictures.photo.venue import Venue
from airwright.pictures.photo.view import View

Floats = NDArray[np.float64]
Scene = dict[str, Any]

OWN_RIM_PX = 18
"""Round the decor so much is traced as finely as it [px]."""
SOFT_SHADOW_M, SUN_SHADOW_M = 0.9, 4.0
"""How far from the decor a soft shadow is traced, and one of the sun at most [m]."""


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
    _read: list[tuple[Floats, Character, Lit]] = field(default_factory=list)

    def read(self) -> tuple[Floats, Character, Lit]:
        """The photo in linear light (H, W, 3), what it is like, and the light it sheds: worked
        out once for all options."""
        if not self._read:
            encoded = self.venue.pixels / 255.0
            photo = to_linear(encoded)
            self._read.append((photo, character_of(encoded, photo), lit_by(photo, self.view)))
        return self._read[0]


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
    photo, character, lit = room.read()
    box = _reach(placed, room)
    inner = _own_part(placed, view, box)
    parts = decor(placed, effort.detail)
    clearer = seen_through(placed, effort)
    place = around(lit, room.light, at, float(placed.bounds[1][2]), way_to_sun(room.light, view))

    def share(done: float, left: float) -> None:
        if progress is not None:
            progress(0.75 * done, left + 0.33 * left)

    full = decor_in_light(view, place, parts, (box, inner), clearer, share, cancel)
    bare = _bare_floor(room, place, box, at, effort, cancel)
    covered = cover(view, parts, box, inner)
    gain = _gain(photo, room, placed, place, character, (bare, box))
    front = _in_front(room, box)
    pixels = room.venue.pixels.copy()
    part = _part(box)
    light = (full * gain, bare * gain, covered, front)
    pixels[part] = _composed(photo[part], *light, _floor_mask(view, box), character)
    if progress is not None:
        progress(1.0, 0.0)
    doubt = doubt_of(view, np.array([at[0], at[1], 0.0]), float(placed.bounds[1][2]))
    hidden = float((covered * front).sum() / max(float(covered.sum()), 1e-9))
    findings = (
        *cut_findings(room.venue),
        *fit_findings(view, doubt),
        *seen_findings(placed, view, hidden),
    )
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


def _own_part(placed: Assembly, view: View, box: Box) -> Box | None:
    """The decor's own part of what is traced; None where that is nearly all of it."""
    points = outline_points(placed)
    at = view.project(points[((points - view.at) @ view.rotation.T)[:, 2] > 0.2])
    rim = OWN_RIM_PX
    left, top = np.clip(np.floor(at.min(axis=0)) - rim, box[:2], np.array(box[2:]) - 8).astype(int)
    right, bottom = np.clip(np.ceil(at.max(axis=0)) + rim, np.array(box[:2]) + 8, box[2:]).astype(
        int
    )
    inner = (int(left), int(top), int(right), int(bottom))
    across, down = inner[2] - inner[0], inner[3] - inner[1]
    if min(across, down) < 8 or across * down > 0.8 * (box[2] - box[0]) * (box[3] - box[1]):
        return None
    return inner


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
    bare = bare_floor(room.view, place, wide, effort, cancel)
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
    floor = _floor_mask(room.view, box)
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


def _in_front(room: Room, box: Box) -> Floats:
    """(H, W) share of each pixel that something before the decor takes."""
    import cv2

    left, top, right, bottom = box
    mask = np.zeros((bottom - top, right - left), np.uint8)
    for outline in room.in_front:
        ring = np.round((outline - [left, top]) * 16).astype(np.int32)
        cv2.fillPoly(mask, [ring], 255, lineType=cv2.LINE_AA, shift=4)
    return np.asarray(mask / 255.0)


def _floor_mask(view: View, box: Box) -> NDArray[np.bool_]:
    """(H, W) pixels of a part whose line of sight meets the floor within 30 m."""
    width, height = view.size
    x, y = np.meshgrid(np.arange(box[0], box[2]) + 0.5, np.arange(box[1], box[3]) + 0.5)
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
