"""The work behind `airwright mosaic`: what was asked, checked; the files, written."""

from __future__ import annotations

import csv
import datetime as dt
import io
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import typer

from airwright.cli import common

if TYPE_CHECKING:
    from airwright.job.cluster import Cluster
    from airwright.job.studio import Studio
    from airwright.pictures.mosaic import Crop
    from airwright.plan.mosaic_job import MosaicJob, Wish

DISTANCES_M: Final = (3.0, 10.0)
CELL_PX: Final = 24
AHEAD: Final = dt.timedelta(days=28)
"""A mosaic without a date is priced as for a day so far ahead."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The command's arguments, as written."""

    image: Path
    width: str
    shades: Path | None
    most: int | None
    cluster: str
    style: str
    outlines: bool
    crop: str | None


def run_mosaic(asked: Asked, out: Path, studio: Studio) -> dict[str, Any]:
    """Lay it, write its files, tell what it comes to; ends with exit code 1 or 2."""
    from airwright.pictures.mosaic import ImageRefused, read_image
    from airwright.plan.mosaic_job import MosaicRefused, mosaic_job

    wish = _wish(asked, studio)
    try:
        picture = read_image(asked.image, _crop(asked.crop))
        made = mosaic_job(
            picture, wish, studio, title=asked.image.stem, date=common.today() + AHEAD
        )
    except (ImageRefused, MosaicRefused) as problem:
        common.usage_error(str(problem.what), str(problem.mend))
    told = _told(made, studio)
    try:
        out.mkdir(parents=True, exist_ok=True)
        told["files"] = _write(made, out)
    except OSError as problem:
        common.usage_error(
            f"{out} cannot be written ({problem.strerror}).", "Choose another folder with --out."
        )
    told["lines"] = _lines(told, out)
    return told


def _wish(asked: Asked, studio: Studio) -> Wish:
    from airwright.cli.asking import read
    from airwright.plan.mosaic_job import Wish
    from airwright.units import LENGTH

    width = read("--width", asked.width, LENGTH)
    if not 0.5 <= width <= 60.0:
        common.usage_error(
            f'--width: "{asked.width}" is no width for a wall.', "Say 2 ft to 200 ft."
        )
    if asked.style not in ("smooth", "flat"):
        common.usage_error(f'--style: "{asked.style[:20]}" is no style.', "Say smooth or flat.")
    names, colours = _shades(asked.shades, studio)
    return Wish(
        width_m=width,
        cluster=_cluster(asked.cluster, studio),
        names=names,
        shades=colours,
        most=asked.most,
        style="smooth" if asked.style == "smooth" else "flat",
        outlines=asked.outlines,
    )


def _cluster(text: str, studio: Studio) -> Cluster:
    from airwright.catalog import UnknownName
    from airwright.job.cluster import Cluster, NotationError

    try:
        made = Cluster.parse(text)
        rows = {studio.catalog().balloon(one.size).size for one in made.slots}
    except NotationError as problem:
        common.usage_error(f"--cluster: {problem.what}", str(problem.mend))
    except UnknownName as problem:
        common.usage_error(f"--cluster: {problem}", "Use a size of the catalog.")
    if made.count not in (2, 4) or len(rows) != 1:
        common.usage_error(
            f'--cluster: "{text[:40]}" makes no even wall.', 'Say like "4 x 11in @ 10in".'
        )
    return made


def _crop(text: str | None) -> Crop | None:
    from airwright.pictures.mosaic import Crop

    if text is None:
        return None
    try:
        left, top, right, bottom = (
            float(part) / 100 for part in text.replace("%", " ").replace(",", " ").split()
        )
    except ValueError:
        common.usage_error(f'--crop: "{text[:40]}" is no part.', 'Say like "10 0 90 75".')
    if not (0 <= left < right <= 1 and 0 <= top < bottom <= 1):
        common.usage_error(
            f'--crop: "{text[:40]}" leaves nothing.', "Say left, top, right, bottom, 0 to 100."
        )
    return Crop(left, top, right, bottom)


def _shades(path: Path | None, studio: Studio) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Names and colours that may be used: matte and pearl, since a mirror shows the room."""
    known = _even(studio)
    if path is not None:
        known = _shades_of_file(path, known)
    if len(known) < 2:
        common.usage_error(
            "A mosaic takes two shades at the least.", "Name a file with more, or leave it out."
        )
    return tuple(name for name, _ in known), tuple(colour for _, colour in known)


def _even(studio: Studio) -> list[tuple[str, str]]:
    """Matte and pearl shades of a studio."""
    rows = studio.catalog().shades.values()
    return [(row.name, row.colour) for row in rows if row.finish in ("matte", "pearl")]


def _shades_of_file(path: Path, known: list[tuple[str, str]]) -> list[tuple[str, str]]:
    from airwright.job.reading import read_toml

    data = common.read_bytes(path, "Name a job, studio or stock file.")
    _, raw, trouble = read_toml(data)
    if trouble is not None:
        common.tell((trouble,), path)
        raise typer.Exit(common.EXIT_ERRORS)
    form = raw.get("format")
    if form == "airwright-stock/1":
        from airwright.cli.asking import shades_in_stock
        from airwright.operations.goods import same_name

        names = shades_in_stock(path, "")
        return [row for row in known if same_name(row[0]) in names]
    if form == "airwright-studio/1":
        return _even(common.load_studio(path, path))
    if form == "airwright-job/1":
        reading = common.load_job(path)
        if reading.job is None:
            common.tell(reading.findings, path)
            raise typer.Exit(common.EXIT_ERRORS)
        return _of_job(reading.job.shades, dict(known))
    common.usage_error(
        f"{path.name} is no job, studio or stock file of ours.",
        'Its first line is format = "airwright-job/1", "airwright-studio/1" or '
        '"airwright-stock/1".',
    )


def _of_job(shades: dict[str, Any], stock: dict[str, str]) -> list[tuple[str, str]]:
    from airwright.job import DoubleSpec

    found = []
    for name, value in shades.items():
        if isinstance(value, DoubleSpec):
            continue  # two balloons a cell: dear, and the eye mixes shades from afar anyway
        colour = value if isinstance(value, str) else value.colour
        found.append((name, stock.get(colour, colour)))
    return [(name, colour) for name, colour in found if colour.startswith("#")]


def _told(made: MosaicJob, studio: Studio) -> dict[str, Any]:
    from airwright.plan.mosaic_job import price_of
    from airwright.plan.planning import JobHasErrors

    try:
        price, hours, currency = price_of(made.job, studio, common.today())
    except JobHasErrors as problem:
        common.tell(problem.findings, Path("mosaic"))
        raise typer.Exit(common.EXIT_ERRORS) from None
    mosaic, choice = made.mosaic, made.choice
    tall, wide = mosaic.cells.shape
    return {
        "format": "airwright-mosaic/1",
        "wide": wide,
        "tall": tall,
        "balloons": wide * tall,
        "shades": [
            {"shade": name, "colour": made.job.shades[name], "count": int(count)}
            for name, count in zip(made.names, mosaic.counts, strict=True)
        ],
        "mean_difference": round(mosaic.mean_difference, 3),
        "nearest_difference": round(mosaic.nearest_difference, 3),
        "choice": None
        if choice is None
        else {
            "error": round(choice.error, 4),
            "bound": round(choice.bound, 4),
            "proven": choice.proven,
        },
        "price": f"{price:.2f}",
        "currency": currency,
        "hours": round(hours, 2),
    }


def _write(made: MosaicJob, out: Path) -> list[str]:
    from airwright.job.writing import write_atomically, write_job
    from airwright.pictures.mosaic import png, seen_from, wall_image

    mosaic = made.mosaic
    table = io.StringIO()
    rows = csv.writer(table, lineterminator="\n")
    rows.writerow(["shade", "colour", "count"])
    for name, count in zip(made.names, mosaic.counts, strict=True):
        rows.writerow([name, made.job.shades[name], int(count)])
    files = {
        "mosaic.toml": write_job(made.job).encode(),
        "counts.csv": table.getvalue().encode(),
        "mosaic.png": png(wall_image(mosaic.cells, mosaic.colours, _cell_px(mosaic.cells.shape))),
    }
    for distance in DISTANCES_M:
        light = seen_from(mosaic.cells, mosaic.colours, made.cell_m, distance)
        files[f"from-{distance:g}-m.png"] = png(light)
    for name, data in files.items():
        write_atomically(out / name, data)
    return list(files)


def _cell_px(shape: tuple[int, ...]) -> int:
    return max(4, min(CELL_PX, 3000 // max(shape)))


def _lines(told: dict[str, Any], out: Path) -> list[str]:
    lines = [f"{told['wide']} by {told['tall']} balloons, {told['balloons']:,} in all"]
    widest = max(len(row["shade"]) for row in told["shades"])
    lines += [
        f"  {row['shade']:<{widest}}  {row['colour']}  {row['count']:>6,}" for row in told["shades"]
    ]
    lines.append(
        f"Mean difference from afar {told['mean_difference']:.1f} (CIEDE2000); the plain nearest "
        f"shade would be {told['nearest_difference']:.1f} off."
    )
    if told["choice"] is not None:
        sure = "proven best" if told["choice"]["proven"] else "the best found in time"
        lines.append(f"The choice of shades is {sure}.")
    lines.append(f"{told['currency']} {told['price']}, {told['hours']:.1f} hours of work")
    lines.append(f"Wrote {', '.join(told['files'])} into {out}.")
    return lines
