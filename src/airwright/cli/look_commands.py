"""The command `looks`: a folder of saved designs as a look book and a price menu."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from airwright.cli import common
from airwright.cli.common import AsJson

if TYPE_CHECKING:
    from airwright.job import Finding, Studio
    from airwright.papers.look_book import Look, Trouble

MOST_SUPPLY_DAYS = 365


def register(app: typer.Typer) -> None:
    """Add these commands."""
    app.command(short_help="Make a look book, a price menu and a web page.")(looks)


def looks(
    folder: Annotated[
        Path | None,
        typer.Argument(help="Folder of saved designs (job files); our invented ones if left out."),
    ] = None,
    out: Annotated[Path, typer.Option("--out", help="Folder it is written into.")] = Path(
        "out/looks"
    ),
    no_photos: Annotated[
        bool,
        typer.Option("--no-photos", help="Use drawings; a photograph takes seconds once."),
    ] = False,
    quality: Annotated[
        str, typer.Option("--quality", help="draft, proposal, or print (which takes minutes).")
    ] = "proposal",
    place: Annotated[
        str | None,
        typer.Option(
            "--place",
            help="backdrop, bright hall, evening hall or lawn; else as each design says.",
        ),
    ] = None,
    palette: Annotated[
        str | None,
        typer.Option("--palette", help='All in these shades: "navy=#20304a, gold=#c9a24a".'),
    ] = None,
    supply: Annotated[
        int, typer.Option("--supply-days", help="Days until ordered balloons arrive.")
    ] = 7,
    studio: Annotated[
        Path | None,
        typer.Option("--studio", help="Studio file; studio.toml in the folder is used if there."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Make a look book, a price menu and a web page from saved designs."""
    from airwright.cli.photo_settings import checked_settings
    from airwright.job.examples import designs_path

    checked_settings(quality, place, None, {})
    if not 0 <= supply <= MOST_SUPPLY_DAYS:
        common.usage_error(
            f"--supply-days {supply} cannot be.", f"Say 0 to {MOST_SUPPLY_DAYS} days."
        )
    with ExitStack() as held:
        where = held.enter_context(designs_path()) if folder is None else folder
        house = common.load_studio(studio, where / "designs.toml")
        _check_out(out)
        planned, troubles = _planned(where, house, palette)
        if planned:
            written, more = _made(
                planned, house, out, supply, None if no_photos else quality, place
            )
        else:
            written, more = (), ()
    _sum_up(where, out, planned, written, (*troubles, *more), as_json)


def _check_out(out: Path) -> None:
    """Refuse a folder that holds a job pack, whose files would be taken for old ones."""
    from airwright.papers.publish import MANIFEST, PackError, prepare

    try:
        held = json.loads((out / MANIFEST).read_text("utf-8"))["files"]
    except (OSError, ValueError, KeyError, TypeError):
        held = {}
    if "plan.json" in held:
        common.usage_error(f"{out} holds a job pack.", "Name another folder with --out.")
    try:
        prepare(out)
    except PackError as problem:
        common.usage_error(problem.what, problem.mend)


def _planned(
    folder: Path, house: Studio, palette: str | None
) -> tuple[tuple[Look, ...], list[Trouble]]:
    from airwright.papers.look_book import plan_looks, read_designs

    try:
        designs, troubles = read_designs(folder)
    except OSError as problem:
        common.usage_error(
            f"The folder {folder} cannot be read: {problem.strerror}.",
            "Name the folder that holds your saved designs.",
        )
    if not designs and not troubles:
        common.usage_error(
            f"{folder} holds no designs.", "Save job files (.toml) in it; see: airwright new"
        )
    if palette is not None:
        designs, unfit = _in_palette(designs, palette)
        troubles = (*troubles, *unfit)
    with common.progress_bar("Planning") as progress:
        planned, more = plan_looks(designs, house, progress=progress)
    return planned, [*troubles, *more]


def _in_palette(designs: Sequence[object], palette: str) -> tuple[tuple, tuple]:  # type: ignore[type-arg]
    from dataclasses import replace

    from airwright.cli.resize_commands import read_palette
    from airwright.job.findings import error
    from airwright.papers.look_book import Trouble
    from airwright.plan.resize import ResizeError, with_palette

    shades = read_palette(palette)
    fit, unfit = [], []
    for design in designs:
        try:
            fit.append(replace(design, job=with_palette(design.job, shades)))  # type: ignore
        except ResizeError as problem:
            found = error("palette", "shades", problem.what, problem.mend)
            unfit.append(Trouble(design.path, found))  # type: ignore[attr-defined]
    return tuple(fit), tuple(unfit)


def _made(
    planned: Sequence[Look],
    house: Studio,
    out: Path,
    supply: int,
    quality: str | None,
    place: str | None,
) -> tuple[tuple[Path, ...], tuple[Finding, ...]]:
    from airwright.papers.look_book import book_of, make_looks
    from airwright.papers.publish import PackError, publish

    photos, findings = _photos(planned, quality, place) if quality is not None else ({}, ())
    book = book_of(planned, house, common.today(), supply)
    papers = make_looks(book, planned, house, photos)
    try:
        written = publish(papers, out)
    except PackError as problem:
        common.usage_error(problem.what, problem.mend)
    return written, (*findings, *(found for paper in papers for found in paper.findings))


def _photos(
    planned: Sequence[Look], quality: str, place: str | None
) -> tuple[dict[int, Path], tuple[Finding, ...]]:
    """Photographs of the size each look was saved in, by its number."""
    from dataclasses import replace

    from airwright.cli.photo_bar import photo_bar
    from airwright.papers.photographs import option_shot, take

    shots = []
    for at, look in enumerate(planned):
        shot = option_shot(look.usual.plan, look.usual.option, quality, place)
        # two designs may bear one name; the number keeps them apart
        shots.append(replace(shot, name=f"{at + 1}. {look.name}"))
    with photo_bar() as tell:
        album = take(shots, quality=quality, progress=tell)
    names = [shot.name for shot in shots]
    return {names.index(name): path for name, path in album.paths.items()}, album.findings


def _sum_up(
    folder: Path,
    out: Path,
    planned: Sequence[Look],
    written: Sequence[Path],
    troubles: Sequence[Trouble | Finding],
    as_json: bool,
) -> None:
    from airwright.job import Finding, Severity
    from airwright.language.figures import said_money
    from airwright.plan.export import finding_json

    whole = [(folder, t) if isinstance(t, Finding) else (t.path, t.finding) for t in troubles]
    if as_json:
        told = [{"file": path.name, **finding_json(found)} for path, found in whole]
        names = [{"name": look.name, "file": look.design.path.name} for look in planned]
        common.put_json(
            {
                "out": str(out),
                "looks": names,
                "written": [str(p) for p in written],
                "findings": told,
            }
        )
    else:
        for path, found in whole:
            common.tell([found], path)
        for look in planned:
            least = min(size.option.money.price for size in look.sizes)
            money = said_money(least, look.usual.option.money.currency)
            typer.echo(f"{look.name}: {len(look.sizes)} sizes, from {money}")
        if written:
            typer.echo(f"Written into {out}: open index.html, look-book.pdf or price-menu.pdf")
    if not planned or any(found.severity is Severity.ERROR for _, found in whole):
        raise typer.Exit(common.EXIT_ERRORS)
