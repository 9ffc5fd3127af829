"""The turn-around: a piece photographed from several sides at one scale, side by side."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly
from airwright.pictures.photo.camera import EYE_HEIGHT_M, Camera, fitted
from airwright.pictures.photo.colour import to_bytes
from airwright.pictures.photo.errors import PhotoError
from airwright.pictures.photo.guides import guides_of
from airwright.pictures.photo.parts import as_instances, as_shapes
from airwright.pictures.photo.photograph import (
    Photo,
    check_assembly,
    check_size,
    exposure,
    guide_parts,
    outline_points,
    scene_frame,
    seen_through,
    window_of,
)
from airwright.pictures.photo.places import Place, place_named
from airwright.pictures.photo.quality import PROPOSAL, Quality, quality_named
from airwright.pictures.photo.render import Cancel, Progress, loaded, traced
from airwright.pictures.photo.scene import decor
from airwright.pictures.photo.stage import Stage
from airwright.pictures.photo.surround import greenery, surround

FEWEST, MOST = 2, 36


def photograph_around(
    assembly: Assembly,
    place: str | Place = "backdrop",
    quality: str | Quality = PROPOSAL,
    size: tuple[int, int] = (240, 400),
    views: int = 8,
    *,
    wall: str | None = None,
    floor: str | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Photo:
    """A strip of `views` photographs, each an equal turn further to the viewer's right.

    `size` is (width, height) of one view [px]. All views share one distance and one lens, so
    that the piece keeps its size. The camera given back is the first view's. Raises PhotoError.
    """
    if not FEWEST <= views <= MOST:
        raise PhotoError(
            "photo.views",
            f"A turn-around of {views} views is none.",
            f"Take {FEWEST} to {MOST}; 8 is usual.",
        )
    begun = time.monotonic()
    where = place_named(place, wall=wall, floor=floor, person=False, door=False)
    effort = quality_named(quality)
    check_size(size)
    check_assembly(assembly)
    low, high = assembly.bounds
    middle = (low + high) / 2
    centred = assembly.moved((-float(middle[0]), -float(middle[1]), 0.0))
    turns = [2 * np.pi * k / views for k in range(views)]
    front = _camera(centred, turns, size)
    frames = []
    for k, turn in enumerate(turns):
        share = _share(progress, k, views, begun)
        frames.append(_one(centred, where, effort, _walked(front, turn), share, cancel))
    strip = np.concatenate(frames, axis=1)
    seconds = time.monotonic() - begun
    return Photo(strip, effort.samples, seconds, front, where.name, effort.name)


def _camera(assembly: Assembly, turns: list[float], size: tuple[int, int]) -> Camera:
    """A camera before the piece that would hold it however it is turned."""
    points = outline_points(assembly)
    turned = []
    for turn in turns:
        c, s = np.cos(turn), np.sin(turn)
        turned.append(points @ np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]))
    return fitted(np.concatenate(turned), size, eye_m=EYE_HEIGHT_M, turn_rad=0.0)


def _walked(camera: Camera, turn_rad: float) -> Camera:
    """The camera carried round the vertical through the origin, still looking at it."""
    x, y, z = camera.at
    c, s = float(np.cos(turn_rad)), float(np.sin(turn_rad))
    return replace(camera, at=(c * x - s * y, s * x + c * y, z), turn_rad=turn_rad)


def _one(
    assembly: Assembly,
    place: Place,
    effort: Quality,
    camera: Camera,
    progress: Progress | None,
    cancel: Cancel | None,
) -> NDArray[np.uint8]:
    low, high = assembly.bounds
    stage = Stage(low, high, camera)
    extras = greenery(place, stage)
    around = surround(place, stage)
    parts = [*decor(assembly, effort.detail), *extras]
    effort = seen_through(assembly, effort)
    frame = scene_frame(camera)
    scene = loaded({**frame, **as_shapes(around), **as_instances(parts)})
    guides = guides_of(frame, around, guide_parts(assembly, parts, extras), camera.at)
    window = window_of(camera, outline_points(assembly))
    light = traced(scene, effort, progress, cancel, guides=guides, window=window)
    return to_bytes(light * exposure(place, stage, around))


def _share(progress: Progress | None, k: int, views: int, begun: float) -> Progress | None:
    if progress is None:
        return None

    def tell(share: float, left: float) -> None:
        whole = (k + share) / views
        spent = time.monotonic() - begun
        progress(whole, spent * (1 - whole) / max(whole, 1e-6))

    return tell
