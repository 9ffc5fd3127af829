"""The renderer, kept at arm's length: loading it, rendering in passes, denoising.

Nothing else in the project touches the ray tracer's module; where it is missing, every
question ends in one PhotoError.
"""

from __future__ import annotations

import importlib
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.mesh import Mesh
from airwright.pictures.photo.errors import PhotoCancelledError, PhotoError
from airwright.pictures.photo.quality import Quality

Floats = NDArray[np.float64]
Progress = Callable[[float, float], None]
"""Called with the share done (0..1) and the seconds left."""
Cancel = Callable[[], bool]
"""Asked between passes; True stops the work."""

SEED = 20
EDGE_PX = 12
ROULETTE_FROM = 2
"""Bounces after which faint light paths are left to chance (unbiased; a sixth less work)."""
GUIDE_COST = 0.1
"""Time of one guide ray, of one light path."""
DENOISE_SHARE = 0.06
"""Share of the whole time that the denoiser takes, for the time left."""


INSTALL = 'Install the photographs, pip install "airwright[photos]", or ask for drawings.'


def image_library() -> Any:
    """OpenCV, which comes with the photographs. Raises PhotoError where it does not."""
    try:
        import cv2
    except (ImportError, OSError) as error:
        raise PhotoError(
            "photo.library-missing",
            f"Pictures of rooms cannot be worked on on this computer ({error}).",
            INSTALL,
        ) from error
    return cv2


def renderer() -> Any:
    """The ray tracer's module, set to plain RGB on the processor."""
    try:
        import mitsuba

        mitsuba.set_variant("scalar_rgb")
        mitsuba.set_log_level(mitsuba.LogLevel.Error)
    except (ImportError, OSError) as error:
        raise PhotoError(
            "photo.renderer-missing",
            f"The photograph renderer cannot be loaded on this computer ({error}).",
            INSTALL,
        ) from error
    return mitsuba


def to_shape(
    mesh: Mesh,
    name: str,
    material: dict[str, Any] | None,
    *,
    smooth: bool = True,
    colours: Floats | None = None,
    radiance: dict[str, Any] | None = None,
) -> Any:
    """A mesh as the renderer's own, with its material and perhaps a colour at each vertex, or
    as a lamp of a `radiance`."""
    mi = renderer()
    props = mi.Properties()
    if material is not None:
        props["mesh_bsdf"] = mi.load_dict(material)
    if radiance is not None:
        props["mesh_emitter"] = mi.load_dict({"type": "area", "radiance": radiance})
    if not smooth:
        props["face_normals"] = True
    shape = mi.Mesh(
        name,
        len(mesh.vertices),
        len(mesh.faces),
        has_vertex_normals=smooth,
        has_vertex_texcoords=mesh.uv is not None,
        props=props,
    )
    if colours is not None:
        shape.add_attribute("vertex_color", 3, np.ascontiguousarray(colours, np.float32).ravel())
    slots = mi.traverse(shape)
    slots["vertex_positions"] = np.ascontiguousarray(mesh.vertices, np.float32).ravel()
    slots["faces"] = np.ascontiguousarray(mesh.faces, np.uint32).ravel()
    if smooth:
        slots["vertex_normals"] = np.ascontiguousarray(mesh.normals, np.float32).ravel()
    if mesh.uv is not None:
        slots["vertex_texcoords"] = np.ascontiguousarray(mesh.uv, np.float32).ravel()
    slots.update()
    return shape


def loaded(description: dict[str, Any]) -> Any:
    """The scene of a description; PhotoError when memory runs out.

    Its parts are made one by one: described in one go, the renderer orders them as their
    memory happens to lie, lamps swap numbers, and the same scene gets another grain each time.
    """
    mi = renderer()
    try:
        made: dict[str, Any] = {}
        for name, part in description.items():
            made[name] = mi.load_dict(_resolved(part, made)) if isinstance(part, dict) else part
        return mi.load_dict(made)
    except MemoryError as error:
        raise _no_memory() from error
    except RuntimeError as error:
        raise PhotoError(
            "photo.scene",
            f"The scene could not be set up ({_first_line(error)}).",
            "Ask for drawings instead, and report this design.",
        ) from error


def _resolved(part: Any, made: dict[str, Any]) -> Any:
    """A description with references to earlier parts replaced by those parts."""
    if not isinstance(part, dict):
        return part
    if part.get("type") == "ref":
        return made[part["id"]]
    return {name: _resolved(inner, made) for name, inner in part.items()}


@dataclass(frozen=True, slots=True)
class Guides:
    """Two scenes of lamps with one camera: colours, and normals written as (n + 1) / 2."""

    colours: Any
    normals: Any


@dataclass(frozen=True, slots=True)
class Window:
    """The part of the picture with the decor in it, which gets all the samples.

    Attributes:
        at: (column, row) of its upper left corner [px].
        size: (width, height) [px].
        sensor: the renderer's description of the camera with its film cropped to it.
    """

    at: tuple[int, int]
    size: tuple[int, int]
    sensor: dict[str, Any]


class _Film:
    """Samples summed up, more of them in the window than around it."""

    def __init__(self) -> None:
        self.sum: Any = None
        self.count: Any = None

    def add(self, image: NDArray[np.float32], samples: int, window: Window | None) -> None:
        """One round's picture, of the whole film (the first always) or of the window."""
        if self.sum is None:
            self.sum = np.zeros(image.shape)
            self.count = np.zeros((*image.shape[:2], 1))
        x, y = (0, 0) if window is None else window.at
        here = np.s_[y : y + image.shape[0], x : x + image.shape[1]]
        self.sum[here] += image.astype(np.float64) * samples
        self.count[here] += samples

    @property
    def mean(self) -> Floats:
        """(H, W, C) picture so far."""
        return np.asarray(self.sum / self.count)


def traced(
    scene: Any,
    quality: Quality,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
    *,
    guides: Guides | None = None,
    seed: int = SEED,
    window: Window | None = None,
    only: Window | None = None,
) -> Floats:
    """(H, W, 3) linear light: passes averaged, then denoised along the `guides` if given.

    Outside the `window`, if there is one, fewer samples are taken; of `only` one that alone is
    traced.
    """
    mi = renderer()
    path = mi.load_dict(
        {
            "type": "path",
            "max_depth": quality.bounces + 1,
            "rr_depth": ROULETTE_FROM,
            "hide_emitters": False,
        }
    )
    first = mi.load_dict({"type": "path", "max_depth": 1})
    light, colours, slopes = _Film(), _Film(), _Film()
    work = [
        (light, scene, path, n, seed + k, part or only)
        for k, (n, part) in enumerate(_rounds(quality, window))
    ]
    if guides is not None:
        for k, (n, part) in enumerate(_guide_rounds(quality, window)):
            work += [
                (colours, guides.colours, first, n, seed + 997 + k, part or only),
                (slopes, guides.normals, first, n, seed + 997 + k, part or only),
            ]
    costs = [n * (1.0 if film is light else GUIDE_COST) for film, _, _, n, _, _ in work]
    begun, done = time.monotonic(), 0.0
    for (film, shown, integrator, samples, number, part), cost in zip(work, costs, strict=True):
        if cancel is not None and cancel():
            raise PhotoCancelledError
        film.add(_rendered(mi, shown, integrator, samples, number, part), samples, part)
        done += cost
        _tell(progress, (1 - DENOISE_SHARE) * done / sum(costs), begun)
    clean = light.mean[..., :3]
    if guides is not None:
        clean = denoised(clean, colours.mean[..., :3], 2 * slopes.mean[..., :3] - 1)
    if cancel is not None and cancel():
        raise PhotoCancelledError
    _tell(progress, 1.0, begun)
    return np.asarray(clean, dtype=np.float64)


def _rounds(quality: Quality, window: Window | None) -> list[tuple[int, Window | None]]:
    """Samples of each round; the first ones take the whole picture, the others the window."""
    passes = min(quality.passes, quality.samples)
    rounds: list[tuple[int, Window | None]] = []
    done = 0
    for k in range(passes):
        samples = quality.samples // passes + (k < quality.samples % passes)
        whole = window is None or k == 0 or done < quality.outside * quality.samples
        rounds.append((samples, None if whole else window))
        done += samples
    return rounds


def _guide_rounds(quality: Quality, window: Window | None) -> list[tuple[int, Window | None]]:
    """Half the guides' rays for the whole picture, half for the window."""
    samples = quality.guide_samples
    whole = samples if window is None else -(-samples // 2)
    return [(whole, None), (samples - whole, window)] if whole < samples else [(samples, None)]


def _rendered(
    mi: Any, scene: Any, integrator: Any, samples: int, seed: int, window: Window | None = None
) -> NDArray[np.float32]:
    sensor = 0 if window is None else mi.load_dict(window.sensor)
    try:
        image = mi.render(scene, sensor=sensor, integrator=integrator, spp=samples, seed=seed)
    except MemoryError as error:
        raise _no_memory() from error
    except RuntimeError as error:
        raise PhotoError(
            "photo.render",
            f"The renderer stopped ({_first_line(error)}).",
            "Try again with a smaller picture; drawings are used meanwhile.",
        ) from error
    return np.nan_to_num(np.array(image, dtype=np.float32), posinf=1e4, neginf=0.0)


def denoised(light: Floats, colours: Floats, slopes: Floats) -> Floats:
    """Light (H, W, 3) without its grain, along the colours and slopes of what is seen; as it is
    where the denoiser is missing."""
    try:
        # its type stub cannot be read by the type checker, so it is loaded by name
        denoise = importlib.import_module("mitsuba_oidn").denoise
    except (ImportError, OSError):
        return light  # grainy, but a photograph

    def framed(image: NDArray[Any]) -> NDArray[np.float32]:
        """Mirrored beyond the picture's edge, where the denoiser would fray it."""
        rim = ((EDGE_PX, EDGE_PX), (EDGE_PX, EDGE_PX), (0, 0))
        return np.ascontiguousarray(np.pad(image, rim, mode="symmetric"), dtype=np.float32)

    clean = denoise(
        framed(light), framed(np.clip(colours, 0, 1)), framed(slopes), hdr=True, clean_aux=True
    )
    inner = slice(EDGE_PX, -EDGE_PX)
    return np.asarray(clean, dtype=np.float64)[inner, inner]


def _tell(progress: Progress | None, share: float, begun: float) -> None:
    if progress is not None:
        spent = time.monotonic() - begun
        progress(share, spent * (1 - share) / max(share, 1e-6))


def _no_memory() -> PhotoError:
    return PhotoError(
        "photo.memory",
        "There is not enough memory for this photograph.",
        "Ask for a smaller picture or draft quality, or close other programs.",
    )


def _first_line(error: Exception) -> str:
    return (str(error).strip().splitlines() or ["no reason given"])[-1][:160]
