"""Commands that answer one question each, without a job: size, lift, wind.

Options are read as text with units; what cannot be read or reckoned ends in a message with its
cure and exit code 2. The reckoning is in `airwright.plan.answers`, the words in `told`.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from airwright.cli import common, gas_calculators
from airwright.cli.asking import (
    Altitude,
    Flat,
    Made,
    Units,
    Weighed,
    Workshop,
    air_at,
    around_of,
    balloon_of,
    read,
    refusing,
    shade_of,
    shop_of,
    tell_answer,
)
from airwright.cli.common import AsJson, StudioFile


def register(app: typer.Typer) -> None:
    """Add these commands."""
    # What a list of commands says of each: a whole sentence that fits its line.
    for name, command, short in (
        ("size", size, "What size to make for warmth, sun and height."),
        ("lift", lift, "What a helium balloon lifts, and how long."),
        ("wind", wind, "Whether pieces stand, and what ballast they need."),
        ("cylinder", gas_calculators.cylinder, "What a helium cylinder holds and fills."),
        ("string", gas_calculators.string, "The arch a string of floating balloons makes."),
        ("room", gas_calculators.room, "What is left to breathe when a cylinder empties."),
        ("fill", gas_calculators.fill, "How many balloons fill a net, a bag or a van."),
        ("fresh", gas_calculators.fresh, "How long air-filled latex looks fresh."),
    ):
        app.command(name, short_help=short)(command)


def size(
    balloon: Made,
    workshop: Workshop = "20 C",
    peak: Annotated[str, typer.Option("--peak", help="The warmest air it will meet.")] = "25 C",
    sun: Annotated[bool, typer.Option("--sun", help="The sun falls on it.")] = False,
    colour: Annotated[
        str, typer.Option("--colour", help="Its shade, for the sun: dark ones get warmer.")
    ] = "#808080",
    finish: Annotated[
        str, typer.Option("--finish", help="matte, pearl, metallic or clear.")
    ] = "matte",
    altitude: Altitude = "0 m",
    workshop_altitude: Annotated[
        str | None,
        typer.Option("--workshop-altitude", help="If the workshop lies at another height."),
    ] = None,
    margin: Annotated[
        float | None, typer.Option("--margin", help="Share of nominal to keep free: 0.05.")
    ] = None,
    weighs: Weighed = None,
    flat: Flat = None,
    units: Units = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """What becomes of a balloon's size in warmth, sun and height, and what size to make."""
    from airwright.cli.answer_text import size_lines
    from airwright.plan.answers.size import size_answer
    from airwright.units import LENGTH, TEMPERATURE

    shop = shop_of(studio, units)
    place = read("--altitude", altitude, LENGTH)
    around = around_of(
        in_sun=sun,
        workshop_c=read("--workshop", workshop, TEMPERATURE),
        peak_c=read("--peak", peak, TEMPERATURE),
        altitude_m=place,
        workshop_altitude_m=place
        if workshop_altitude is None
        else read("--workshop-altitude", workshop_altitude, LENGTH),
        margin=shop.studio.care.size_margin if margin is None else margin,
    )
    with refusing(shop.words):
        row, made = balloon_of(balloon, shop, weighs, flat)
        answer = size_answer(row, made, shade_of(colour, finish), around)
    tell_answer(answer, size_lines(answer, shop.words), as_json)


def lift(
    balloon: Made,
    count: Annotated[int, typer.Option("--count", min=1, max=100_000, help="How many.")] = 1,
    ribbon: Annotated[str, typer.Option("--ribbon", help="Hanging ribbon of each.")] = "2 m",
    tail: Annotated[str, typer.Option("--tail", help="Anything else that hangs on each.")] = "0 g",
    warmth: Annotated[
        str, typer.Option("--warmth", help="Temperature of the air, where it floats.")
    ] = "20 C",
    altitude: Altitude = "0 m",
    purity: Annotated[
        float | None, typer.Option("--purity", help="Share of helium in the gas: 0.97.")
    ] = None,
    weighs: Weighed = None,
    flat: Flat = None,
    units: Units = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """What a helium balloon lifts, how much gas it takes, how long it floats, what holds it."""
    from airwright.cli.answer_text import lift_lines
    from airwright.plan.answers.lift import lift_answer
    from airwright.units import LENGTH, MASS

    shop = shop_of(studio, units)
    around = air_at(warmth, altitude)
    helium = shop.studio.helium
    if purity is not None:
        helium = helium.model_copy(update={"purity": purity})
    with refusing(shop.words):
        row, made = balloon_of(balloon, shop, weighs, flat)
        answer = lift_answer(
            row,
            made,
            count,
            read("--ribbon", ribbon, LENGTH),
            read("--tail", tail, MASS),
            shop.catalog,
            around,
            helium,
        )
    tell_answer(answer, lift_lines(answer, shop.words), as_json)


def wind(
    file: Annotated[
        Path | None, typer.Argument(help="A job file: each of its standing pieces is told.")
    ] = None,
    height: Annotated[
        str | None, typer.Option("--height", help="Of a piece without a job.")
    ] = None,
    width: Annotated[str | None, typer.Option("--width", help="Of that piece.")] = None,
    mass: Annotated[
        str | None, typer.Option("--mass", help="Of that piece with pole and base, unballasted.")
    ] = None,
    base: Annotated[str | None, typer.Option("--base", help="Width of its base plate.")] = None,
    ballast: Annotated[
        str | None, typer.Option("--ballast", help="On the base; else what is needed is told.")
    ] = None,
    gust: Annotated[
        str | None, typer.Option("--gust", help="Outdoors; without it the piece stands indoors.")
    ] = None,
    factor: Annotated[
        float | None, typer.Option("--factor", help="Factor of safety, 1.5 as a rule.")
    ] = None,
    friction: Annotated[
        float | None, typer.Option("--friction", help="Base on floor: 0.3 smooth, 0.1 wet.")
    ] = None,
    units: Units = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """Whether pieces stand in a gust, what ballast they need, and when to take them in."""
    shop = shop_of(studio if file is None else None, units)
    quick = {"--height": height, "--width": width, "--mass": mass, "--base": base}
    if file is not None:
        if any(value is not None for value in (*quick.values(), ballast, gust, factor, friction)):
            mend = "Leave the other options out, or leave the file out."
            common.usage_error("A job file says all about its pieces.", mend)
        _wind_of_job(file, studio, units, as_json)
        return
    missing = [name for name, value in quick.items() if value is None]
    if missing:
        mend = (
            'Name a job file, or give a piece: airwright wind --height "7 ft" --width "22 in" '
            '--mass "6 kg" --base "16 in" --gust "8 m/s".'
        )
        common.usage_error(f"{', '.join(missing)} missing.", mend)
    from airwright.cli.answer_text import wind_lines
    from airwright.plan.answers.wind import wind_answer
    from airwright.units import LENGTH, MASS, SPEED

    numbers = {
        name: read(name, str(value), MASS if name == "--mass" else LENGTH)
        for name, value in quick.items()
    }
    care = shop.studio.care
    changes: dict[str, Any] = {
        "factor": care.factor_of_safety if factor is None else factor,
        "friction": care.friction if friction is None else friction,
        "push_n": care.guest_push,
    }
    if gust is not None:
        changes |= {"setting": "open air", "gust_m_s": read("--gust", gust, SPEED)}
    with refusing(shop.words):
        answer = wind_answer(
            numbers["--height"],
            numbers["--width"],
            numbers["--mass"],
            numbers["--base"],
            around_of(**changes),
            ballast_kg=None if ballast is None else read("--ballast", ballast, MASS),
        )
    tell_answer(answer, wind_lines(answer, shop.words), as_json)


def _wind_of_job(file: Path, studio: Path | None, units: str | None, as_json: bool) -> None:
    house = common.load_studio(studio, file)
    made, _ = common.planned(file, house, as_json)
    if as_json:
        pieces = [
            {
                "name": piece.name,
                "count": piece.count,
                "stability": None if piece.stability is None else piece.stability.to_json(),
            }
            for piece in made.pieces
        ]
        common.put_json({"pieces": pieces})
        return
    from airwright.cli.answer_text import print_answer, wind_of_job
    from airwright.plan.wording import Words
    from airwright.units import System

    words = Words(System(units) if units is not None else house.studio.units, beside=True)
    print_answer(wind_of_job(made, words), ())
