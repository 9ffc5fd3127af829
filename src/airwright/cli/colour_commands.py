"""Commands about colour: `mix`, a shade that no bag holds; `mosaic`, a picture in balloons."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from airwright.cli import common
from airwright.cli.asking import (
    Units,
    balloon_of,
    refusing,
    shades_in_stock,
    shop_of,
    tell_answer,
)
from airwright.cli.common import AsJson, StudioFile

if TYPE_CHECKING:
    from airwright.cli.answer_text import Line
    from airwright.decor.assembly import Shade
    from airwright.job.studio import Studio
    from airwright.plan.answers.mix import MixAnswer
    from airwright.plan.wording import Words


def register(app: typer.Typer) -> None:
    """Add these commands."""
    app.command()(mix)
    app.command()(mosaic)


def mix(
    colour: Annotated[str, typer.Argument(help='The color wanted, like "#c9b8d4".')],
    stock: Annotated[
        Path | None,
        typer.Option("--stock", help="Only shades of this stock file that are on the shelf."),
    ] = None,
    size: Annotated[
        str, typer.Option("--size", help="Size and diameter of the balloons.")
    ] = "11in @ 10in",
    units: Units = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """The nearest one or two balloons to a color: one alone, or one inside another."""
    from airwright.plan.answers.mix import mix_answer

    shop = shop_of(studio, units)
    with refusing(shop.words):
        row, made = balloon_of(size, shop)
        shelf = _shelf(shop.studio, row.size, stock)
        answer = mix_answer(colour, row, made, shelf, hiding=_tried(shop.studio))
    tell_answer(answer, _lines(answer, shop.words), as_json)


def mosaic(
    image: Annotated[Path, typer.Argument(help="The picture or logo: PNG, JPEG or WebP.")],
    width: Annotated[str, typer.Option("--width", help='Width of the wall, like "12 ft".')],
    out: Annotated[Path, typer.Option("--out", help="Folder for job, pictures and counts.")],
    shades: Annotated[
        Path | None,
        typer.Option("--shades", help="Shades of this job, studio or stock file."),
    ] = None,
    most: Annotated[
        int | None, typer.Option("--most", min=1, max=60, help="Shades to use at the most.")
    ] = None,
    cluster: Annotated[
        str, typer.Option("--cluster", help="A quad or duplet of the wall.")
    ] = "4 x 11in @ 10in",
    style: Annotated[
        str, typer.Option("--style", help="smooth (shades blend from afar) or flat (even areas).")
    ] = "smooth",
    outlines: Annotated[
        bool, typer.Option("--outlines/--no-outlines", help="Keep thin lines of a flat picture.")
    ] = True,
    crop: Annotated[
        str | None,
        typer.Option("--crop", help='Part of the image: "left top right bottom" in percent.'),
    ] = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """Lay a picture or logo as a balloon wall. A client's logo is theirs: ask before you use it."""
    from airwright.cli.mosaic_files import Asked, run_mosaic

    asked = Asked(image, width, shades, most, cluster, style, outlines, crop)
    house = common.load_studio(studio, Path("job.toml"))
    told = run_mosaic(asked, out, house)
    if as_json:
        common.put_json(told)
        return
    for line in told["lines"]:
        typer.echo(line)


def _shelf(studio: Studio, size: str, stock: Path | None) -> list[Shade]:
    from airwright.decor.assembly import Shade
    from airwright.operations.goods import same_name

    known = studio.catalog().shades
    if stock is not None:
        names = shades_in_stock(stock, size)
        known = {name: row for name, row in known.items() if same_name(name) in names}
    return [Shade(row.name, row.colour.lower(), row.finish) for row in known.values()]


def _tried(studio: Studio) -> dict[str, float]:
    from airwright.decor.double import hiding_of

    return hiding_of(studio.trials, studio.catalog())


def _lines(a: MixAnswer, words: Words) -> Iterator[Line]:
    from airwright.cli.answer_text import Line

    yield Line("head", f"{a.target} with {a.size} balloons made {words.sizes(a.made_m)}")
    for recipe in a.recipes:
        name = (
            recipe.outside if recipe.inside is None else f"{recipe.inside} inside {recipe.outside}"
        )
        yield Line(
            "row",
            name,
            f"{recipe.colour}  {recipe.difference:.1f} away, {recipe.sure}, "
            f"{recipe.price:.2f} a balloon",
        )
    best = a.recipes[0]
    if not a.near:
        yield Line("bad", "No near shade on the shelf.")
    elif best.difference <= 2.3:
        yield Line("good", "The first cannot be told apart from it at a glance.")
