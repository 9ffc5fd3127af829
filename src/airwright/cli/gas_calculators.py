"""More such commands: cylinder, string, room, fill, fresh.

Options are read as text with units; what cannot be read or reckoned ends in a message with its
cure and exit code 2. The reckoning is in `airwright.plan.answers`, the words in `told`.
"""

from __future__ import annotations

from typing import Annotated

import typer

from airwright.cli import common
from airwright.cli.asking import (
    Altitude,
    Made,
    Units,
    air_at,
    around_of,
    balloon_of,
    lift_of_one,
    pressure_of,
    read,
    refusing,
    shop_of,
    tell_answer,
)
from airwright.cli.common import AsJson, StudioFile


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
    from airwright.cli.answer_text import cylinder_lines
    from airwright.plan.answers.cylinder import cylinder_answer
    from airwright.units import TEMPERATURE, VOLUME

    shop = shop_of(studio, units)
    pressure, reference = pressure_of("--reads", reads)
    rated = None
    if stamped is not None:
        rated, same = pressure_of("--stamped", stamped)
        if same != reference:
            mend = f"Give both as {reference}."
            common.usage_error("--reads and --stamped mix gauge and absolute.", mend)
    if count is not None and balloon is None:
        common.usage_error("--count of what?", 'Add the balloon: --for "11in @ 10in".')
    if waste is not None and not 0 <= waste <= 1:
        common.usage_error(f"--waste: {waste:g} is no share.", "Write 0.05 for 5 %.")
    celsius = read("--warmth", warmth, TEMPERATURE)
    with refusing(shop.words):
        each = None if balloon is None else lift_of_one(balloon, shop, around_of()).gas_m3
        answer = cylinder_answer(
            read("--water", water, VOLUME),
            pressure,
            reference,
            celsius,
            rated_pa=rated,
            each_m3=each,
            wanted=count,
            waste=shop.studio.helium.waste if waste is None else waste,
        )
    tell_answer(answer, cylinder_lines(answer, balloon, shop.words), as_json)


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
    from airwright.cli.answer_text import string_lines
    from airwright.plan.answers.string import string_answer
    from airwright.units import LENGTH, SPEED

    shop = shop_of(studio, units)
    around = air_at(warmth, altitude)
    with refusing(shop.words):
        one = lift_of_one(balloon, shop, around)
        answer = string_answer(
            read("--span", span, LENGTH),
            read("--length", length, LENGTH),
            count,
            one.net_lift_kg,
            one.made_m,
            breeze_m_s=read("--breeze", breeze, SPEED),
            friction=shop.studio.care.friction if friction is None else friction,
        )
    tell_answer(answer, string_lines(answer, shop.words), as_json)


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
    from airwright.cli.answer_text import room_lines
    from airwright.plan.answers.cylinder import cylinder_answer
    from airwright.plan.answers.room import room_answer
    from airwright.units import VOLUME

    shop = shop_of(studio, units)
    if (gas is None) == (water is None):
        mend = 'Say --gas "9 m3", or --cylinder "50 L" with what its dial reads.'
        common.usage_error("How much helium is let out?", mend)
    space = read("ROOM", volume, VOLUME)
    with refusing(shop.words):
        if gas is not None:
            out = read("--gas", gas, VOLUME)
        else:
            pressure, reference = pressure_of("--reads", reads)
            out = cylinder_answer(
                read("--cylinder", str(water), VOLUME), pressure, reference
            ).contents_m3
        answer = room_answer(out, space, airing)
    tell_answer(answer, room_lines(answer, shop.words), as_json)


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
    from airwright.cli.answer_text import fill_lines
    from airwright.plan.answers.fill import fill_answer
    from airwright.units import LENGTH, VOLUME

    shop = shop_of(studio, units)
    if into is None and count is None:
        mend = 'Say how large it is, --into "2 m3", or how many go in, --count 500.'
        common.usage_error("Fill what, or with how many?", mend)
    with refusing(shop.words):
        row, made = balloon_of(balloon, shop)
        answer = fill_answer(
            row,
            made,
            shop.catalog,
            around_of(),
            container_m3=None if into is None else read("--into", into, VOLUME),
            narrowest_m=None if narrowest is None else read("--narrowest", narrowest, LENGTH),
            wanted=count,
        )
    tell_answer(answer, fill_lines(answer, shop.words), as_json)


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
    from airwright.cli.answer_text import fresh_lines
    from airwright.plan.answers.fresh import fresh_answer
    from airwright.units import DURATION, TEMPERATURE

    shop = shop_of(studio, units)
    with refusing(shop.words):
        answer = fresh_answer(
            place,
            read("--warmth", warmth, TEMPERATURE),
            read("--hours", hours, DURATION),
            read("--ahead", ahead, DURATION),
        )
    tell_answer(answer, fresh_lines(answer, shop.words), as_json)
