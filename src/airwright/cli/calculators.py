"""Commands that answer one question each, without a job: size, lift, wind, cylinder, …

Options are read as text with units; what cannot be read or reckoned ends in a message with its
cure and exit code 2. The reckoning is in `airwright.plan.answers`, the words in `told`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from airwright.cli import common
from airwright.cli.common import AsJson, StudioFile

if TYPE_CHECKING:
    from airwright.build.assembly import Shade
    from airwright.catalog import Balloon, Catalog
    from airwright.job import Studio
    from airwright.job.cluster import Inflated
    from airwright.plan.answers.base import Answer
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


def register(app: typer.Typer) -> None:
    """Add these commands."""
    for name, command in (
        ("size", size),
        ("lift", lift),
        ("wind", wind),
        ("cylinder", cylinder),
        ("string", string),
        ("room", room),
        ("fill", fill),
        ("fresh", fresh),
    ):
        app.command(name)(command)


@dataclass(frozen=True)
class _Shop:
    """The studio that asks, its catalogue, and the words it reads."""

    studio: Studio
    catalog: Catalog
    words: Words


def _shop(studio: Path | None, units: str | None) -> _Shop:
    from airwright.plan.wording import Words
    from airwright.units import System

    house = common.load_studio(studio, Path("job.toml"))
    system = house.studio.units
    if units is not None:
        if units not in tuple(System):
            common.usage_error(f'--units: "{units}" is no choice.', "Say feet or metric.")
        system = System(units)
    return _Shop(house, house.catalog(), Words(system))


@contextmanager
def _refusing(words: Words | None = None) -> Iterator[None]:
    """Turn what cannot be read or reckoned into a message with its cure, and exit code 2."""
    from airwright.catalog import UnknownName
    from airwright.cli.told import refusal
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


def _read(option: str, text: str, kind: Kind) -> float:
    """A quantity with its unit; ends with exit code 2 when it cannot be read."""
    from airwright.units import UnitError, parse

    try:
        return parse(text, kind)
    except UnitError as problem:
        common.usage_error(f"{option}: {problem.what}", problem.mend)


def _balloon(
    text: str, shop: _Shop, weighs: str | None = None, flat: str | None = None
) -> tuple[Balloon, Inflated]:
    from airwright.job.cluster import Inflated
    from airwright.units import INCH_M, LENGTH, MASS

    made = Inflated.parse(text)
    row = shop.catalog.balloon(made.size)
    changes: dict[str, Any] = {}
    if weighs is not None:
        changes["mass_g"] = 1000 * _read("--weighs", weighs, MASS)
    if flat is not None:
        changes["flat_width_in"] = _read("--flat", flat, LENGTH) / INCH_M
    if changes:
        changes["source"] = "given with the question"
        row = row.model_copy(update=changes)
    return row, made


def _tell(answer: Answer, lines: Any, as_json: bool) -> None:
    if as_json:
        common.put_json(answer.plain())
        return
    from airwright.cli.told import print_answer

    print_answer(lines, getattr(answer, "doubts", ()))


def _shade(colour: str, finish: str) -> Shade:
    from airwright.build.assembly import Shade

    if not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
        common.usage_error(f'--colour: "{colour[:20]}" is no colour.', 'Write it like "#1f7a7a".')
    if finish not in ("matte", "pearl", "metallic", "clear"):
        mend = "Say matte, pearl, metallic or clear."
        common.usage_error(f'--finish: "{finish[:20]}" is no finish.', mend)
    return Shade("asked for", colour.lower(), finish)  # type: ignore[arg-type]


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
    from airwright.cli.told import size_lines
    from airwright.plan.answers.size import size_answer
    from airwright.units import LENGTH, TEMPERATURE

    shop = _shop(studio, units)
    place = _read("--altitude", altitude, LENGTH)
    around = _around(
        in_sun=sun,
        workshop_c=_read("--workshop", workshop, TEMPERATURE),
        peak_c=_read("--peak", peak, TEMPERATURE),
        altitude_m=place,
        workshop_altitude_m=place
        if workshop_altitude is None
        else _read("--workshop-altitude", workshop_altitude, LENGTH),
        margin=shop.studio.care.size_margin if margin is None else margin,
    )
    with _refusing(shop.words):
        row, made = _balloon(balloon, shop, weighs, flat)
        answer = size_answer(row, made, _shade(colour, finish), around)
    _tell(answer, size_lines(answer, shop.words), as_json)


def _around(**changes: Any) -> Surroundings:
    from dataclasses import replace

    from airwright.plan.surroundings import EVERYDAY

    return replace(EVERYDAY, **changes)


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
    from airwright.cli.told import lift_lines
    from airwright.plan.answers.lift import lift_answer
    from airwright.units import LENGTH, MASS, TEMPERATURE

    shop = _shop(studio, units)
    air = _read("--warmth", warmth, TEMPERATURE)
    place = _read("--altitude", altitude, LENGTH)
    around = _around(workshop_c=air, peak_c=air, altitude_m=place, workshop_altitude_m=place)
    helium = shop.studio.helium
    if purity is not None:
        helium = helium.model_copy(update={"purity": purity})
    with _refusing(shop.words):
        row, made = _balloon(balloon, shop, weighs, flat)
        answer = lift_answer(
            row,
            made,
            count,
            _read("--ribbon", ribbon, LENGTH),
            _read("--tail", tail, MASS),
            shop.catalog,
            around,
            helium,
        )
    _tell(answer, lift_lines(answer, shop.words), as_json)


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
    shop = _shop(studio if file is None else None, units)
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
    from airwright.cli.told import wind_lines
    from airwright.plan.answers.wind import wind_answer
    from airwright.units import LENGTH, MASS, SPEED

    numbers = {
        name: _read(name, str(value), MASS if name == "--mass" else LENGTH)
        for name, value in quick.items()
    }
    care = shop.studio.care
    changes: dict[str, Any] = {
        "factor": care.factor_of_safety if factor is None else factor,
        "friction": care.friction if friction is None else friction,
        "push_n": care.guest_push,
    }
    if gust is not None:
        changes |= {"setting": "open air", "gust_m_s": _read("--gust", gust, SPEED)}
    with _refusing(shop.words):
        answer = wind_answer(
            numbers["--height"],
            numbers["--width"],
            numbers["--mass"],
            numbers["--base"],
            _around(**changes),
            ballast_kg=None if ballast is None else _read("--ballast", ballast, MASS),
        )
    _tell(answer, wind_lines(answer, shop.words), as_json)


def _wind_of_job(file: Path, studio: Path | None, units: str | None, as_json: bool) -> None:
    from airwright.plan.planning import JobHasErrors, make_plan

    house = common.load_studio(studio, file)
    job, reading = common.valid_job(file, house, as_json)
    try:
        with common.progress_bar("Building") as progress:
            made = make_plan(job, house, progress=progress)
    except JobHasErrors as problem:
        common.report(reading.located(problem.findings), file, as_json)
        raise typer.Exit(common.EXIT_ERRORS) from None
    if as_json:
        pieces = [
            {
                "name": piece.name,
                "count": piece.count,
                "stability": None if piece.stability is None else piece.stability.plain(),
            }
            for piece in made.pieces
        ]
        common.put_json({"pieces": pieces})
        return
    from airwright.cli.told import print_answer, wind_of_job
    from airwright.plan.wording import Words
    from airwright.units import System

    words = Words(System(units) if units is not None else house.studio.units)
    print_answer(wind_of_job(made, words), ())


_READING = re.compile(r"^(?P<amount>.*?)\s*(?P<kind>gauge|absolute)?\s*$", re.IGNORECASE)


def _pressure(option: str, text: str) -> tuple[float, Literal["gauge", "absolute"]]:
    """ "200 bar gauge" as pascal and reference; a bare "200 bar" ends with exit code 2."""
    from airwright.units import PRESSURE

    match = _READING.match(text)
    assert match is not None
    amount = _read(option, match["amount"], PRESSURE)
    if match["kind"] is None:
        what = f'{option}: "{text}" may be gauge or absolute.'
        mend = f'A dial reads gauge: write "{text.strip()} gauge". Absolute counts from vacuum.'
        common.usage_error(what, mend)
    return amount, "gauge" if match["kind"].lower() == "gauge" else "absolute"


def cylinder(
    water: Annotated[
        str, typer.Option("--water", help="Water volume stamped on its shoulder.")
    ] = "50 L",
    reads: Annotated[
        str, typer.Option("--reads", help='What its dial shows: "120 bar gauge".')
    ] = "200 bar gauge",
    warmth: Annotated[str, typer.Option("--warmth", help="Temperature of the cylinder.")] = "15 C",
    stamped: Annotated[
        str | None, typer.Option("--stamped", help='Pressure it may hold: "200 bar gauge".')
    ] = None,
    balloon: Annotated[
        str | None, typer.Option("--for", help='Balloons to fill: "11in @ 10in".')
    ] = None,
    count: Annotated[
        int | None, typer.Option("--count", min=1, max=1_000_000, help="How many of them.")
    ] = None,
    waste: Annotated[
        float | None, typer.Option("--waste", help="Share lost at the nozzle and in pops.")
    ] = None,
    units: Units = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """What a full or part-used helium cylinder holds, fills, and how many you need."""
    from airwright.cli.told import cylinder_lines
    from airwright.plan.answers.cylinder import cylinder_answer
    from airwright.plan.answers.lift import lift_answer
    from airwright.units import TEMPERATURE, VOLUME

    shop = _shop(studio, units)
    pressure, reference = _pressure("--reads", reads)
    rated = None
    if stamped is not None:
        rated, same = _pressure("--stamped", stamped)
        if same != reference:
            mend = f"Give both as {reference}."
            common.usage_error("--reads and --stamped mix gauge and absolute.", mend)
    if count is not None and balloon is None:
        common.usage_error("--count of what?", 'Add the balloon: --for "11in @ 10in".')
    celsius = _read("--warmth", warmth, TEMPERATURE)
    with _refusing(shop.words):
        each = None
        if balloon is not None:
            row, made = _balloon(balloon, shop)
            helium = shop.studio.helium
            found = lift_answer(row, made, 1, 0.0, 0.0, shop.catalog, _around(), helium)
            each = found.gas_m3
        answer = cylinder_answer(
            _read("--water", water, VOLUME),
            pressure,
            reference,
            celsius,
            rated_pa=rated,
            each_m3=each,
            wanted=count,
            waste=shop.studio.helium.waste if waste is None else waste,
        )
    _tell(answer, cylinder_lines(answer, balloon, shop.words), as_json)


def string(
    balloon: Made,
    span: Annotated[str, typer.Option("--span", help="Between the two weights.")],
    length: Annotated[str, typer.Option("--length", help="Along the line.")],
    count: Annotated[int, typer.Option("--count", min=1, max=100_000, help="Balloons on it.")],
    breeze: Annotated[str, typer.Option("--breeze", help="Wind across the arch.")] = "0 m/s",
    friction: Annotated[
        float | None, typer.Option("--friction", help="Weights on floor: 0.3 smooth, 0.1 wet.")
    ] = None,
    warmth: Annotated[str, typer.Option("--warmth", help="Temperature of the air.")] = "20 C",
    altitude: Altitude = "0 m",
    units: Units = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """The arch a string of floating balloons makes, what it pulls, and how a breeze bends it."""
    from airwright.cli.told import string_lines
    from airwright.plan.answers.lift import lift_answer
    from airwright.plan.answers.string import string_answer
    from airwright.units import LENGTH, SPEED, TEMPERATURE

    shop = _shop(studio, units)
    air = _read("--warmth", warmth, TEMPERATURE)
    place = _read("--altitude", altitude, LENGTH)
    around = _around(workshop_c=air, peak_c=air, altitude_m=place, workshop_altitude_m=place)
    with _refusing(shop.words):
        row, made = _balloon(balloon, shop)
        one = lift_answer(row, made, 1, 0.0, 0.0, shop.catalog, around, shop.studio.helium)
        answer = string_answer(
            _read("--span", span, LENGTH),
            _read("--length", length, LENGTH),
            count,
            one.net_lift_kg,
            one.made_m,
            breeze_m_s=_read("--breeze", breeze, SPEED),
            friction=shop.studio.care.friction if friction is None else friction,
        )
    _tell(answer, string_lines(answer, shop.words), as_json)


def room(
    volume: Annotated[str, typer.Argument(metavar="ROOM", help='Air in it: "40 m3".')],
    gas: Annotated[
        str | None, typer.Option("--gas", help="Helium let out, at one atmosphere.")
    ] = None,
    water: Annotated[
        str | None, typer.Option("--cylinder", help="Or the water volume of a cylinder.")
    ] = None,
    reads: Annotated[
        str, typer.Option("--reads", help="What that cylinder's dial shows.")
    ] = "200 bar gauge",
    airing: Annotated[
        float, typer.Option("--airing", help="Fresh air an hour over the room's volume.")
    ] = 5.0,
    units: Units = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """What is left to breathe when a cylinder empties into a closed room or van."""
    from airwright.cli.told import room_lines
    from airwright.plan.answers.cylinder import cylinder_answer
    from airwright.plan.answers.room import room_answer
    from airwright.units import VOLUME

    shop = _shop(studio, units)
    if (gas is None) == (water is None):
        mend = 'Say --gas "9 m3", or --cylinder "50 L" with what its dial reads.'
        common.usage_error("How much helium is let out?", mend)
    space = _read("ROOM", volume, VOLUME)
    with _refusing(shop.words):
        if gas is not None:
            out = _read("--gas", gas, VOLUME)
        else:
            pressure, reference = _pressure("--reads", reads)
            out = cylinder_answer(
                _read("--cylinder", str(water), VOLUME), pressure, reference
            ).contents_m3
        answer = room_answer(out, space, airing)
    _tell(answer, room_lines(answer, shop.words), as_json)


def fill(
    balloon: Made,
    into: Annotated[
        str | None, typer.Option("--into", help='What holds them: "2 m3" when bulging full.')
    ] = None,
    narrowest: Annotated[
        str | None, typer.Option("--narrowest", help="Its least inner width, if it is narrow.")
    ] = None,
    count: Annotated[
        int | None, typer.Option("--count", min=1, max=1_000_000, help="Or how many must go in.")
    ] = None,
    units: Units = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """How many balloons fill a net, a bag or a van, or how large one must be."""
    from airwright.cli.told import fill_lines
    from airwright.plan.answers.fill import fill_answer
    from airwright.units import LENGTH, VOLUME

    shop = _shop(studio, units)
    if into is None and count is None:
        mend = 'Say how large it is, --into "2 m3", or how many go in, --count 500.'
        common.usage_error("Fill what, or with how many?", mend)
    with _refusing(shop.words):
        row, made = _balloon(balloon, shop)
        answer = fill_answer(
            row,
            made,
            shop.catalog,
            _around(),
            container_m3=None if into is None else _read("--into", into, VOLUME),
            narrowest_m=None if narrowest is None else _read("--narrowest", narrowest, LENGTH),
            wanted=count,
        )
    _tell(answer, fill_lines(answer, shop.words), as_json)


def fresh(
    place: Annotated[str, typer.Argument(help="indoors, shade or sun.")],
    hours: Annotated[str, typer.Option("--hours", help="How long they are there.")] = "8 h",
    warmth: Annotated[str, typer.Option("--warmth", help="Mean temperature there.")] = "22 C",
    ahead: Annotated[
        str, typer.Option("--ahead", help="Filled this long before, in the workshop.")
    ] = "16 h",
    units: Units = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """How long air-filled latex looks fresh indoors, in the shade and in the sun."""
    from airwright.cli.told import fresh_lines
    from airwright.plan.answers.fresh import fresh_answer
    from airwright.units import DURATION, TEMPERATURE

    shop = _shop(studio, units)
    with _refusing(shop.words):
        answer = fresh_answer(
            place,
            _read("--warmth", warmth, TEMPERATURE),
            _read("--hours", hours, DURATION),
            _read("--ahead", ahead, DURATION),
        )
    _tell(answer, fresh_lines(answer, shop.words), as_json)
