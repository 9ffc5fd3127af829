"""What the workshop works out, from forms to values its pages show."""

from __future__ import annotations

import base64
import datetime as dt
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Final, Literal

import tomlkit

from airwright.catalog import Balloon, UnknownName, own_font
from airwright.decor.assembly import Shade
from airwright.desk.editing.edits import EditError
from airwright.desk.editing.tables import document_of
from airwright.desk.studio_changes import checked
from airwright.desk.workshop.contexts import LetteringShown, MosaicShown, ShadeCount
from airwright.job.cluster import Cluster, Inflated, NotationError
from airwright.job.studio import Studio
from airwright.job.studio_reading import read_studio
from airwright.physics.errors import PhysicsError
from airwright.plan.answers.mix import MixAnswer, mix_answer
from airwright.units import LENGTH, UnitError, parse, show

NEAR_M: Final = 3.0
FAR_M: Final = 10.0
"""Distances a mosaic is shown from [m]."""

AHEAD: Final = dt.timedelta(days=28)
"""A mosaic is priced as for a day so far ahead."""

NARROWEST_M: Final = 0.5
WIDEST_M: Final = 60.0
CELL_PX: Final = 36
MOST_PX: Final = 1200
SMALLEST_CAP_MM: Final = 3.0
LARGEST_CAP_MM: Final = 1500.0
FITTED: Final = 0.8
"""Share of the balloon's width that a line fills where no height is asked for."""


@contextmanager
def refusing() -> Iterator[None]:
    """Whatever cannot be read or reckoned, as an `EditError`."""
    from airwright.decor.glyphs import FontRefused
    from airwright.pictures.lettering import LetteringRefused
    from airwright.pictures.mosaic import ImageRefused
    from airwright.plan.mosaic_job import MosaicRefused
    from airwright.plan.planning import JobHasErrors

    try:
        yield
    except (NotationError, UnitError, FontRefused, LetteringRefused, ImageRefused,
            MosaicRefused) as problem:  # fmt: skip
        raise EditError(str(problem.what), str(problem.mend)) from problem
    except UnknownName as problem:
        near = f'Did you mean "{problem.near[0]}"?' if problem.near else "Take a size in stock."
        raise EditError(f'There is no balloon "{problem.name[:40]}".', near) from problem
    except PhysicsError as problem:
        raise EditError(str(problem), "Write it another way.") from problem
    except JobHasErrors as problem:
        first = problem.findings[0]
        raise EditError(first.what, first.mend) from problem


def mixed(studio: Studio, colour: str, size: str) -> MixAnswer:
    """The nearest one or two balloons to a colour. Raises EditError."""
    from airwright.decor.double import hiding_of

    with refusing():
        row, made = _balloon(studio, size)
        catalog = studio.catalog()
        shelf = [Shade(s.name, s.colour.lower(), s.finish) for s in catalog.shades.values()]
        return mix_answer(colour, row, made, shelf, hiding=hiding_of(studio.trials, catalog))


def with_trial(text: str, given: Mapping[str, str]) -> str:
    """The studio file with one more trial. Raises EditError."""
    document = document_of(text)
    if "trials" not in document:
        document["trials"] = tomlkit.aot()
    row = tomlkit.table()
    for name in ("outside", "inside", "balloon", "colour"):
        row[name] = given[name]
    document["trials"].append(row)
    text = checked(tomlkit.dumps(document))
    studio = read_studio(text).studio
    assert studio is not None
    with refusing():
        _balloon(studio, given["balloon"])
    return text


def without_trial(text: str, index: int) -> str:
    """The studio file without one trial. Raises EditError."""
    document = document_of(text)
    rows = document.get("trials", [])
    if not 0 <= index < len(rows):
        raise EditError("This trial is not there any more.", "Load the page again.")
    del rows[index]
    if len(rows) == 0:
        del document["trials"]
    return checked(tomlkit.dumps(document))


def laid_out(studio: Studio, typed: Mapping[str, str], font: bytes | None) -> LetteringShown:
    """A line of lettering for a balloon. Raises EditError."""
    from airwright.decor.context import stock_of
    from airwright.pictures.lettering import (
        dxf_file,
        lay_out,
        letters_of,
        pdf_page,
        placing_file,
        read_font,
        sheet_of,
        svg_file,
    )

    with refusing():
        row, made = _balloon(studio, typed["balloon"])
        radius_mm = 500 * stock_of(row, made).inflated_m
        opened = read_font(font or own_font("serif"))
        height = typed["height"]
        if height:
            cap_mm = 1000 * parse(height, LENGTH)
        else:
            line = letters_of(typed["text"], opened, 1.0)
            wide = line[-1].shape.bounds[2] - line[0].shape.bounds[0]
            cap_mm = min(radius_mm / 4, FITTED * 2 * radius_mm / wide)
        if not SMALLEST_CAP_MM <= cap_mm <= LARGEST_CAP_MM:
            raise EditError("Capitals so high cannot be cut.", "Say 3 mm to 1.5 m.")
        laid = lay_out(letters_of(typed["text"], opened, cap_mm), cap_mm, radius_mm)
        sheet = sheet_of(laid.pieces, mirrored=typed["mirror"] == "yes")
        files = (
            ("cut.svg", "image/svg+xml", svg_file(sheet)),
            ("cut.dxf", "application/dxf", dxf_file(sheet)),
            ("cut.pdf", "application/pdf", pdf_page(sheet)),
            ("placing.svg", "image/svg+xml", placing_file(laid)),
        )
    units = studio.studio.units

    def told(mm: float) -> str:
        return show(mm / 1000, LENGTH, units)

    return LetteringShown(
        text=laid.text,
        width=told(laid.width_mm),
        capitals=told(laid.cap_mm),
        limit=told(laid.limit_mm),
        pieces=len(laid.pieces),
        reads_easily=show(laid.reads_easily_m, LENGTH, units),
        reads_to=show(laid.reads_to_m, LENGTH, units),
        preview=address("image/svg+xml", placing_file(laid)),
        files=tuple((name, address(kind, data)) for name, kind, data in files),
    )


def mosaic(
    studio: Studio, typed: Mapping[str, str], image: bytes, title: str, today: dt.date
) -> MosaicShown:
    """A picture as a wall. Raises EditError."""
    from airwright.job.writing import write_job
    from airwright.pictures.mosaic import png, read_image, seen_from, wall_image
    from airwright.plan.mosaic_job import Wish, mosaic_job, price_of

    with refusing():
        width = parse(typed["width"], LENGTH)
        if not NARROWEST_M <= width <= WIDEST_M:
            raise EditError(f'"{typed["width"][:20]}" is no width for a wall.', "Say 2 to 200 ft.")
        shades = {
            row.name: row.colour.lower()
            for row in studio.catalog().shades.values()
            if row.finish in ("matte", "pearl")
        }
        style: Literal["smooth", "flat"] = "flat" if typed["style"] == "flat" else "smooth"
        most = typed["most"]
        if most and not (most.isdecimal() and 2 <= int(most) <= 60):
            raise EditError(f'"{most[:10]}" is no number of shades.', "Say 2 to 60.")
        wish = Wish(
            width_m=width,
            cluster=_cluster(studio, typed["cluster"]),
            names=tuple(shades),
            shades=tuple(shades.values()),
            most=int(most) if most else None,
            style=style,
        )
        made = mosaic_job(read_image(image), wish, studio, title=title, date=today + AHEAD)
        price, hours, currency = price_of(made.job, studio, today)
    cells, colours = made.mosaic.cells, made.mosaic.colours
    cell_px = max(3, min(CELL_PX, MOST_PX // max(cells.shape)))
    return MosaicShown(
        wide=cells.shape[1],
        tall=cells.shape[0],
        counts=tuple(
            ShadeCount(name, shades[name], int(count))
            for name, count in zip(made.names, made.mosaic.counts, strict=True)
        ),
        wall=address("image/png", png(wall_image(cells, colours, cell_px))),
        from_near=address("image/png", png(seen_from(cells, colours, made.cell_m, NEAR_M))),
        from_far=address("image/png", png(seen_from(cells, colours, made.cell_m, FAR_M))),
        mean_difference=made.mosaic.mean_difference,
        nearest_difference=made.mosaic.nearest_difference,
        hours=hours,
        price=price,
        currency=currency,
        job=write_job(made.job),
    )


def address(kind: str, data: bytes) -> str:
    """A file as an address that holds it whole."""
    return f"data:{kind};base64,{base64.b64encode(data).decode()}"


def _balloon(studio: Studio, text: str) -> tuple[Balloon, Inflated]:
    from airwright.plan.answers.base import require_latex

    made = Inflated.parse(text)
    row = studio.catalog().balloon(made.size)
    require_latex(row)
    return row, made


def _cluster(studio: Studio, text: str) -> Cluster:
    made = Cluster.parse(text)
    sizes = {studio.catalog().balloon(one.size).size for one in made.slots}
    if made.count not in (2, 4) or len(sizes) != 1:
        raise EditError(f'"{text[:40]}" makes no even wall.', 'Say like "4 x 11in @ 10in".')
    return made
