"""The command `resize`: a saved design in another size, palette or budget, as a new job file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from airwright.cli import common
from airwright.cli.common import AsJson, JobFile, StudioFile

if TYPE_CHECKING:
    from airwright.job import Job, ShadeSpec, Studio

FINISHES = ("matte", "pearl", "metallic", "clear")


def register(app: typer.Typer) -> None:
    """Add these commands."""
    app.command()(resize)


def resize(
    file: JobFile,
    out: Annotated[Path, typer.Option("--out", help="The new job file.")],
    times: Annotated[
        float | None, typer.Option("--times", help="So many times as large: 0.75, 1.5.")
    ] = None,
    height: Annotated[
        str | None, typer.Option("--height", help='Its pieces so tall: "7 ft", "2.1 m".')
    ] = None,
    budget: Annotated[
        str | None, typer.Option("--budget", help="The largest size whose price is within this.")
    ] = None,
    palette: Annotated[
        str | None,
        typer.Option(
            "--palette", help='Shades in place of its own: "navy=#20304a, gold=#c9a24a metallic".'
        ),
    ] = None,
    piece: Annotated[
        list[str] | None,
        typer.Option("--piece", metavar="NAME", help="Only this piece; may be said again."),
    ] = None,
    option: Annotated[
        str | None, typer.Option("--option", help="Keep only this option of the design.")
    ] = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """Write a saved design anew in another size, palette or budget."""
    from airwright.plan.resize import ResizeError

    if times is None and height is None and budget is None and palette is None and option is None:
        common.usage_error(
            "Nothing is to change.", "Say --times, --height, --budget, --palette or --option."
        )
    if sum(wish is not None for wish in (times, height, budget)) > 1:
        common.usage_error(
            "--times, --height and --budget each set the size.", "Say one of them at a time."
        )
    if out.exists():
        common.usage_error(f"{out} is already there.", "Choose another name; nothing was changed.")
    house = common.load_studio(studio, file)
    made, reading = common.planned(file, house, as_json)
    job = made.job
    try:
        changed, told = _changed(job, house, (times, height, budget), palette, piece, option)
    except ResizeError as problem:
        common.usage_error(problem.what, problem.mend)
    told |= _checked(changed, house)
    _write(out, rewritten(reading.text, job, changed))
    if as_json:
        common.put_json({"written": str(out), **told})
        return
    typer.echo(f"Wrote {out}.")
    for line in _in_words(told):
        typer.echo(f"  {line}")


def _changed(
    job: Job,
    house: Studio,
    size: tuple[float | None, str | None, str | None],
    palette: str | None,
    pieces: list[str] | None,
    option: str | None,
) -> tuple[Job, dict[str, Any]]:
    from airwright.plan import resize as resizing

    times, height, budget = size
    system = house.studio.units
    told: dict[str, Any] = {}
    if option is not None:
        job = resizing.only(job, option)
    if palette is not None:
        job = resizing.with_palette(job, read_palette(palette))
    if times is not None:
        job = resizing.scaled(job, times, pieces=pieces, system=system)
    elif height is not None:
        job = resizing.to_height(job, _length(height), pieces=pieces, system=system)
    elif budget is not None:
        fitted = resizing.within_budget(job, _amount(budget), house, system=system)
        job = fitted.job
        told["times"] = fitted.factor
    return job, told


def _checked(job: Job, house: Studio) -> dict[str, Any]:
    """The prices of the changed design; ends with exit code 1 when it cannot be built."""
    from airwright.plan.planning import JobHasErrors, make_plan

    try:
        plan = make_plan(job, house)
    except JobHasErrors as problem:
        common.tell(problem.findings, Path("the new size"))
        raise typer.Exit(common.EXIT_ERRORS) from None
    return {
        "options": [
            {
                "name": option.name,
                "balloons": option.balloons,
                "height_m": round(max(p.assembly.height_m for p in option.pieces), 4),
                "price": f"{option.money.price:f}",
                "currency": option.money.currency,
            }
            for option in plan.options
        ]
    }


def _in_words(told: Mapping[str, Any]) -> list[str]:
    from decimal import Decimal

    from airwright.language.figures import said_money
    from airwright.units import both_lengths

    lines = []
    if "times" in told:
        lines.append(f"{told['times']:g} times its size")
    for row in told["options"]:
        price = said_money(Decimal(row["price"]), row["currency"])
        tall = both_lengths(row["height_m"])
        lines.append(f"{row['name']}: {tall} tall, {row['balloons']} balloons, {price}")
    return lines


def rewritten(text: str, before: Job, after: Job) -> str:
    """The job file's text with what differs changed, and its comments and layout kept.

    Where pieces were taken out, lines cannot be matched and the file is written afresh.
    """
    from airwright.job.writing import with_value, write_job

    if [p.name for p in before.pieces] != [p.name for p in after.pieces]:
        return write_job(after)
    for at, (old, new) in enumerate(zip(before.pieces, after.pieces, strict=True)):
        for key, value in _different(old, new).items():
            text = with_value(text, ("pieces", at, key), value)
    if before.shades != after.shades:
        shades = after.model_dump(mode="json", exclude_defaults=True)["shades"]
        for name in before.shades:
            text = with_value(text, ("shades", name), None)
        for name, value in shades.items():
            text = with_value(text, ("shades", name), value)
    return text


def _different(old: Any, new: Any) -> dict[str, Any]:
    was = old.model_dump(mode="json", exclude_defaults=True)
    now = new.model_dump(mode="json", exclude_defaults=True)
    return {key: now.get(key) for key in was | now if was.get(key) != now.get(key)}


def read_palette(text: str) -> dict[str, str | ShadeSpec]:
    """Shades from "navy=#20304a, gold=#c9a24a metallic"; ends with exit code 2."""
    from airwright.job import ShadeSpec

    shades: dict[str, str | ShadeSpec] = {}
    for part in filter(None, (item.strip() for item in text.split(","))):
        match = re.fullmatch(r"(.{1,60}?)\s*=\s*(#[0-9a-fA-F]{6})(?:\s+(\w+))?", part)
        if match is None or (match[3] is not None and match[3] not in FINISHES):
            common.usage_error(
                f'--palette: "{part[:60]}" is no shade.',
                f'Write "navy=#20304a" or "gold=#c9a24a metallic"; finishes: '
                f"{', '.join(FINISHES)}.",
            )
        name, colour, finish = match[1].strip(), match[2], match[3]
        plain = finish in (None, "matte")
        shades[name] = (
            colour if plain else ShadeSpec.model_validate({"colour": colour, "finish": finish})
        )
    return shades


def _length(text: str) -> float:
    from airwright.units import LENGTH, UnitError, parse

    try:
        return parse(text, LENGTH)
    except UnitError as problem:
        common.usage_error(f"--height: {problem.what}", problem.mend)


def _amount(text: str) -> Any:
    from decimal import Decimal, InvalidOperation

    try:
        amount = Decimal(text.strip().lstrip("$€£").replace(",", ""))
    except InvalidOperation:
        amount = Decimal("NaN")
    if not amount.is_finite() or amount <= 0:
        common.usage_error(f'--budget: "{text[:20]}" is no amount.', "Write it like 450 or 450.00.")
    return amount


def _write(out: Path, text: str) -> None:
    from airwright.job.writing import write_atomically

    try:
        write_atomically(out, text.encode())
    except OSError as problem:
        common.usage_error(
            f"{out} cannot be written: {problem.strerror}.", "Choose a folder you can write to."
        )
