"""`photograph`: an Assembly in a place becomes a picture."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly, HardwarePlaced, Role
from airwright.pictures.mesh import DRAFT
from airwright.pictures.person import PERSON_M
from airwright.pictures.photo.camera import EYE_HEIGHT_M, Camera, fitted
from airwright.pictures.photo.colour import LUMINANCE, to_bytes
from airwright.pictures.photo.errors import PhotoError
from airwright.pictures.photo.figure import HALF_WIDTH_M, person
from airwright.pictures.photo.guides import guides_of
from airwright.pictures.photo.hall import door_at
from airwright.pictures.photo.materials import matte_patch
from airwright.pictures.photo.parts import Part, as_instances, as_shapes
from airwright.pictures.photo.places import Place, place_named
from airwright.pictures.photo.quality import PROPOSAL, Quality, quality_named
from airwright.pictures.photo.render import Cancel, Progress, Window, loaded, renderer, traced
from airwright.pictures.photo.scene import decor
from airwright.pictures.photo.stage import Stage
from airwright.pictures.photo.surround import greenery, surround
from airwright.pictures.tables import HIGH_M, TABLE, on_its_table

Floats = NDArray[np.float64]
Scene = dict[str, Any]

SMALLEST_PX, LARGEST_PX = 64, 8000
MOST_PIXELS = 24_000_000
GUIDE_TRIANGLES = 1_500_000
"""Above so many triangles the denoiser's guide is meshed coarsely."""
WINDOW_RIM = 0.03
"""Room round the decor that is traced as carefully as it, in longer sides of the picture."""
WINDOW_MOST = 0.85
"""Above this share of the picture a window saves nothing."""
OVERHEAD_M = 1.9
"""Decor whose lowest balloon is higher hangs over people."""
CEILING_NEAR_M = 0.05
CORD_SEEN_M = 0.3
"""So much of a cord that comes down from there is shown [m]."""
CLOTH_SEEN_M = 0.25
"""Of what stands on tables the picture shows so much of their cloths, and no floor [m]."""
CLEAR_BOUNCES = 6
CARD = 0.5
"""Reflectance of the grey card that sets exposure and white balance."""


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """A finished photograph and how it was made.

    Attributes:
        pixels: (H, W, 3) sRGB bytes.
        samples: light paths a pixel.
        seconds: time it took.
        camera: where it was taken from.
        place, quality: their names.
    """

    pixels: NDArray[np.uint8]
    samples: int
    seconds: float
    camera: Camera
    place: str
    quality: str

    def __post_init__(self) -> None:
        self.pixels.setflags(write=False)


def photograph(
    assembly: Assembly,
    place: str | Place = "backdrop",
    quality: str | Quality = PROPOSAL,
    size: tuple[int, int] = (600, 800),
    *,
    wall: str | None = None,
    floor: str | None = None,
    person: bool | None = None,
    door: bool | None = None,
    eye_m: float = EYE_HEIGHT_M,
    turn_rad: float = 0.0,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Photo:
    """Path-traced photograph of an assembly, the same every time for the same input.

    `size` is (width, height) [px]; `turn_rad` walks round the piece. `wall` and `floor` are
    the client's own colours "#rrggbb"; `person` and `door` add something of known size.
    `progress(share, seconds_left)` and `cancel()` are called between passes. Raises PhotoError.
    """
    begun = time.monotonic()
    where = place_named(place, wall=wall, floor=floor, person=person, door=door)
    effort = quality_named(quality)
    check_size(size)
    check_assembly(assembly)
    assembly = on_its_table(assembly)
    stage, extras = staged(assembly, where, size, eye_m, turn_rad)
    extras += greenery(where, stage)
    around = surround(where, stage)
    gain = exposure(where, stage, around)
    parts = [*decor(assembly, effort.detail), *extras]
    effort = seen_through(assembly, effort)
    frame = scene_frame(stage.camera)
    scene = loaded({**frame, **as_shapes(around), **as_instances(parts)})
    seen = guide_parts(assembly, parts, extras)
    guides = guides_of(frame, around, seen, stage.camera.at)
    window = window_of(stage.camera, outline_points(assembly))
    light = traced(scene, effort, progress, cancel, guides=guides, window=window)
    return Photo(
        to_bytes(light * gain),
        effort.samples,
        time.monotonic() - begun,
        stage.camera,
        where.name,
        effort.name,
    )


def seen_through(assembly: Assembly, effort: Quality) -> Quality:
    """Longer light paths where clear balloons stand before others: each takes two steps."""
    clear = any(assembly.shades[index].finish == "clear" for index in set(assembly.shade.tolist()))
    return replace(effort, bounces=effort.bounces + CLEAR_BOUNCES) if clear else effort


def guide_parts(assembly: Assembly, parts: list[Part], extras: list[Part]) -> list[Part]:
    """The parts for the denoiser's guide, coarser where there are very many triangles."""
    own = sum(len(part.mesh.faces) * len(part.places) for part in parts[: len(parts) - len(extras)])
    if own <= GUIDE_TRIANGLES:
        return parts
    return [*decor(assembly, DRAFT), *extras]


def check_size(size: tuple[int, int]) -> None:
    """PhotoError for a picture size that cannot be made."""
    width, height = size
    if min(size) < SMALLEST_PX or max(size) > LARGEST_PX or width * height > MOST_PIXELS:
        raise PhotoError(
            "photo.size",
            f"A picture of {width} × {height} pixels cannot be made.",
            f"Ask for {SMALLEST_PX} to {LARGEST_PX} pixels a side, {MOST_PIXELS // 10**6} million "
            "in all.",
        )


def check_assembly(assembly: Assembly) -> None:
    """PhotoError for an assembly with nothing to see or with places that are no numbers."""
    if len(assembly) == 0 and not (assembly.hardware or assembly.strands or assembly.fabrics):
        raise PhotoError(
            "photo.empty", f"“{assembly.name}” has nothing to photograph.", "Add a piece to it."
        )
    values = (assembly.centre, assembly.radius, assembly.axis)
    if not all(np.isfinite(v).all() for v in values) or (assembly.radius <= 0).any():
        raise PhotoError(
            "photo.assembly",
            f"“{assembly.name}” has balloons without a place or size.",
            "Check the piece's measures; its packing found no answer.",
        )


def staged(
    assembly: Assembly, place: Place, size: tuple[int, int], eye_m: float, turn_rad: float
) -> tuple[Stage, list[Part]]:
    """Camera and stage for an assembly, and what stands beside it for scale."""
    low, high = assembly.bounds
    points = outline_points(assembly)
    overhead = tied_overhead(assembly)
    extras: list[Part] = []
    if place.person:
        aside = person_at(low, high, turn_rad)
        extras = [person(aside, turn_rad)]
        across = HALF_WIDTH_M * np.array([np.cos(turn_rad), np.sin(turn_rad), 0.0])
        foot = np.array([*aside, 0.0])
        head = foot + np.array([0, 0, PERSON_M])
        points = np.concatenate(
            [points, [foot - across, foot + across, head - across, head + across]]
        )
    held = (overhead, on_wall(assembly))
    stage = Stage(low, high, fitted(points, size, eye_m=eye_m, turn_rad=turn_rad), *held)
    if place.door and place.kind == "hall":
        points = np.concatenate([points, door_at(stage)])
        stage = Stage(low, high, fitted(points, size, eye_m=eye_m, turn_rad=turn_rad), *held)
    return stage, extras


def person_at(low: Floats, high: Floats, turn_rad: float) -> tuple[float, float]:
    """Where the person stands: to the left of the box as the camera sees it."""
    middle = (low + high) / 2
    c, s = np.cos(turn_rad), np.sin(turn_rad)
    half = abs(c) * (high - low)[0] / 2 + abs(s) * (high - low)[1] / 2
    reach = float(half) + HALF_WIDTH_M + 0.25
    return float(middle[0] - c * reach), float(middle[1] - s * reach)


def hangs(assembly: Assembly) -> bool:
    """Whether all balloons are above people's heads: what is seen is a ceiling, not a floor."""
    return len(assembly) > 0 and float((assembly.centre[:, 2] - assembly.radius).min()) > OVERHEAD_M


def tied_overhead(assembly: Assembly) -> bool:
    """Whether a ceiling is seen: the highest thing there is hangs from it, or floats under it."""
    held = any(part.use in ("weight", "base", "stand") for part in assembly.hardware)
    if hangs(assembly) and not held and bool((assembly.role == int(Role.FLOATER)).all()):
        return True
    hooks = [point[2] for part in assembly.hardware if part.use == "anchor" for point in part.path]
    top = float(assembly.bounds[1][2])
    return max(hooks, default=0.0) > max(OVERHEAD_M, top - CEILING_NEAR_M)


def on_wall(assembly: Assembly) -> bool:
    """Whether some of it hangs from hooks that are in no ceiling: there is a wall behind it."""
    hooked = any(part.use == "anchor" for part in assembly.hardware)
    return hooked and not tied_overhead(assembly)


def outline_points(assembly: Assembly) -> Floats:
    """(N, 3) points on the decor's hull that must be in the picture [m].

    Of decor that hangs the ceiling is shown, and no more of a cord that comes down than begins.
    """
    points = _hull_points(assembly)
    tables = [part for part in assembly.hardware if part.use == TABLE]
    if tables and float((assembly.centre[:, 2] - assembly.radius).min()) > HIGH_M - CLOTH_SEEN_M:
        rims = [_rim(part) for part in tables]
        seen = points[points[:, 2] >= HIGH_M - CLOTH_SEEN_M]
        return np.concatenate([seen, *rims])
    if not hangs(assembly):
        low, high = assembly.bounds
        return np.concatenate([points, [[(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, 0.0]]])
    lowest = float((assembly.centre[:, 2] - assembly.radius).min()) - CORD_SEEN_M
    top = assembly.bounds[1]
    ceiling = [[x, top[1], top[2] + 0.1] for x in (assembly.bounds[0][0], top[0])]
    return np.concatenate([points[points[:, 2] >= lowest], ceiling])


def _rim(table: HardwarePlaced) -> Floats:
    """Points round a table, as far down its cloth as is shown."""
    x, y, _ = table.path[0]
    half = table.diameter_m / 2
    return np.array(
        [
            [x + right * half, y + away * half, table.height_m - down]
            for right, away in ((1, 0), (-1, 0), (0, 1), (0, -1))
            for down in (0.0, CLOTH_SEEN_M)
        ]
    )


def _hull_points(assembly: Assembly) -> Floats:
    parts = [np.zeros((0, 3))]
    if len(assembly):
        ways = np.array(
            [[x, y, z] for x in (-1, 0, 1) for y in (-1, 0, 1) for z in (-1, 0, 1)], float
        )
        ways = ways[np.abs(ways).sum(axis=1) > 0]
        ways /= np.linalg.norm(ways, axis=1, keepdims=True)
        reach = 1.08 * assembly.radius  # a pear's crown stands out beyond its widest circle
        parts.append((assembly.centre[:, None] + reach[:, None, None] * ways).reshape(-1, 3))
        necks = assembly.centre - 1.35 * assembly.radius[:, None] * assembly.axis
        parts.append(necks)
    low, high = assembly.bounds
    for hardware in assembly.hardware:
        path = np.asarray(hardware.path, float).reshape(-1, 3)
        half = hardware.diameter_m / 2
        above, below = np.array([half, half, hardware.height_m]), np.array([half, half, 0])
        parts += [path + above, path - below]
    parts += [np.asarray(strand.path, float).reshape(-1, 3) for strand in assembly.strands]
    if assembly.fabrics:
        parts.append(np.array([low, high]))
    return np.concatenate(parts)


def scene_frame(camera: Camera) -> Scene:
    """The scene's own entries: film, sensor."""
    return {"type": "scene", "sensor": sensor(camera)}


def sensor(camera: Camera) -> Scene:
    """The camera as the renderer's description; box filter, so that passes average."""
    t = renderer().ScalarTransform4f()
    c, s = float(np.cos(camera.turn_rad)), float(np.sin(camera.turn_rad))
    x, y, z = camera.at
    width, height = camera.size
    return {
        "type": "perspective",
        "fov_axis": "x",
        "fov": float(np.degrees(2 * np.arctan(0.5 / camera.focal))),
        "principal_point_offset_x": camera.shift[0],
        "principal_point_offset_y": -camera.shift[1] * width / height,
        "near_clip": 0.05,
        "far_clip": 1000.0,
        "to_world": t.look_at(origin=[x, y, z], target=[x - s, y + c, z], up=[0, 0, 1]),
        "film": {
            "type": "hdrfilm",
            "width": width,
            "height": height,
            "pixel_format": "rgb",
            "component_format": "float32",
            "rfilter": {"type": "box"},
        },
        # strata within the pixel: a third less noise, and edges in the guides half as rough
        "sampler": {"type": "multijitter"},
    }


def window_of(camera: Camera, points: Floats) -> Window | None:
    """The part of the picture that holds `points (N, 3)`; None where that is most of it."""
    seen = camera.project(points)
    seen = seen[np.isfinite(seen).all(axis=1)]
    width, height = camera.size
    if not len(seen):
        return None
    rim = WINDOW_RIM * max(camera.size)
    left, top = np.floor(np.clip(seen.min(axis=0) - rim, 0, camera.size)).astype(int)
    right, bottom = np.ceil(np.clip(seen.max(axis=0) + rim, 0, camera.size)).astype(int)
    across, down = int(right - left), int(bottom - top)
    if across * down > WINDOW_MOST * width * height or min(across, down) < 1:
        return None
    cropped = sensor(camera)
    cropped["film"] |= {
        "crop_offset_x": int(left),
        "crop_offset_y": int(top),
        "crop_width": across,
        "crop_height": down,
    }
    return Window((int(left), int(top)), (across, down), cropped)


def exposure(place: Place, stage: Stage, around: Scene) -> Floats:
    """(3,) gain that shows a grey card, held up before the decor, as it is.

    Partly white-balanced: what the place keeps of its light's own colour stays.
    """
    card = card_light(stage, around)
    neutral = CARD / np.maximum(card, 1e-9)
    plain = CARD / max(float(card @ LUMINANCE), 1e-9)
    return np.asarray(plain * (neutral / plain) ** place.white_balance)


def card_light(
    stage: Stage,
    around: Scene,
    colour: Floats | None = None,
    samples: int = 160,
    *,
    surface: dict[str, Any] | None = None,
) -> Floats:
    """(3,) light a matte card before the decor throws to the camera, without the decor.

    The card is upright, faces the camera and hangs at the decor's middle height. `surface`
    puts another material on it than plain matte `colour`.
    """
    from airwright.pictures.mesh import Mesh

    turn = stage.camera.turn_rad
    c, s = np.cos(turn), np.sin(turn)
    half = 0.15
    z = float(max(stage.middle[2], half + 0.05))
    corners = np.array([[-half, 0, -half], [half, 0, -half], [half, 0, half], [-half, 0, half]])
    corners = corners @ np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]).T
    corners = corners + np.array([stage.middle[0], stage.middle[1], z])
    facing = np.tile([s, -c, 0.0], (4, 1))
    card = Mesh(corners, np.array([[0, 1, 2], [0, 2, 3]], np.int32), facing)
    from airwright.pictures.photo.render import to_shape

    reflectance = np.full(3, CARD) if colour is None else colour
    look = fitted(corners, (SMALLEST_PX, SMALLEST_PX), eye_m=z, turn_rad=turn)
    near = Camera(look.at, turn, 6.0, (0.0, 0.0), (12, 12))
    description = {
        **scene_frame(near),
        **as_shapes(around),
        "card": to_shape(card, "card", surface or matte_patch(reflectance)),
    }
    effort = Quality("card", samples, 0, 5, 1, PROPOSAL.detail, "")
    return np.asarray(traced(loaded(description), effort).mean(axis=(0, 1)))


def save_png(photo: Photo, path: Path) -> Path:
    """Write a photograph whole or not at all; PhotoError when the disk refuses."""
    from PIL import Image

    from airwright.pictures.photo.files import written_whole

    def write(part: Path) -> None:
        Image.fromarray(photo.pixels).save(part, format="PNG", optimize=False, compress_level=6)

    return written_whole(path, write)
