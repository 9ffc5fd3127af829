"""A mosaic as a job: the wall piece whose painted picture it is."""

from __future__ import annotations

import datetime as dt
import string
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from airwright.decor import engine
from airwright.decor.assembly import Floats
from airwright.decor.mosaic import Cells, Choice, Mosaic, Style, averaged, choose, laid, palette
from airwright.decor.pieces.wall import WallSpec, grid_of
from airwright.job.cluster import Cluster
from airwright.job.models import Job, JobHead
from airwright.job.studio import Studio
from airwright.language import Text, message

SIGNS: Final = string.ascii_letters + string.digits
"""One sign a shade in the wall's picture."""

MOST_SHADES: Final = len(SIGNS)
MOST_CELLS: Final = 60_000


class MosaicRefused(Exception):
    """A mosaic that cannot be laid: what is wrong and how to cure it."""

    def __init__(self, what: Text, mend: Text) -> None:
        super().__init__(str(what))
        self.what, self.mend = what, mend


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked for.

    Attributes:
        width_m: of the wall [m].
        cluster: a duplet or quad of equal round balloons.
        names, shades: what may be used, name and "#rrggbb" each.
        most: shades to use at the most; None: all that help.
        style: "smooth" or "flat".
        outlines: whether thin lines are kept in a flat one.
    """

    width_m: float
    cluster: Cluster
    names: tuple[str, ...]
    shades: tuple[str, ...]
    most: int | None = None
    style: Style = "smooth"
    outlines: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class MosaicJob:
    """The mosaic, its shades and the job that builds it.

    Attributes:
        mosaic: what was laid, over the shades used.
        names: of the shades used, in the order of `mosaic.colours`.
        choice: how the shades were chosen, None where all were taken.
        cell_m: across one balloon [m].
        job: a job with the one wall.
    """

    mosaic: Mosaic
    names: tuple[str, ...]
    choice: Choice | None
    cell_m: float
    job: Job


def mosaic_job(
    picture: Floats, wish: Wish, studio: Studio, *, title: str, date: dt.date
) -> MosaicJob:
    """Lay a picture (H, W, 3 linear light) as wide as wished, as high as its sides ask.

    Raises:
        MosaicRefused: no shades, too many cells, or a wall that cannot be built.
    """
    if not wish.shades:
        raise MosaicRefused(
            message("There is no shade to lay it in."), message("Name at least two shades.")
        )
    height_m = wish.width_m * picture.shape[0] / picture.shape[1]
    tall, wide, cell_m = _grid(wish, height_m, studio)
    colours = palette(wish.shades)
    few, choice = _chosen(picture, colours, wish, tall, wide)
    made = laid(picture, colours[few], tall, wide, wish.style, outlines=wish.outlines)
    used = [k for k in range(len(few)) if made.counts[k]]
    renumbered = {old: new for new, old in enumerate(used)}
    cells = _renumbered(made.cells, renumbered)
    mosaic = Mosaic(
        cells,
        made.colours[used],
        made.counts[used],
        made.mean_difference,
        made.nearest_difference,
    )
    names = tuple(wish.names[few[k]] for k in used)
    hexes = tuple(wish.shades[few[k]] for k in used)
    job = _job(mosaic.cells, names, hexes, wish, height_m, title=title, date=date)
    return MosaicJob(mosaic, names, choice, cell_m, job)


def _grid(wish: Wish, height_m: float, studio: Studio) -> tuple[int, int, float]:
    probe = WallSpec(
        name="probe",
        kind="wall",
        width=wish.width_m,
        height=height_m,
        cluster=wish.cluster,
        shades=["probe"],
    )
    job = Job(job=_head("probe", dt.date(2000, 1, 1)), pieces=(probe,))
    ctx, _ = engine.context_for(job, studio.catalog(), studio)
    grid = grid_of(probe, ctx)
    if grid.wide * grid.tall > MOST_CELLS:
        raise MosaicRefused(
            message("This mosaic would take {count} balloons.", count=grid.wide * grid.tall),
            message(
                "Keep it below {most}: make it smaller, or of larger balloons.", most=MOST_CELLS
            ),
        )
    return grid.tall, grid.wide, grid.across_m


def _chosen(
    picture: Floats, colours: Floats, wish: Wish, tall: int, wide: int
) -> tuple[list[int], Choice | None]:
    most = min(wish.most or MOST_SHADES, MOST_SHADES)
    if most >= len(colours):
        return list(range(len(colours))), None
    choice = choose(averaged(picture, tall, wide), colours, most)
    return list(choice.chosen), choice


def _renumbered(cells: Cells, numbers: dict[int, int]) -> Cells:
    import numpy as np

    table = np.zeros(max(numbers) + 1, dtype=np.intp)
    for old, new in numbers.items():
        table[old] = new
    return np.asarray(table[cells], dtype=np.intp)


def _job(
    cells: Cells,
    names: Sequence[str],
    hexes: Sequence[str],
    wish: Wish,
    height_m: float,
    *,
    title: str,
    date: dt.date,
) -> Job:
    rows = ["".join(SIGNS[k] for k in row) for row in cells]
    wall = WallSpec(
        name=title[:80] or "Mosaic",
        kind="wall",
        width=wish.width_m,
        height=height_m,
        cluster=wish.cluster,
        shades=list(names),
        pattern="picture",
        picture=rows,
        legend={SIGNS[k]: name for k, name in enumerate(names)},
    )
    head = _head(title[:120] or "Mosaic", date)
    return Job(job=head, shades=dict(zip(names, hexes, strict=True)), pieces=(wall,))


def _head(title: str, date: dt.date) -> JobHead:
    """Usual hours: whoever takes the job over writes their own."""
    return JobHead(title=title, date=date, guests="10:00", strike="18:00")


def price_of(job: Job, studio: Studio, today: dt.date) -> tuple[Decimal, float, str]:
    """Price, hours and currency of a mosaic's job. Raises JobHasErrors."""
    from airwright.plan.planning import make_plan

    plan = make_plan(job, studio, today=today)
    return plan.money.price, plan.hours, plan.money.currency
