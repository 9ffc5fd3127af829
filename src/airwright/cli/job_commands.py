"""Commands about a job file: new, check, plan, price, demo."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from airwright.cli import common
from airwright.cli.common import AsJson, JobFile, StudioFile

if TYPE_CHECKING:
    from airwright.plan.values import Plan

Out = Annotated[Path, typer.Option("--out", help="Folder the job pack is written into.")]
NoPhotos = Annotated[
    bool,
    typer.Option("--no-photos", help="Use drawings; a photograph takes seconds the first time."),
]
PhotoQuality = Annotated[
    str, typer.Option("--photo-quality", help="draft, proposal, or print (which takes minutes).")
]


def register(app: typer.Typer) -> None:
    """Add these commands."""
    app.command()(new)
    app.command()(check)
    app.command()(plan)
    app.command()(price)
    app.command()(demo)


def new(
    file: Annotated[Path, typer.Argument(help="The job file to write.")],
    as_json: AsJson = False,
) -> None:
    """Start a job file that runs as it stands."""
    from airwright.job.examples import example_text
    from airwright.job.writing import write_atomically

    if file.exists():
        common.usage_error(f"{file} is already there.", "Choose another name; nothing was changed.")
    if not file.parent.is_dir():
        common.usage_error(f"There is no folder {file.parent}.", "Make it first, or name another.")
    try:
        write_atomically(file, example_text("ferry-terminal").encode())
    except OSError as problem:
        common.usage_error(
            f"{file} cannot be written: {problem.strerror}.", "Choose a folder you can write to."
        )
    if as_json:
        common.put_json({"written": str(file)})
    else:
        typer.echo(f"Wrote {file}. Edit it, then look at it with: airwright check {file}")


def check(file: JobFile, studio: StudioFile = None, as_json: AsJson = False) -> None:
    """Tell everything wrong or risky in a job file, all at once."""
    from airwright.job import Severity

    evaluation = common.evaluated(file, common.load_studio(studio, file))
    findings, made = evaluation.findings, evaluation.plan
    common.report(findings, file, as_json)
    if made is None:
        raise typer.Exit(common.EXIT_ERRORS)
    if not as_json:
        count = len(made.pieces)
        cautions = sum(finding.severity is Severity.CAUTION for finding in findings)
        noted = f", {cautions} cautions" if cautions else ""
        pieces = "1 piece" if count == 1 else f"{count} pieces"
        typer.echo(f"{made.job.job.title}: {pieces} can be built{noted}.")


def plan(
    file: JobFile,
    out: Out,
    studio: StudioFile = None,
    no_photos: NoPhotos = False,
    photo_quality: PhotoQuality = "proposal",
    as_json: AsJson = False,
) -> None:
    """Plan a job and write the whole job pack."""
    quality = None if no_photos else photo_quality
    made, written = _plan_pack(file, out, studio, as_json, quality)
    _sum_up(made, out, written, as_json)


def price(file: JobFile, studio: StudioFile = None, as_json: AsJson = False) -> None:
    """Show what pieces, job lines and options of a job cost, and what is left of them."""
    from airwright.plan.export import as_json as plan_json

    made = planned(file, studio, as_json)
    if as_json:
        whole = plan_json(made)
        common.put_json({key: whole[key] for key in ("pieces", "options", "money", "findings")})
        return
    from airwright.cli.show import console
    from airwright.cli.show_prices import lines_tables, piece_prices_table, prices_table

    screen = console()
    screen.print(piece_prices_table(made))
    for table in lines_tables(made):
        screen.print()
        screen.print(table)
    screen.print()
    screen.print(prices_table(made))
    screen.print("For the studio's eyes: cost and margin never stand on the proposal.")


def demo(out: Out = Path("out/demo"), no_photos: NoPhotos = False, as_json: AsJson = False) -> None:
    """Plan the demo job of our invented ferry line into a folder."""
    from airwright.job.examples import example_path

    with example_path("harbour-festival") as file:
        made, written = _plan_pack(file, out, None, as_json, None if no_photos else "proposal")
    _sum_up(made, out, written, as_json)


def planned(file: Path, studio: Path | None, as_json: bool) -> Plan:
    """The plan of a job file; tells its errors and ends with exit code 1."""
    return common.planned(file, common.load_studio(studio, file), as_json)[0]


def _plan_pack(
    file: Path, out: Path, studio: Path | None, as_json: bool, quality: str | None
) -> tuple[Plan, tuple[Path, ...]]:
    """Plan, photograph (in a quality, or not at all) and write."""
    from airwright.papers.pack import PackError, write_pack
    from airwright.papers.publish import prepare

    photos: Mapping[str, Path] = {}
    if quality is not None:
        common.check_quality(quality)
    made = planned(file, studio, as_json)
    try:
        if quality is not None:
            prepare(out)  # before minutes of work, not after them
            made, photos = _photographed(made, quality)
        with common.progress_bar("Writing") as progress:
            written = write_pack(made, out, today=common.today(), photos=photos, progress=progress)
    except PackError as problem:
        common.usage_error(problem.what, problem.mend)
    return made, written


def _photographed(made: Plan, quality: str) -> tuple[Plan, Mapping[str, Path]]:
    """Photographs of the options, and the plan with what was found while taking them."""
    from dataclasses import replace

    from airwright.cli.photo_bar import photo_bar
    from airwright.job import in_order
    from airwright.papers.photographs import option_shots, take

    with photo_bar() as tell:
        album = take(option_shots(made, quality), quality=quality, progress=tell)
    return replace(made, findings=in_order([*made.findings, *album.findings])), album.paths


def _sum_up(made: Plan, out: Path, written: tuple[Path, ...], as_json: bool) -> None:
    from airwright.plan.export import as_json as plan_json

    if as_json:
        common.put_json({"out": str(out), "written": [str(p) for p in written], **plan_json(made)})
        return
    from airwright.cli.show import (
        console,
        files_in_short,
        findings_in_short,
        options_table,
        pieces_table,
    )
    from airwright.language.figures import said_date

    screen = console()
    head = made.job.job
    screen.print(f"{head.title}, {said_date(head.date, 'long')}", style="bold")
    screen.print(pieces_table(made))
    screen.print()
    screen.print(options_table(made))
    screen.print()
    for line in findings_in_short(made.findings):
        screen.print(line)
    screen.print()
    for line in files_in_short(written, out):
        screen.print(line)
