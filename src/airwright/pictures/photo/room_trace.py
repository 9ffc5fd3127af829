"""What is traced for a picture in a client's room, each part as finely as it shows.

.--------------------.      the floor round the decor, with its shadow and mirror image:
|     .------.       |      soft, so half as fine
|     |decor |       |
|     |      |       |      the decor: as fine as the photo
|     '------'       |      the bare floor: softer still, a quarter as fine, and kept
'--------------------'
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.photo.guides import cover_of, guides_of
from airwright.pictures.photo.parts import Part, as_instances
from airwright.pictures.photo.quality import Quality
from airwright.pictures.photo.render import Cancel, Progress, Window, loaded, renderer, traced
from airwright.pictures.photo.view import View

Floats = NDArray[np.float64]
Scene = dict[str, Any]
Box = tuple[int, int, int, int]
"""Left, top, right, bottom [px]."""

AROUND_STEP: Final = 2
"""Photo pixels across one traced pixel of the floor round the decor."""
AROUND_SHARE: Final = 0.75
"""Samples a pixel there, of those the decor gets."""
BARE_STEP: Final = 4
"""The same for the bare floor, on which nothing throws a shadow."""
FEATHER_PX: Final = 10
"""The finely traced part passes over into its surroundings within so many pixels."""
COVER_SAMPLES: Final = 16
"""Rays a pixel for the decor's edge against the photo."""
BARE_BOUNCES: Final = 3
LEAST_PX: Final = 16


@dataclass(frozen=True, slots=True)
class Film:
    """A part of a view's picture on a film of larger pixels.

    Attributes:
        sensor: the renderer's description of the camera.
        step: photo pixels across one of its pixels.
        first: column and row of its upper left pixel on the whole film.
        pad: photo pixels by which the whole film reaches beyond the photo, left and above.
        size: columns and rows.
    """

    sensor: Scene
    step: int
    first: tuple[int, int]
    pad: tuple[float, float]
    size: tuple[int, int]

    @classmethod
    def of(cls, view: View, box: Box, step: int = 1) -> Film:
        """The film that holds a part of the picture, at its own grid of pixels."""
        whole = tuple(-(-side // step) for side in view.size)
        pad = tuple((n * step - side) / 2 for n, side in zip(whole, view.size, strict=True))
        low = [int((box[k] + pad[k]) // step) for k in (0, 1)]
        high = [min(-int(-(box[k + 2] + pad[k]) // step), whole[k]) for k in (0, 1)]
        size = (max(high[0] - low[0], 1), max(high[1] - low[1], 1))
        sensor = _sensor(view, (whole[0], whole[1]), step, (low[0], low[1]), size)
        return cls(sensor, step, (low[0], low[1]), (pad[0], pad[1]), size)

    def spread(self, image: Floats, box: Box) -> Floats:
        """Its picture (rows, columns, 3) at the photo's own pixels within a part of it."""
        if self.step == 1:
            return image
        import cv2

        across = (np.arange(box[0], box[2]) + 0.5 + self.pad[0]) / self.step - 0.5 - self.first[0]
        down = (np.arange(box[1], box[3]) + 0.5 + self.pad[1]) / self.step - 0.5 - self.first[1]
        x, y = np.meshgrid(across.astype(np.float32), down.astype(np.float32))
        flat = np.ascontiguousarray(image, dtype=np.float32)
        found = cv2.remap(flat, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        return np.asarray(found, dtype=float)


def _sensor(
    view: View, whole: tuple[int, int], step: int, first: tuple[int, int], size: tuple[int, int]
) -> Scene:
    t = renderer().ScalarTransform4f()
    forward, down = view.rotation[2], view.rotation[1]
    target = view.at + forward
    return {
        "type": "perspective",
        "fov_axis": "x",
        "fov": float(np.degrees(2 * np.arctan(0.5 * whole[0] * step / view.focal_px))),
        "near_clip": 0.05,
        "far_clip": 1000.0,
        "to_world": t.look_at(
            origin=[float(v) for v in view.at],
            target=[float(v) for v in target],
            up=[float(-v) for v in down],
        ),
        "film": {
            "type": "hdrfilm",
            "width": whole[0],
            "height": whole[1],
            "crop_offset_x": first[0],
            "crop_offset_y": first[1],
            "crop_width": size[0],
            "crop_height": size[1],
            "pixel_format": "rgb",
            "component_format": "float32",
            "rfilter": {"type": "box"},
        },
        "sampler": {"type": "multijitter"},
    }


def decor_in_light(
    view: View,
    place: Scene,
    parts: Sequence[Part],
    boxes: tuple[Box, Box | None],
    effort: Quality,
    progress: Progress | None,
    cancel: Cancel | None,
) -> Floats:
    """(H, W, 3) light of the decor and the floor round it, within the first of the boxes; the
    second is the decor's own part, None where that is nearly all."""
    box, inner = boxes
    around = Film.of(view, box, 1 if inner is None else AROUND_STEP)
    frame = {"type": "scene", "sensor": around.sensor}
    scene = loaded({**frame, **place, **as_instances(parts)})
    guides = guides_of(frame, place, list(parts), view.at.tolist())
    if inner is None:
        return traced(scene, effort, progress, cancel, guides=guides)
    less = replace(effort, samples=max(2, round(AROUND_SHARE * effort.samples)), passes=1)
    soft = traced(scene, less, None, cancel, guides=guides)
    fine = traced(scene, effort, progress, cancel, guides=guides, only=_window(view, inner))
    return _pasted(around.spread(soft, box), fine, box, inner)


def _window(view: View, box: Box) -> Window:
    film = Film.of(view, box)
    return Window((0, 0), film.size, film.sensor)


def _pasted(whole: Floats, part: Floats, box: Box, inner: Box) -> Floats:
    """A part set into the whole; where it ends within the picture, without a seam."""
    left, top, right, bottom = inner
    wide, high = right - left, bottom - top
    x, y = np.arange(wide) + 0.5, np.arange(high) + 0.5
    share = [np.ones(wide), np.ones(high)]
    for side, along in ((0, x), (1, y)):
        long = (wide, high)[side]
        if inner[side] > box[side]:
            share[side] = np.minimum(share[side], along / FEATHER_PX)
        if inner[side + 2] < box[side + 2]:
            share[side] = np.minimum(share[side], (long - along) / FEATHER_PX)
    weight = np.minimum(share[1][:, None], share[0][None, :])[..., None]
    here = np.s_[top - box[1] : bottom - box[1], left - box[0] : right - box[0]]
    whole[here] = weight * part + (1.0 - weight) * whole[here]
    return whole


def bare_floor(
    view: View, place: Scene, box: Box, effort: Quality, cancel: Cancel | None
) -> Floats:
    """(H, W, 3) light of the floor without decor."""
    film = Film.of(view, box, BARE_STEP)
    frame = {"type": "scene", "sensor": film.sensor}
    plain = guides_of(frame, place, [], view.at.tolist())
    less = replace(effort, passes=1, bounces=BARE_BOUNCES)
    light = traced(loaded({**frame, **place}), less, None, cancel, guides=plain)
    return film.spread(light, box)


def cover(view: View, parts: Sequence[Part], box: Box, inner: Box | None) -> Floats:
    """(H, W) share of each pixel that the decor covers."""
    mi = renderer()
    seen = box if inner is None else inner
    first = mi.load_dict({"type": "path", "max_depth": 1})
    frame = {"type": "scene", "sensor": Film.of(view, seen).sensor}
    scene = cover_of(frame, list(parts), view.at.tolist())
    image = np.array(mi.render(scene, integrator=first, spp=COVER_SAMPLES, seed=3))
    whole = np.zeros((box[3] - box[1], box[2] - box[0]))
    left, top, right, bottom = seen
    here = np.s_[top - box[1] : bottom - box[1], left - box[0] : right - box[0]]
    whole[here] = np.clip(image[..., 0], 0, 1)
    return whole
