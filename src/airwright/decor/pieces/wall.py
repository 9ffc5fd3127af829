"""Balloon walls: quads square to each other, or duplets in staggered rows, on frame panels.

     square (quads)            staggered (duplets)
     O O O O O O               O O O O O O
     O O O O O O                O O O O O O
     O O O O O O               O O O O O O
     O O O O O O                O O O O O O

Every balloon is one point of the picture that the wall shows.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.decor import checks
from airwright.decor.assembly import Assembly, Role, Stock
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.kinds import PaintError, PieceKind, Rows
from airwright.decor.parts.facing import cluster_word
from airwright.decor.parts.grid import ROW_RISE, Grid, Row, cells, places_in, settle_grid
from airwright.decor.parts.wall_frame import add_frame
from airwright.job.cluster import Cluster
from airwright.job.findings import Finding, error, has_errors, hint
from airwright.job.pieces import PieceSpec
from airwright.language import Text, message, sentences
from airwright.params import Param

LEAST_WIDE = 4
"""Balloons across the narrowest wall: two quads side by side."""

SIZE_OFF_M = 0.05
"""A wall this close to the size asked for is left as it is [m]."""

TOO_SMALL = 1.25
"""A wall that comes out so many times as large as asked for is another wall."""


class WallSpec(PieceSpec):
    """Keys of a wall."""

    kind: Annotated[Literal["wall"], Param(message("A flat wall of balloons on frame panels."))] = (
        "wall"
    )
    width: Annotated[float, Param(message("Left to right."), units.LENGTH, "2 ft", "200 ft")]
    height: Annotated[float, Param(message("Floor to top."), units.LENGTH, "2 ft", "40 ft")]
    cluster: Annotated[
        Cluster,
        Param(
            message("Four equal balloons stand square, two in staggered rows."),
            example="4 x 11in @ 10in",
        ),
    ]
    shades: Annotated[
        list[str],
        Param(
            message("Shades for the pattern; the first is the ground of a picture."),
            group=message("Color"),
            shades=True,
        ),
    ] = Field(min_length=1)
    pattern: Annotated[
        Literal["rows", "columns", "diagonal", "chequer", "scatter", "picture"],
        Param(message("How the shades run over the wall."), group=message("Color")),
    ] = "scatter"
    picture: Annotated[
        list[str],
        Param(
            message("Rows of signs from the top down, one sign a balloon."),
            example='["..##..", ".#..#."]',
            group=message("Color"),
        ),
    ] = Field(default_factory=list, max_length=2000)
    legend: Annotated[
        dict[str, str],
        Param(
            message("Which shade each sign of the picture stands for."),
            example='{ "#" = "coral" }',
            group=message("Color"),
            shades=True,
        ),
    ] = Field(default_factory=dict)
    seed: Annotated[
        int,
        Param(
            message("Another number scatters the shades another way."),
            low=0,
            high=999_999,
            rare=True,
        ),
    ] = 1


def grid_of(spec: WallSpec, ctx: Context) -> Grid:
    """The grid that comes closest to the width and height asked for."""
    across = ctx.stock(spec.cluster.slots[0]).inflated_m
    staggered = spec.cluster.count == 2
    wide, pitch = _along(across, staggered).fitted(spec.width)
    tall, rise = _up(across, staggered).fitted(spec.height)
    return Grid(wide, tall, pitch, rise, staggered, across)


def _along(across_m: float, staggered: bool) -> Row:
    """How balloons of a diameter [m] lie from left to right."""
    return Row(across_m, across_m, 2, 0.5 if staggered else 0.0, LEAST_WIDE)


def _up(across_m: float, staggered: bool) -> Row:
    """How they lie from the floor up."""
    if staggered:
        return Row(across_m, ROW_RISE * across_m, 1)
    return Row(across_m, across_m, 2)


def build(spec: WallSpec, ctx: Context) -> Assembly:
    """A wall standing on the floor, its balloons' middles in the plane y = 0."""
    draft = Draft(spec.name, spec.kind)
    grid = grid_of(spec, ctx)
    add_frame(draft, grid, ctx)
    stock = ctx.stock(spec.cluster.slots[0])
    neck = stock.inflated_m * ctx.balloon(spec.cluster.slots[0]).neck_ratio
    ties, offsets, axes, residual = settle_grid(grid, neck, ctx.pressure(spec.cluster.slots[0]))
    names = painted(spec, grid)
    rows: list[list[int]] = []
    for up in range(ties.shape[0]):
        made: list[int] = []
        for along in range(ties.shape[1]):
            made += draft.cluster(
                str(spec.cluster),
                ties[up, along] + offsets[up, along],
                axes[up, along],
                [stock] * spec.cluster.count,
                [ctx.shade(names[z][x]) for x, z in cells(grid, along, up)],
                ties[up, along],
                Role.BODY,
                layer=up,
            )
        rows.append(made)
    draft.layers = len(rows)
    draft.pitch_m = grid.rise_m * (1 if grid.staggered else 2)
    draft.doubt(residual)
    draft.work("stack cluster", ties.shape[0] * ties.shape[1])
    _steps(draft, spec, grid, rows, stock, ctx)
    return draft.finish()


# ---- colour -----------------------------------------------------------------------------------


def painted(spec: WallSpec, grid: Grid) -> list[list[str]]:
    """Shade names by row from the floor up, left to right."""
    names = spec.shades
    if spec.pattern == "picture":
        return _picture(spec, grid)
    if spec.pattern == "scatter":
        return _scattered(names, grid, spec.seed)
    return [
        [names[_place(spec.pattern, x, z) % len(names)] for x in range(grid.wide)]
        for z in range(grid.tall)
    ]


def _place(pattern: str, x: int, z: int) -> int:
    """Where column x and row z stand in the order of the shades."""
    if pattern == "rows":
        return z
    if pattern == "columns":
        return x
    return x + z if pattern == "diagonal" else x // 2 + z // 2


def _picture(spec: WallSpec, grid: Grid) -> list[list[str]]:
    """The picture in the middle of the wall, on the first shade."""
    rows = [[spec.shades[0]] * grid.wide for _ in range(grid.tall)]
    wide = max((len(row) for row in spec.picture), default=0)
    left = (grid.wide - wide) // 2
    top = grid.tall - 1 - (grid.tall - len(spec.picture)) // 2
    for down, line in enumerate(spec.picture):
        for along, sign in enumerate(line):
            if sign in spec.legend:
                rows[top - down][left + along] = spec.legend[sign]
    return rows


def _scattered(names: Sequence[str], grid: Grid, seed: int) -> list[list[str]]:
    """Equal shares at random, no balloon like the one to its left or below if it can be helped."""
    chance = np.random.default_rng(seed)
    left = dict.fromkeys(names, 0)
    for at in range(grid.balloons):
        left[names[at % len(names)]] += 1
    rows: list[list[str]] = []
    for z in range(grid.tall):
        row: list[str] = []
        for x in range(grid.wide):
            beside = {row[x - 1]} if x else set()
            beside |= {rows[z - 1][x]} if z else set()
            stock = [name for name, many in left.items() if many]
            fresh = [name for name in stock if name not in beside] or stock
            weights = np.array([left[name] for name in fresh], dtype=float)
            pick = fresh[int(chance.choice(len(fresh), p=weights / weights.sum()))]
            left[pick] -= 1
            row.append(pick)
        rows.append(row)
    return rows


# ---- steps -------------------------------------------------------------------------------------


def _steps(
    draft: Draft,
    spec: WallSpec,
    grid: Grid,
    rows: Sequence[Sequence[int]],
    stock: Stock,
    ctx: Context,
) -> None:
    word, across = cluster_word(spec.cluster), ctx.length(stock.inflated_m)
    how = (
        message("Lay the duplet level over a bar and twist it once round itself behind the bar.")
        if grid.staggered
        else message(
            "Push the middle of the quad through the panel, open it behind, and twist two "
            "balloons round the bar so that all four sit square."
        )
    )
    draft.step(
        message("Hang the bottom row"),
        sentences(
            message(
                "Measure every balloon to {across}: in a wall one odd balloon is seen.",
                across=across,
            ),
            how,
            message("Begin in the middle and work to both sides, following row 1 of the chart."),
        ),
        balloons=rows[0],
        measures={"inflated_m": stock.inflated_m},
    )
    if len(rows) > 1:
        draft.step(
            message("Go up to row {n}", n=len(rows)),
            sentences(
                message("Set each row off by half a balloon from the one below.")
                if grid.staggered
                else "",
                _pressed(grid, word),
                message("Check each row against the chart from a few steps away before you go on."),
            ),
            balloons=[at for row in rows[1:] for at in row],
        )


def _pressed(grid: Grid, word: Text) -> Text:
    """How far the rows are pressed: three round balloons close a gap, four leave a small hole."""
    if grid.staggered:
        return message(
            "Press each {cluster} down on the row below until no gap shows.", cluster=word
        )
    return sentences(
        message(
            "Press each {cluster} down on the row below until all balloons are flat against each "
            "other.",
            cluster=word,
        ),
        message(
            "Where four meet a small hole stays: a cloth in the wall's shade behind hides what is "
            "there."
        ),
    )


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: WallSpec, ctx: Context) -> int:
    """How many balloons it takes, exactly."""
    return grid_of(spec, ctx).balloons


def check(spec: WallSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = checks.cluster(spec.cluster, ctx, f"{place}.cluster")
    if spec.cluster.count not in (2, 4) or len(set(spec.cluster.slots)) > 1:
        what = message("A wall is tied of quads or duplets of equal balloons.")
        mend = message('Write it like "4 x 11in @ 10in" or "2 x 5in @ 4.5in".')
        found.append(error("no-wall-cluster", f"{place}.cluster", what, mend))
    found += checks.shades(spec.shades, ctx, f"{place}.shades")
    for sign, name in spec.legend.items():
        found += checks.shades([name], ctx, f"{place}.legend.{sign}")
    if spec.pattern == "picture" and not spec.picture:
        what = message("The pattern is a picture, but no picture is painted.")
        mend = message('Add picture = ["..##..", ".#..#."] and legend = {{ "#" = "coral" }}.')
        found.append(error("missing", f"{place}.picture", what, mend))
    if has_errors(found):
        return found
    grid = grid_of(spec, ctx)
    found += checks.too_many(grid.balloons, place) or _check_size(spec, grid, ctx, place)
    return found + (_check_picture(spec, grid, place) if spec.pattern == "picture" else [])


def _check_size(spec: WallSpec, grid: Grid, ctx: Context, place: str) -> list[Finding]:
    """Whether whole clusters come near the size asked for."""
    found = []
    balloons = (grid.across_m, grid.staggered)
    wishes = (("width", spec.width, _along(*balloons)), ("height", spec.height, _up(*balloons)))
    for (key, asked, row), got in zip(wishes, grid.size, strict=True):
        if abs(asked - got) <= SIZE_OFF_M:
            continue
        what = message(
            "Whole clusters come to {got}, not {asked}.",
            got=ctx.length(got),
            asked=ctx.length(asked),
        )
        if got > TOO_SMALL * asked:
            mend = message(
                'Make its {key} "{got}" at least, or take smaller balloons.',
                key=key,
                got=ctx.length(got),
            )
            found.append(error("does-not-fit", f"{place}.{key}", what, mend))
            continue
        mend = _nearest(key, [ctx.length(size) for _, size in row.around(asked)])
        better = grid.across_m * asked / got
        if better <= checks.TIGHT * ctx.stock(spec.cluster.slots[0]).nominal_m:
            sized = message("Or size the balloons to {better}.", better=ctx.length(better))
            mend = sentences(mend, sized)
        found.append(hint("size-in-whole-clusters", f"{place}.{key}", what, mend))
    return found


def _nearest(key: str, sizes: Sequence[str]) -> Text:
    """The one or two sizes that whole clusters can make next to the one asked for."""
    if len(sizes) == 1:
        return message('Make its {key} "{size}", which is nearest.', key=key, size=sizes[0])
    return message(
        'Make its {key} "{less}" or "{more}": these are nearest.',
        key=key,
        less=sizes[0],
        more=sizes[1],
    )


def _check_picture(spec: WallSpec, grid: Grid, place: str) -> list[Finding]:
    """Whether the picture fits the wall and every sign has its shade."""
    found = []
    wide = max(len(row) for row in spec.picture)
    if wide > grid.wide or len(spec.picture) > grid.tall:
        what = message(
            "The picture is {wide} by {picture} balloons, the wall {wide_2} by {tall}.",
            wide=wide,
            picture=len(spec.picture),
            wide_2=grid.wide,
            tall=grid.tall,
        )
        mend = message("Make the wall larger, the balloons smaller, or the picture coarser.")
        found.append(error("picture-too-large", f"{place}.picture", what, mend))
    unknown = sorted({sign for row in spec.picture for sign in row} - set(spec.legend) - {".", " "})
    if unknown:
        signs = ", ".join(f'"{sign}"' for sign in unknown[:8])
        what = message(
            "No shade is given for {signs}; dots and blanks show the ground.", signs=signs
        )
        mend = message(
            'Add legend = {{ "{unknown}" = "{shades}" }}.',
            unknown=unknown[0],
            shades=spec.shades[0],
        )
        found.append(error("no-legend", f"{place}.legend", what, mend))
    return found


def _mirrored(table: Mapping[str, Any]) -> dict[str, Any]:
    """The picture is read from the other side."""
    picture = table.get("picture")
    return {"picture": [row[::-1] for row in picture]} if picture else {}


SIGNS = "#o+x*=%@&$abcdefghijklmnpqrstuvwyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
"""Signs of a painted picture, in the order they are taken; a dot is the ground."""


def _painted(table: Mapping[str, Any], rows: Rows) -> dict[str, Any]:
    """A wall's balloons as its picture: one sign each, from the top down, and what they mean."""
    shades = table.get("shades") or [rows[0][0]]
    ground = str(shades[0])
    others = [name for name in dict.fromkeys(n for row in rows for n in row) if name != ground]
    if len(others) > len(SIGNS):
        raise PaintError(
            message("A picture of {count} shades has more shades than signs.", count=len(others)),
            message("Paint with {count} shades at the most.", count=len(SIGNS)),
        )
    sign = {ground: ".", **dict(zip(others, SIGNS, strict=False))}
    return {
        "pattern": "picture",
        "legend": {sign[name]: name for name in others},
        "picture": ["".join(sign[name] for name in row) for row in rows[::-1]],
    }


KIND = PieceKind(
    name="wall",
    summary=message("A flat wall of quads or duplets on frame panels, with a picture if you like."),
    spec=WallSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("width", "height"),
    painted=_painted,
    cells=lambda made: places_in(made.centre, made.radius),
    mirrored=_mirrored,
    example="""\
name    = "Photo wall"
kind    = "wall"
width   = "8 ft"
height  = "7 ft"
cluster = "4 x 5in @ 4.5in"
shades  = ["white"]
pattern = "picture"
legend  = { "#" = "coral", "o" = "gold" }
picture = [
  ".###...###.",
  "#####.#####",
  "###########",
  "####ooo####",
  ".###ooo###.",
  "..#######..",
  "...#####...",
  "....###....",
  ".....#.....",
]
""",
)
