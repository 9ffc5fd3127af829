"""The command `picture`: photographs of a job's options and pieces, as files."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from airwright.cli import common
from airwright.cli.common import AsJson, JobFile, StudioFile
from airwright.cli.photo_settings import PhotoSettings, checked_settings, make_folder

if TYPE_CHECKING:
    from airwright.cli.photo_bar import Tell
    from airwright.cli.room_calibration import GivenMarks
    from airwright.decor.assembly import Assembly
    from airwright.job import Finding
    from airwright.papers.photographs import Shot
    from airwright.plan.values import Plan

QualityName = Annotated[
    str, typer.Option("--quality", help="draft, proposal, or print (which takes minutes).")
]
PlaceName = Annotated[
    str | None,
    typer.Option(
        "--place",
        help="backdrop, bright hall, evening hall or lawn; else indoors a hall, outdoors a lawn.",
    ),
]
Wall = Annotated[str | None, typer.Option("--wall", help='The client\'s wall, like "#e8e2d8".')]
Floor = Annotated[str | None, typer.Option("--floor", help="The client's floor, likewise.")]
VIEWS = 8
STRIP_PX = {"draft": 320, "proposal": 420, "print": 900}


def register(app: typer.Typer) -> None:
    """Add these commands."""
    app.command()(picture)


@dataclass
class Gallery:
    """Files written so far, and what could not be."""

    out: Path
    made: Plan
    settings: PhotoSettings
    files: list[dict[str, Any]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def write(self, file: str, data: bytes, **about: Any) -> None:
        """One file, whole or not at all; ends with exit code 2 when the disk refuses."""
        from airwright.job.writing import write_atomically

        try:
            write_atomically(self.out / file, data)
        except OSError as problem:
            common.usage_error(
                f"{self.out / file} cannot be written: {problem.strerror}.",
                "Make room, or name another folder with --out.",
            )
        self.files.append({"file": file, **about})


def picture(
    file: JobFile,
    out: Annotated[Path, typer.Option("--out", help="Folder the pictures are written into.")],
    quality: QualityName = "proposal",
    place: PlaceName = None,
    pieces: Annotated[bool, typer.Option("--pieces", help="Each piece too, alone.")] = False,
    turn_around: Annotated[
        bool,
        typer.Option(
            "--turn-around", help="Each piece from eight sides, and 3D files for web and phone."
        ),
    ] = False,
    person: Annotated[
        bool, typer.Option("--person", help="A person's outline beside it, for scale.")
    ] = False,
    door: Annotated[
        bool, typer.Option("--door", help="A door in the wall behind, for scale.")
    ] = False,
    wall: Wall = None,
    floor: Floor = None,
    size: Annotated[
        str | None, typer.Option("--size", help="Pixels, like 900x1200; else as the decor suits.")
    ] = None,
    room: Annotated[
        list[Path] | None,
        typer.Option(
            "--room",
            metavar="PHOTO",
            help="Photo of the client's own room, marked in PHOTO's .marks.toml or below.",
        ),
    ] = None,
    corners: Annotated[
        str | None,
        typer.Option(
            "--corners",
            help="Four floor points of a rectangle in that photo, in pixels: near left, near "
            'right, far right, far left: "812,1490 1720,1502 1515,1102 905,1098".',
        ),
    ] = None,
    sides: Annotated[
        str | None, typer.Option("--sides", help='That rectangle, width x depth: "3 m x 2 m".')
    ] = None,
    uprights: Annotated[
        str | None,
        typer.Option(
            "--uprights",
            help="Things of known height in that photo, foot, head and height: "
            '"420,1480 420,610 2.03 m; 1690,1400 1694,860 4 ft 3 in".',
        ),
    ] = None,
    stand: Annotated[
        str | None,
        typer.Option("--stand", help='Decor from its middle, right and away: "0.5 m, 1 m".'),
    ] = None,
    facing: Annotated[
        float, typer.Option("--facing", help="Degrees the decor's front is turned.")
    ] = 0.0,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """Photograph each option of a job, before it exists."""
    from airwright.cli.job_commands import planned

    settings = checked_settings(
        quality, place, size, {"wall": wall, "floor": floor, "person": person, "door": door}
    )
    if corners is None and (sides or (stand and not uprights)):
        common.usage_error(
            "--sides and --stand belong to --corners.", "Give the four floor points."
        )
    marked = corners is not None or uprights is not None
    if marked and len(room or []) != 1:
        option = "--uprights" if corners is None else "--corners"
        common.usage_error(f"{option} belong to one photo.", "Name it with --room PHOTO.")
    make_folder(out)
    made = planned(file, studio, as_json)
    gallery = Gallery(out, made, settings)
    if room:
        given = (corners, sides, stand, facing, uprights) if marked else None
        for photo in room:
            _in_room(gallery, photo, given)
    else:
        _options_and_pieces(gallery, pieces)
    if turn_around:
        _around(gallery)
        _solids(gallery)
    _sum_up(gallery, file, as_json)


# ---- options and pieces ---------------------------------------------------------


def _options_and_pieces(gallery: Gallery, pieces: bool) -> None:
    from airwright.papers.photographs import option_shot, piece_shot

    made, settings = gallery.made, gallery.settings
    options = [option_shot(made, o, settings.quality, settings.place) for o in made.options]
    _photographed(gallery, "option", [_sized(shot, settings) for shot in options])
    if pieces:
        single = [piece_shot(made, p, settings.quality, settings.place) for p in made.pieces]
        _photographed(gallery, "piece", [_sized(shot, settings) for shot in single])


def _sized(shot: Shot, settings: PhotoSettings) -> Shot:
    from dataclasses import replace

    return shot if settings.size is None else replace(shot, size=settings.size)


def _photographed(gallery: Gallery, kind: str, shots: list[Shot]) -> None:
    """Take them all, then write them; a drawing stands in for what fails."""
    from airwright.cli.photo_bar import photo_bar
    from airwright.papers.common.names import file_stems
    from airwright.papers.photographs import take
    from airwright.pictures.drawing import draw, to_svg

    settings = gallery.settings
    with photo_bar() as tell:
        album = take(shots, quality=settings.quality, progress=tell, **settings.view)
    gallery.findings += album.findings
    for stem, shot in zip(
        _stems(kind, file_stems([s.name for s in shots], kind)), shots, strict=True
    ):
        about = {"shows": kind, "name": shot.name}
        path = album.paths.get(shot.name)
        if path is None:
            drawn = to_svg(draw(shot.assembly)).encode()
            gallery.write(f"{stem}.svg", drawn, **about, picture="drawing")
            continue
        gallery.write(
            f"{stem}.png",
            path.read_bytes(),
            **about,
            picture="photograph",
            place=shot.place,
            quality=settings.quality,
            size=list(shot.size),
            reused=shot.name in album.reused,
            seconds=round(album.seconds.get(shot.name, 0.0), 2),
        )


def _stems(kind: str, stems: tuple[str, ...]) -> list[str]:
    return [f"option-{stem}" if kind == "option" else stem for stem in stems]


# ---- the client's own room --------------------------------------------------------


def _in_room(gallery: Gallery, photo: Path, given: GivenMarks | None) -> None:
    from airwright.papers.common.names import file_stems
    from airwright.papers.photographs import finding_of, option_shot
    from airwright.pictures.photo import PhotoError, read_venue

    try:
        venue = read_venue(photo)
        marks, findings = _marks(photo, given)
        gallery.findings += findings
        if marks is None:
            return
        furnished = marks.room(venue)
    except PhotoError as problem:
        gallery.findings.append(_as_error(finding_of(problem)))
        return
    options = gallery.made.options
    room = file_stems([photo.stem], "room")[0]
    stems = file_stems([option.name for option in options], "option")
    for at, (stem, option) in enumerate(zip(stems, options, strict=True)):
        shot = option_shot(gallery.made, option)
        name = f"option-{stem}-in-{room}.png"
        _one_in_room(gallery, shot, (furnished, marks), name, (at, len(options)))


def _one_in_room(
    gallery: Gallery,
    shot: Shot,
    scene: tuple[Any, Any],
    name: str,
    turn: tuple[int, int],
) -> None:
    from airwright.cli.photo_bar import photo_bar
    from airwright.papers.photographs import finding_of
    from airwright.pictures.photo import PhotoError, photograph_in_room

    furnished, marks = scene
    at, count = turn
    try:
        with photo_bar("Into the room") as tell:
            taken = photograph_in_room(
                shot.assembly,
                furnished,
                (marks.right, marks.away),
                math.radians(marks.facing),
                gallery.settings.quality,
                progress=_after(tell, at, count, shot.name),
            )
    except PhotoError as problem:
        gallery.findings.append(_as_error(finding_of(problem, shot.name)))
        return
    gallery.findings += [found for found in taken.findings if found not in gallery.findings]
    gallery.write(
        name,
        _png(taken.pixels),
        shows="option in the room",
        name=shot.name,
        picture="photograph",
        quality=gallery.settings.quality,
        size=[taken.pixels.shape[1], taken.pixels.shape[0]],
        off_cm=round(taken.doubt.cm, 1),
        height_off=round(taken.doubt.height_share, 4),
        misfit_px=round(taken.misfit_px, 2),
        fit=taken.note,
        seconds=round(taken.seconds, 2),
    )


def _png(pixels: Any) -> bytes:
    import io

    from PIL import Image

    held = io.BytesIO()
    Image.fromarray(pixels).save(held, format="PNG", compress_level=6)
    return held.getvalue()


def _after(tell: Tell, at: int, count: int, name: str) -> Callable[[float, float], None]:
    """Progress of one of several as progress of all."""

    def told(share: float, left: float) -> None:
        tell((at + share) / count, left, name)

    return told


def _marks(photo: Path, given: GivenMarks | None) -> Any:
    from dataclasses import replace

    from airwright.cli.room_calibration import marks_beside, marks_given, read_marks
    from airwright.job.findings import error

    if given is not None:
        return marks_given(*given)
    beside = marks_beside(photo)
    if not beside.is_file():
        what = f"Nothing is marked in {photo.name}: there is no {beside.name} beside it."
        mend = (
            "Write corners, width and depth of a rectangle on the floor into it, or give "
            '--corners "812,1490 1720,1502 1515,1102 905,1098" --sides "3 m x 2 m".'
        )
        return None, (error("room-marks", "", what, mend),)
    marks, findings = read_marks(common.read_bytes(beside))
    return marks, [replace(found, what=f"{beside.name}: {found.what}") for found in findings]


def _as_error(finding: Finding) -> Finding:
    from dataclasses import replace

    from airwright.job import Severity

    return replace(finding, severity=Severity.ERROR)


# ---- turn-around and 3D -----------------------------------------------------------


def _around(gallery: Gallery) -> None:
    from airwright.papers.common.names import file_stems
    from airwright.pictures.drawing import draw_turnaround, to_svg

    pieces = gallery.made.pieces
    stems = file_stems([piece.name for piece in pieces], "piece")
    for at, (stem, piece) in enumerate(zip(stems, pieces, strict=True)):
        about = {"shows": "turn-around", "name": piece.name}
        strip = _strip(gallery, piece.assembly, (at, len(pieces)))
        if strip is not None:
            gallery.write(f"{stem}-turn-around.png", strip, **about, picture="photograph")
        drawn = to_svg(draw_turnaround(piece.assembly, views=VIEWS)).encode()
        gallery.write(f"{stem}-turn-around.svg", drawn, **about, picture="drawing")


def _strip(gallery: Gallery, assembly: Assembly, turn: tuple[int, int]) -> bytes | None:
    """Eight photographs side by side, from the cache where they lie there."""
    from airwright.cli.photo_bar import photo_bar
    from airwright.papers.photographs import cache_folder, finding_of
    from airwright.pictures.photo import PhotoCache, PhotoError, fingerprint, save_png
    from airwright.pictures.photo.around import photograph_around

    settings, at, count = gallery.settings, *turn
    place, size = settings.place or "backdrop", _strip_size(assembly, settings.quality)
    colours = {name: settings.view[name] for name in ("wall", "floor") if name in settings.view}
    try:
        plain = fingerprint(assembly, place, settings.quality, size, **colours)
        key = hashlib.sha256(f"{plain} around {VIEWS}".encode()).hexdigest()
        cache = PhotoCache(cache_folder())
        found = cache.find(key)
        if found is None:
            with photo_bar("Walking round") as tell:
                told = _after(tell, at, count, assembly.name)
                strip = photograph_around(
                    assembly, place, settings.quality, size, VIEWS, progress=told, **colours
                )
            found = save_png(strip, cache.path_of(key))
    except PhotoError as problem:
        gallery.findings.append(finding_of(problem, assembly.name))
        return None
    return found.read_bytes()


def _strip_size(assembly: Assembly, quality: str) -> tuple[int, int]:
    """One view's size [px]: as wide as the piece's larger side asks for."""
    low, high = assembly.bounds
    across = math.hypot(float(high[0] - low[0]), float(high[1] - low[1]))
    share = min(max(1.15 * across / max(float(high[2]), 1e-6), 0.45), 1.6)
    tall = STRIP_PX[quality]
    return max(64, round(tall * share)), tall


def _solids(gallery: Gallery) -> None:
    """GLB and USDZ at true scale, one for each piece and each option."""
    from airwright.papers.common.names import file_stems
    from airwright.papers.photographs import option_shot

    made = gallery.made
    stems = file_stems([piece.name for piece in made.pieces], "piece")
    for stem, piece in zip(stems, made.pieces, strict=True):
        _solid(gallery, stem, "piece", piece.assembly)
    stems = file_stems([option.name for option in made.options], "option")
    for stem, option in zip(stems, made.options, strict=True):
        _solid(gallery, f"option-{stem}", "option", option_shot(made, option).assembly)


def _solid(gallery: Gallery, stem: str, kind: str, assembly: Assembly) -> None:
    from airwright.job.findings import hint
    from airwright.pictures.export import ExchangeError, to_glb, to_usdz

    for ending, make in (("glb", to_glb), ("usdz", to_usdz)):
        try:
            data = make(assembly)
        except (ExchangeError, ImportError) as problem:
            what = getattr(problem, "what", f"{stem}.{ending} cannot be written here.")
            mend = getattr(problem, "mend", "The other pictures show the same.")
            gallery.findings.append(hint("no-solid", "", what, mend))
            continue
        gallery.write(f"{stem}.{ending}", data, shows=kind, name=assembly.name, picture="3D")


# ---- what came of it --------------------------------------------------------------


def _sum_up(gallery: Gallery, file: Path, as_json: bool) -> None:
    from airwright.job import has_errors, in_order
    from airwright.plan.export import finding_json

    findings = in_order(gallery.findings)
    if as_json:
        told = [finding_json(finding) for finding in findings]
        common.put_json({"out": str(gallery.out), "pictures": gallery.files, "findings": told})
    else:
        common.tell(findings, file)
        if gallery.files:
            typer.echo(f"Written into {gallery.out}:")
        for entry in gallery.files:
            typer.echo(f"  {entry['file']}{_aside(entry)}")
    if has_errors(findings) or any(found.code.startswith("photo") for found in findings):
        raise typer.Exit(common.EXIT_ERRORS)


def _aside(entry: Mapping[str, Any]) -> str:
    if "fit" in entry:
        return f"  ({entry['fit']})"
    if entry.get("picture") == "drawing" and entry.get("shows") != "turn-around":
        return "  (drawn, not photographed)"
    if entry.get("reused"):
        return "  (as before)"
    return f"  ({entry['seconds']:.0f} s)" if entry.get("seconds") else ""
