"""What the calculators share: the studio that asks, quantities as text, refusals, telling."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from airwright.cli import common

if TYPE_CHECKING:
    from airwright.catalog import Balloon, Catalog
    from airwright.decor.assembly import Shade
    from airwright.job import Studio
    from airwright.job.cluster import Inflated
    from airwright.plan.answers.base import Answer
    from airwright.plan.answers.lift import LiftAnswer
    from airwright.plan.surroundings import Surroundings
    from airwright.plan.wording import Words
    from airwright.units import Kind

Made = Annotated[
    str, typer.Argument(metavar="BALLOON", help='Size @ diameter made: "11in @ 9.5in".')
]
Workshop = Annotated[str, typer.Option("--workshop", help="Temperature where it is filled.")]
Altitude = Annotated[str, typer.Option("--altitude", help="Height of the place above the sea.")]
Weighed = Annotated[
    str | None, typer.Option("--weighs", help="Mass of one empty balloon, off your own scale.")
]
Flat = Annotated[str | None, typer.Option("--flat", help="Width of the empty balloon lying flat.")]
Units = Annotated[
    str | None, typer.Option("--units", help="feet or metric first; else as the studio says.")
]

_READING = re.compile(r"^(?P<amount>.*?)\s*(?P<kind>gauge|absolute)?\s*$", re.IGNORECASE)


@dataclass(frozen=True)
class Shop:
    """The studio that asks, its catalogue, and the words it reads."""

    studio: Studio
    catalog: Catalog
    words: Words


def shop_of(studio: Path | None, units: str | None) -> Shop:
    """The studio named, or the one in this folder; ends with exit code 1 or 2."""
    from airwright.plan.wording import Words
    from airwright.units import System

    house = common.load_studio(studio, Path("job.toml"))
    system = house.studio.units
    if units is not None:
        if units not in tuple(System):
            common.usage_error(f'--units: "{units}" is no choice.', "Say feet or metric.")
        system = System(units)
    return Shop(house, house.catalog(), Words(system, beside=True))


@contextmanager
def refusing(words: Words | None = None) -> Iterator[None]:
    """Turn what cannot be read or reckoned into a message with its cure, and exit code 2."""
    from airwright.catalog import UnknownName
    from airwright.cli.answer_text import refusal
    from airwright.job.cluster import NotationError
    from airwright.physics.errors import PhysicsError

    try:
        yield
    except PhysicsError as problem:
        common.usage_error(*refusal(problem, words))
    except NotationError as problem:
        common.usage_error(problem.what, problem.mend)
    except UnknownName as problem:
        known = ", ".join(problem.known[:14])
        near = f'Did you mean "{problem.near[0]}"? ' if problem.near else ""
        what = f'The catalogue has no balloon "{problem.name[:40]}".'
        common.usage_error(what, f"{near}Known sizes: {known}.")


def read(option: str, text: str, kind: Kind) -> float:
    """A quantity with its unit; ends with exit code 2 when it cannot be read."""
    from airwright.units import UnitError, parse

    try:
        return parse(text, kind)
    except UnitError as problem:
        common.usage_error(f"{option}: {problem.what}", problem.mend)


def balloon_of(
    text: str, shop: Shop, weighs: str | None = None, flat: str | None = None
) -> tuple[Balloon, Inflated]:
    """ "11in @ 9.5in" as catalogue row and diameter, own mass and flat width put in.

    Raises:
        NotationError: no balloon.
        UnknownName: no size of the catalogue.
    """
    from airwright.job.cluster import Inflated
    from airwright.units import INCH_M, LENGTH, MASS

    made = Inflated.parse(text)
    row = shop.catalog.balloon(made.size)
    changes: dict[str, Any] = {}
    if weighs is not None:
        changes["mass_g"] = 1000 * read("--weighs", weighs, MASS)
    if flat is not None:
        changes["flat_width_in"] = read("--flat", flat, LENGTH) / INCH_M
    if changes:
        changes["source"] = "given with the question"
        row = row.model_copy(update=changes)
    return row, made


def tell_answer(answer: Answer, lines: Any, as_json: bool) -> None:
    """An answer as JSON, or its lines and doubts for people, on standard output."""
    if as_json:
        common.put_json(answer.to_json())
        return
    from airwright.cli.answer_text import print_answer

    print_answer(lines, getattr(answer, "doubts", ()))


def shade_of(colour: str, finish: str) -> Shade:
    """A shade from its colour and finish; ends with exit code 2."""
    from airwright.decor.assembly import Shade

    if not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
        common.usage_error(f'--colour: "{colour[:20]}" is no colour.', 'Write it like "#1f7a7a".')
    if finish not in ("matte", "pearl", "metallic", "clear"):
        mend = "Say matte, pearl, metallic or clear."
        common.usage_error(f'--finish: "{finish[:20]}" is no finish.', mend)
    return Shade("asked for", colour.lower(), finish)  # type: ignore[arg-type]


def around_of(**changes: Any) -> Surroundings:
    """An indoor day at sea level with some things changed."""
    from dataclasses import replace

    from airwright.plan.surroundings import EVERYDAY

    return replace(EVERYDAY, **changes)


def air_at(warmth: str, altitude: str) -> Surroundings:
    """Air of one temperature at one height, as the options say; ends with exit code 2."""
    from airwright.units import LENGTH, TEMPERATURE

    air, place = read("--warmth", warmth, TEMPERATURE), read("--altitude", altitude, LENGTH)
    return around_of(workshop_c=air, peak_c=air, altitude_m=place, workshop_altitude_m=place)


def lift_of_one(balloon: str, shop: Shop, around: Surroundings) -> LiftAnswer:
    """One helium balloon of the catalogue with nothing hung on it.

    Raises:
        NotationError, UnknownName: see `balloon_of`.
        PhysicsError: out of range.
    """
    from airwright.plan.answers.lift import lift_answer

    row, made = balloon_of(balloon, shop)
    return lift_answer(row, made, 1, 0.0, 0.0, shop.catalog, around, shop.studio.helium)


def pressure_of(option: str, text: str) -> tuple[float, Literal["gauge", "absolute"]]:
    """ "200 bar gauge" as pascal and reference; a bare "200 bar" ends with exit code 2."""
    from airwright.units import PRESSURE

    match = _READING.match(text)
    assert match is not None
    amount = read(option, match["amount"], PRESSURE)
    if match["kind"] is None:
        what = f'{option}: "{text}" may be gauge or absolute.'
        mend = f'A dial reads gauge: write "{text.strip()} gauge". Absolute counts from vacuum.'
        common.usage_error(what, mend)
    return amount, "gauge" if match["kind"].lower() == "gauge" else "absolute"


def shades_in_stock(path: Path, size: str) -> frozenset[str]:
    """Shades of a size that lie on the shelf; ends with exit code 1 for a wrong file."""
    from airwright.operations.stock.stock_file import lots_of, read_stock

    reading = read_stock(common.read_bytes(path, "Name the stock file, or leave --stock out."))
    if reading.table is None:
        common.tell(reading.findings, path)
        raise typer.Exit(common.EXIT_ERRORS)
    lots = lots_of(reading.table)
    return frozenset(
        lot.goods.shade for lot in lots if lot.quantity > 0 and lot.goods.item.startswith(size)
    )
