"""Photographs a pack needs: framed, taken through the user's cache, drawings where they fail.

A photograph is made once and used again until what it shows changes (its fingerprint). Nothing
here ever stops a pack: what cannot be photographed is named in a finding, and the drawing stands
in.
"""

from __future__ import annotations

import math
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from airwright.decor.assembly import Assembly
from airwright.job.findings import Finding, hint
from airwright.papers.common.pictures import shown
from airwright.pictures.drawing import arrange
from airwright.pictures.tables import on_its_table
from airwright.plan.values import OptionPlan, PiecePlan, Plan

Progress = Callable[[float, float, str], None]
"""Called with the share of all photographs done (0..1), seconds left, and what is taken now."""

PIXELS: Final = {"draft": 450 * 600, "proposal": 600 * 800, "print": 1200 * 1600}
FRAMES: Final = ((0.85, (3, 4)), (1.2, (1, 1)), (1.7, (4, 3)), (2.2, (3, 2)), (3.2, (2, 1)))
"""Decor up to so many times as wide as high gets a picture of that shape; wider decor 5 : 2."""
USUAL_PLACE: Final = "bright hall"
OUTDOOR_PLACE: Final = "lawn"
MOST_KEPT_BYTES: Final = 600_000_000
"""The cache lets go of the pictures unused for longest above this size."""
FATAL: Final = frozenset({"photo.renderer-missing"})
"""Errors that the next photograph would meet too."""


@dataclass(frozen=True, slots=True, eq=False)
class Shot:
    """One photograph wanted.

    Attributes:
        name: of the option or piece.
        assembly: what stands before the camera.
        place: one of `pictures.photo.PLACES`.
        size: (width, height) [px].
    """

    name: str
    assembly: Assembly
    place: str
    size: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Album:
    """Photographs taken.

    Attributes:
        paths: name → PNG file in the cache; what failed is left out.
        reused: names of those that were already there.
        seconds: time each new one took [s].
        findings: what failed and why, in the order of the shots.
    """

    paths: Mapping[str, Path] = field(default_factory=lambda: MappingProxyType({}))
    reused: frozenset[str] = frozenset()
    seconds: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    findings: tuple[Finding, ...] = ()


def option_shots(plan: Plan, quality: str = "proposal", place: str | None = None) -> list[Shot]:
    """One shot an option, its pieces side by side as the drawings show them."""
    return [option_shot(plan, option, quality, place) for option in plan.options]


def option_scene(option: OptionPlan) -> Assembly:
    """The pieces of an option in a row, as every drawing and photograph of it shows them."""
    return arrange(shown(option), name=option.name)


def shot_of(plan: Plan, name: str, quality: str = "proposal") -> Shot | None:
    """The shot of the option of a name, else of the piece; None where there is neither."""
    for option in plan.options:
        if option.name == name:
            return option_shot(plan, option, quality)
    for piece in plan.pieces:
        if piece.name == name:
            return piece_shot(plan, piece, quality)
    return None


def option_shot(
    plan: Plan, option: OptionPlan, quality: str = "proposal", place: str | None = None
) -> Shot:
    """The shot of one option; outdoors where all of it stands in the open air."""
    scene = option_scene(option)
    outdoors = all(plan.job.setting_of(piece.spec) == "open air" for piece in option.pieces)
    where = place or (OUTDOOR_PLACE if outdoors else USUAL_PLACE)
    return Shot(option.name, scene, where, frame(scene, quality))


def piece_shot(
    plan: Plan, piece: PiecePlan, quality: str = "proposal", place: str | None = None
) -> Shot:
    """The shot of one piece, alone."""
    outdoors = plan.job.setting_of(piece.spec) == "open air"
    where = place or (OUTDOOR_PLACE if outdoors else USUAL_PLACE)
    stood = on_its_table(piece.assembly)
    return Shot(piece.name, stood, where, frame(stood, quality))


def frame(assembly: Assembly, quality: str = "proposal") -> tuple[int, int]:
    """Width and height [px] of a picture whose shape suits the decor."""
    from airwright.pictures.photo import hangs

    low, high = assembly.bounds
    tall = float(high[2] - assembly.centre[:, 2].min()) + 0.3 if hangs(assembly) else float(high[2])
    tall = max(tall, 1e-6)
    share = float(high[0] - low[0]) / tall
    across, up = next((shape for most, shape in FRAMES if share <= most), (5, 2))
    unit = math.sqrt(PIXELS.get(quality, PIXELS["proposal"]) / (across * up))
    return round(across * unit), round(up * unit)


def cache_folder() -> Path:
    """Where photographs are kept: the user's cache folder, or a temporary one without it."""
    from platformdirs import user_cache_path

    folder = user_cache_path("airwright", appauthor=False) / "photographs"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return folder
    except OSError:
        return Path(tempfile.mkdtemp(prefix="airwright-photographs-"))


def take(
    shots: Sequence[Shot],
    *,
    quality: str = "proposal",
    folder: Path | None = None,
    progress: Progress | None = None,
    **view: Any,
) -> Album:
    """Take photographs, or find those already taken.

    Args:
        shots: what to photograph; names must differ.
        quality: "draft", "proposal" or "print".
        folder: of the cache; the user's own if left out.
        progress: told between passes.
        view: wall, floor, person, door, as `pictures.photo.photograph` takes them.

    Returns:
        An album. An interrupt passes through; what was finished before it stays in the cache.
    """
    from airwright.pictures.photo import PhotoCache, PhotoError

    cache = PhotoCache(cache_folder() if folder is None else folder)
    paths: dict[str, Path] = {}
    seconds: dict[str, float] = {}
    findings: list[Finding] = []
    waiting: list[Shot] = []
    for shot in shots:
        known = _known(cache, shot, quality, view)
        if known is None:
            waiting.append(shot)
        else:
            paths[shot.name] = known
    reused = frozenset(paths)
    for at, shot in enumerate(waiting):
        begun = time.monotonic()
        tell = _telling(progress, at, len(waiting), shot.name, list(seconds.values()))
        try:
            paths[shot.name] = cache.photo_for(
                shot.assembly, shot.place, quality, shot.size, progress=tell, **view
            )
        except PhotoError as problem:
            findings.append(finding_of(problem, shot.name))
            if problem.code in FATAL:
                break
        except MemoryError:
            findings.append(_no_memory(shot.name))
        else:
            seconds[shot.name] = time.monotonic() - begun
    if seconds:
        trim(cache.folder, keep=set(paths.values()))
    ordered = {shot.name: paths[shot.name] for shot in shots if shot.name in paths}
    return Album(ordered, reused, seconds, tuple(findings))


def _known(cache: Any, shot: Shot, quality: str, view: Mapping[str, Any]) -> Path | None:
    """The photograph if it was taken before, marked as used now."""
    from airwright.pictures.photo import PhotoError, fingerprint

    try:
        key = fingerprint(shot.assembly, shot.place, quality, shot.size, **view)
    except PhotoError:
        return None  # said when it is taken
    found: Path | None = cache.find(key)
    if found is not None:
        _touch(found)
    return found


def _touch(path: Path) -> None:
    try:
        path.touch()
    except OSError:
        return  # someone else's cache; its age then counts from its making


def _telling(
    progress: Progress | None, at: int, count: int, name: str, spent: Sequence[float]
) -> Callable[[float, float], None]:
    """Progress of one photograph as progress of all of them."""
    begun = time.monotonic()

    def tell(share: float, left: float) -> None:
        if progress is None:
            return
        # until one is done, the others are taken to need as long as this one will have
        this = time.monotonic() - begun + left
        each = sum(spent) / len(spent) if spent else this
        progress((at + share) / count, left + each * (count - at - 1), name)

    return tell


def finding_of(problem: Any, name: str = "") -> Finding:
    """A PhotoError as a finding about one picture; the drawing stands in for it."""
    about = f'No photograph of "{name}": ' if name else ""
    what = f"{about}{problem.what[:1].lower() + problem.what[1:] if about else problem.what}"
    return hint(problem.code.replace(".", "-"), "", what, problem.mend)


def _no_memory(name: str) -> Finding:
    what = f'No photograph of "{name}": there is not enough memory for it.'
    return hint("photo-memory", "", what, "Close other programs, or ask for draft quality.")


def trim(folder: Path, *, keep: set[Path], most: int = MOST_KEPT_BYTES) -> int:
    """Let go of the photographs unused for longest until the folder is small enough.

    Returns how many went. Those in `keep` stay, whatever their size.
    """
    held = []
    for path in folder.glob("*.png"):
        try:
            stat = path.stat()
        except OSError:
            continue
        held.append((stat.st_mtime, stat.st_size, path))
    size, gone = sum(size for _, size, _ in held), 0
    for _, bytes_, path in sorted(held):
        if size <= most:
            break
        if path in keep:
            continue
        try:
            path.unlink()
        except OSError:
            continue
        size, gone = size - bytes_, gone + 1
    return gone
