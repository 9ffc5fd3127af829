"""Photographs kept until what they show changes."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from airwright.decor.assembly import Assembly
from airwright.pictures.photo.camera import EYE_HEIGHT_M
from airwright.pictures.photo.photograph import photograph, save_png
from airwright.pictures.photo.places import Place, place_named
from airwright.pictures.photo.quality import PROPOSAL, Quality, quality_named
from airwright.pictures.photo.render import Cancel, Progress

LOOK = "8"
"""Raised whenever light, materials or meshes change, so that old pictures are made anew."""
STEP_M = 1e-5
"""Moves smaller than this (a hundredth of a millimetre) change no picture."""


def fingerprint(
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
) -> str:
    """Hex digest of everything the photograph shows: same digest, same picture.

    Names of the piece, building steps and labour do not show and do not count.
    """
    digest = hashlib.sha256()
    for array in (assembly.centre, assembly.radius, assembly.axis):
        digest.update(np.round(array / STEP_M).astype(np.int64).tobytes())
    where = place_named(place, wall=wall, floor=floor, person=person, door=door)
    effort = quality_named(quality)
    shown: dict[str, Any] = {
        "look": LOOK,
        "balloons": [
            [asdict(assembly.stocks[k]), _shade(assembly, s)]
            for k, s in zip(assembly.stock.tolist(), assembly.shade.tolist(), strict=True)
        ],
        "hardware": [asdict(part) for part in assembly.hardware],
        "strands": [asdict(strand) for strand in assembly.strands],
        "on_table": assembly.on_table,
        "fabrics": [asdict(fabric) for fabric in assembly.fabrics],
        "place": asdict(where) | {"help": ""},
        "quality": asdict(effort) | {"help": ""},
        "view": [list(size), round(eye_m, 5), round(turn_rad, 6)],
    }
    digest.update(json.dumps(shown, sort_keys=True, default=str).encode())
    return digest.hexdigest()


def _shade(assembly: Assembly, index: int) -> list[str]:
    """What is seen of a shade: its colour, finish and what is inside; not its name."""
    shade = assembly.shades[index]
    inside = {other.name: other.colour for other in assembly.shades}
    inner = "" if shade.inner is None else inside.get(shade.inner, shade.inner)
    return [shade.colour, shade.finish, inner]


@dataclass(frozen=True, slots=True)
class PhotoCache:
    """A folder of photographs named by their fingerprints."""

    folder: Path

    def path_of(self, key: str) -> Path:
        """Where the photograph of a fingerprint lies, made or not."""
        return self.folder / f"{key[:40]}.png"

    def find(self, key: str) -> Path | None:
        """The photograph of a fingerprint, or None when it was never made or is damaged."""
        path = self.path_of(key)
        return path if path.is_file() and _whole(path) else None

    def photo_for(
        self,
        assembly: Assembly,
        place: str | Place = "backdrop",
        quality: str | Quality = PROPOSAL,
        size: tuple[int, int] = (600, 800),
        *,
        progress: Progress | None = None,
        cancel: Cancel | None = None,
        **view: Any,
    ) -> Path:
        """Path of the photograph, made now if it is not there yet.

        `view` takes wall, floor, person, door, eye_m and turn_rad as `photograph` does.
        Raises PhotoError; nothing half is left in the folder.
        """
        key = fingerprint(assembly, place, quality, size, **view)
        found = self.find(key)
        if found is not None:
            return found
        photo = photograph(assembly, place, quality, size, progress=progress, cancel=cancel, **view)
        return save_png(photo, self.path_of(key))


def _whole(path: Path) -> bool:
    from PIL import Image

    try:
        with Image.open(path) as image:
            image.verify()
    except (OSError, SyntaxError, ValueError):
        return False
    return True
