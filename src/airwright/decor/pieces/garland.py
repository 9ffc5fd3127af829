"""Organic garlands: a size mix tied along a path in space, accents tucked in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.decor import checks
from airwright.decor.armatures import (
    ArmatureError,
    Catenary,
    Line,
    Moved,
    chain,
    hoop,
    meets_itself,
    polyline,
    staircase,
)
from airwright.decor.assembly import Assembly, HardwarePlaced
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.kinds import PieceKind, grown, points_grown, points_mirrored
from airwright.decor.packing import Rail
from airwright.decor.parts.accent_step import add_accent_step, from_list
from airwright.decor.parts.hanging import clear_line, hook, samples
from airwright.decor.parts.mix import (
    Organic,
    add_organic,
    check_organic,
    fill_line,
    mix_counts,
    too_short,
    used,
)
from airwright.decor.parts.organic import JUMBO_M, share_out
from airwright.job.findings import Finding, caution, error, has_errors
from airwright.job.pieces import Table
from airwright.language import counted, listing, message, sentences
from airwright.params import Param

HOOK_EVERY_M = 0.9
"""Most line between two hooks (common practice: an arm's length, closer under jumbos)."""

SPARE_LINE = 1.1
"""Line cut for a garland, of its length: knots, loops and ends."""

LEVEL_M = 0.02
"""Hooks whose heights differ by less are level [m]."""

HOOP_FOOT_M = 0.15
"""The lowest point of a hoop's line above the floor, on its foot plate."""

ON_FLOOR = 0.9
LARGE_ON_FLOOR = 0.75
"""Height of a line laid on the floor, in inflated diameters of the commonest and of the largest
size: the commonest touch the floor, the largest lift the line (jumbos lie beside it)."""

APART = 1.3
"""Least distance of a path from itself, in inflated diameters of its commonest size."""

LEAST_DIAMETERS = 2.0
"""A path shorter than this many of its largest balloons is a cluster, not a garland."""


class Point(Table):
    """A point the line passes through."""

    x: Annotated[
        float,
        Param(message("To the viewer's right of the middle."), units.LENGTH, "-200 ft", "200 ft"),
    ] = 0.0
    y: Annotated[
        float, Param(message("Away from the viewer."), units.LENGTH, "-200 ft", "200 ft")
    ] = 0.0
    z: Annotated[float, Param(message("Above the floor."), units.LENGTH, "0 ft", "60 ft")] = 0.0


class GarlandSpec(Organic):
    """Keys of a garland."""

    kind: Annotated[Literal["garland"], Param(message("An organic garland."))] = "garland"
    path: Annotated[
        Literal["straight", "swag", "half-hoop", "staircase", "polyline"],
        Param(message("The way its line takes.")),
    ] = "straight"
    fullness: Annotated[
        float | None,
        Param(
            message("Balloons a foot, all sizes: 6 thin, 8 usual, 10 full. In place of density."),
            low=3,
            high=20,
            group=message("Mix"),
        ),
    ] = None
    on: Annotated[
        Literal["hooks", "floor"], Param(message("Hung from hooks, or laid on the floor."))
    ] = "hooks"
    width: Annotated[
        float | None,
        Param(
            message("End to end; for a half-hoop the hoop's diameter."),
            units.LENGTH,
            "2 ft",
            "400 ft",
        ),
    ] = None
    height: Annotated[
        float,
        Param(
            message("Its ends (or the banister's lower end) above the floor."),
            units.LENGTH,
            "0 ft",
            "60 ft",
        ),
    ] = 2.1336
    sag: Annotated[
        float, Param(message("How far a swag hangs below its ends."), units.LENGTH, "1 in", "30 ft")
    ] = 0.45
    swags: Annotated[int, Param(message("How many swags side by side."), low=1, high=60)] = 1
    side: Annotated[
        Literal["left", "right"],
        Param(message("Which side of a hoop it climbs, seen from the front.")),
    ] = "left"
    cover: Annotated[
        float,
        Param(message("Share of the hoop it covers: 0.5 is half."), low=0.1, high=1, rare=True),
    ] = 0.5
    steps: Annotated[int | None, Param(message("Steps of the staircase."), low=1, high=200)] = None
    rise: Annotated[
        float, Param(message("Height of one step."), units.LENGTH, "3 in", "12 in", rare=True)
    ] = 0.175
    run: Annotated[
        float, Param(message("Depth of one tread."), units.LENGTH, "6 in", "24 in", rare=True)
    ] = 0.28
    points: Annotated[
        list[Point],
        Param(
            message("Points a polyline passes through."), example='[{ x = "-4 ft", z = "7 ft" }]'
        ),
    ] = Field(default_factory=list, max_length=200)


def line_of(spec: GarlandSpec, ctx: Context) -> Rail:
    """The curve the garland is tied along. Raises ArmatureError."""
    wide = spec.width or 0.0
    level = _floor_level(spec, ctx) if spec.on == "floor" else spec.height
    if spec.path == "half-hoop":
        return Moved(hoop(wide, spec.cover, spec.side), (0.0, 0.0, HOOP_FOOT_M))
    if spec.path == "staircase":
        flight = staircase(spec.steps or 0, spec.rise, spec.run)
        return Moved(flight, (-flight.end[0] / 2, 0.0, level))
    if spec.path == "polyline":
        return polyline([(p.x, p.y, level if spec.on == "floor" else p.z) for p in spec.points])
    if spec.path == "swag":
        one = wide / spec.swags
        drop = Catenary(one, spec.sag, hanging=True)
        return chain(
            Moved(drop, ((at + 0.5) * one - wide / 2, 0.0, level)) for at in range(spec.swags)
        )
    return Line((-wide / 2, 0.0, level), (wide / 2, 0.0, level))


def _floor_level(spec: GarlandSpec, ctx: Context) -> float:
    """How high the line of a garland on the floor comes to lie [m]."""
    across = [ctx.stock(row.balloon).inflated_m for row in used(spec)]
    largest = max((size for size in across if size < JUMBO_M), default=0.0)
    return max(ON_FLOOR * _common(spec, ctx), LARGE_ON_FLOOR * largest)


def _common(spec: GarlandSpec, ctx: Context) -> float:
    """Inflated diameter of the size that takes most of the line [m]."""
    rows = [(row.share, ctx.stock(row.balloon).inflated_m) for row in used(spec)]
    return max(rows, key=lambda row: row[0] * row[1])[1]


def build(spec: GarlandSpec, ctx: Context) -> Assembly:
    """A garland whose line is centred over the origin."""
    draft = Draft(spec.name, spec.kind)
    line = line_of(spec, ctx)
    frame = _add_hoop(draft, line, ctx) if spec.path == "half-hoop" else []
    string = (
        []
        if frame
        else [clear_line(draft, "garland line", samples(line), (SPARE_LINE - 1) * line.length_m)]
    )
    hooks = _add_hooks(draft, line, ctx) if spec.on == "hooks" and not frame else []
    shape = fill_line(spec, ctx, line, _counts(spec, ctx, line.length_m))
    on_line, tucked = add_organic(draft, spec, ctx, shape)
    draft.work("hang garland", line.length_m)
    _steps(draft, spec, ctx, line, (on_line, tucked), frame, string, hooks)
    return draft.finish()


def _counts(spec: GarlandSpec, ctx: Context, length_m: float) -> list[int]:
    """How many of each row of the mix: by the foot where fullness is given, else by density."""
    if spec.fullness is None:
        return mix_counts(spec, ctx, length_m)
    total = max(1, round(spec.fullness * length_m / units.FOOT_M))
    return share_out(total, [row.share for row in used(spec)])


# ---- what holds it ----------------------------------------------------------------------------


def _add_hooks(draft: Draft, line: Rail, ctx: Context) -> list[int]:
    many = max(2, int(np.ceil(line.length_m / HOOK_EVERY_M)) + 1)
    spots = line.position(np.linspace(0.0, line.length_m, many))
    return [hook(draft, ctx, spot) for spot in spots]


def _add_hoop(draft: Draft, line: Rail, ctx: Context) -> list[int]:
    """The whole hoop and its foot plate, though the garland covers a part of it only."""
    plate, rod = ctx.catalog.item("arch foot plate"), ctx.catalog.item("arch frame rod")
    assert isinstance(line, Moved)
    radius = float(line.curve.radius_m)  # type: ignore[attr-defined]
    whole = Moved(hoop(2 * radius, 1.0), line.by)
    return [
        draft.hardware(
            HardwarePlaced(
                plate.item,
                "base",
                1,
                "each",
                ((0.0, 0.0, 0.0),),
                plate.width_m or 0.45,
                plate.height_m or 0.03,
            )
        ),
        draft.hardware(
            HardwarePlaced(
                rod.item,
                "frame",
                whole.length_m + HOOP_FOOT_M,
                "m",
                path([(0.0, 0.0, plate.height_m or 0.03), *samples(whole)]),
                rod.diameter_m or 0.012,
            )
        ),
    ]


# ---- steps ------------------------------------------------------------------------------------


def _steps(
    draft: Draft,
    spec: GarlandSpec,
    ctx: Context,
    line: Rail,
    rows: tuple[list[int], list[int]],
    frame: list[int],
    string: list[int],
    hooks: list[int],
) -> None:
    on_line, tucked = rows
    first = on_line[: draft.whole_clusters(on_line, 1 / len(on_line))]
    _ready(draft, spec, ctx, line, frame, string)
    draft.step(
        message("Tie on the first cluster"),
        sentences(
            from_list(draft, first),
            message("Wrap the line once round its middle and pull tight, at the left end."),
        ),
        balloons=first,
    )
    draft.step(
        message("Fill the line from left to right"),
        sentences(
            from_list(draft, on_line[len(first) :]),
            message("Tie on one after the other, so close that they touch."),
            message(
                "Turn each one a little from the one before, so that the large balloons "
                "point to all sides."
            ),
        ),
        balloons=on_line[len(first) :],
    )
    if hooks:
        _hang_up(draft, ctx, line, hooks)
    if tucked:
        add_accent_step(draft, tucked)


def _hang_up(draft: Draft, ctx: Context, line: Rail, hooks: list[int]) -> None:
    """The hooks: where each sits on the wall, and how much line lies between two."""
    apart = line.length_m / (len(hooks) - 1)
    spots = [draft.hardware_at(at) for at in hooks]
    heights = [spot[2] for spot in spots]
    asides = [spot[0] - spots[0][0] for spot in spots]
    low, high = min(heights), max(heights)
    if high - low < LEVEL_M:
        where = message(
            "All of them sit {height} above the floor, {asides} to the right of the first.",
            height=ctx.length(high),
            asides=listing([ctx.length(aside) for aside in asides[1:]]),
        )
    else:
        rest = [
            message(
                "{aside} to the right at {height}", aside=ctx.length(aside), height=ctx.length(z)
            )
            for aside, z in zip(asides[1:], heights[1:], strict=True)
        ]
        where = message(
            "Set the left one {height} above the floor, the others from there: {spots}.",
            height=ctx.length(heights[0]),
            spots=listing(rest),
        )
    draft.step(
        counted("Hang it from {n} hook", "Hang it from {n} hooks", len(hooks)),
        sentences(
            where,
            message("Between two hooks lie {apart} of line.", apart=ctx.length(apart)),
            message(
                "Two people lift: first the end loops, then the line over each hook between them."
            ),
            message("Nobody pulls on the balloons."),
        ),
        hardware=hooks,
        measures={"hooks_apart_m": apart}
        | {f"hook_{at}_aside_m": aside for at, aside in enumerate(asides, 1)}
        | {f"hook_{at}_height_m": height for at, height in enumerate(heights, 1)},
    )


def _ready(
    draft: Draft,
    spec: GarlandSpec,
    ctx: Context,
    line: Rail,
    frame: list[int],
    string: list[int],
) -> None:
    """The first step: the hoop stood up, or the line cut."""
    long = ctx.length(line.length_m)
    if frame:
        side = (
            message(
                "Mark with tape where the garland ends: {long} up the hoop from its foot, on "
                "the left side.",
                long=long,
            )
            if spec.side == "left"
            else message(
                "Mark with tape where the garland ends: {long} up the hoop from its foot, on "
                "the right side.",
                long=long,
            )
        )
        draft.step(
            message("Stand the hoop"),
            sentences(
                message(
                    "Screw the hoop into its foot plate and fill the plate before anything "
                    "is tied on."
                ),
                side,
            ),
            hardware=frame,
            measures={"line_m": line.length_m},
        )
        return
    cut_m = SPARE_LINE * line.length_m
    draft.step(
        message("Cut the line"),
        sentences(
            message("Cut {cut} of line and knot a loop at each end.", cut=ctx.cut(cut_m)),
            message(
                "Stretch it at working height between two fixed points, so that {long} lie "
                "between the loops.",
                long=long,
            ),
        ),
        strands=string,
        measures={"cut_m": cut_m, "line_m": line.length_m},
    )


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: GarlandSpec, ctx: Context) -> int:
    """About how many balloons it takes: line length over what each balloon takes up."""
    return sum(_counts(spec, ctx, line_of(spec, ctx).length_m))


def check(spec: GarlandSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = check_organic(spec, ctx, place) + _check_keys(spec, place)
    if has_errors(found):
        return found
    try:
        line = line_of(spec, ctx)
    except ArmatureError as problem:
        return [*found, error("no-such-path", f"{place}.path", problem.what, problem.mend)]
    large = max(ctx.stock(row.balloon).inflated_m for row in used(spec))
    found += too_short(spec, ctx, line.length_m, LEAST_DIAMETERS, place)
    found += checks.too_many(estimate(spec, ctx), place)
    if spec.path == "polyline" and meets_itself(line, APART * _common(spec, ctx)) is not None:
        what = message(
            "The path comes back so close to itself that the balloons would not fit between."
        )
        found.append(
            error("path-too-close", f"{place}.points", what, message("Lead it further apart."))
        )
    return found + _check_height(spec, ctx, line, large, place)


def _check_keys(spec: GarlandSpec, place: str) -> list[Finding]:
    """The keys that this path needs."""
    found = []
    if spec.path in ("straight", "swag", "half-hoop") and spec.width is None:
        what = message('A garland with path = "{path}" needs a width.', path=spec.path)
        found.append(
            error("missing", f"{place}.width", what, message('Give it a width, like "10 ft".'))
        )
    if spec.path == "staircase" and spec.steps is None:
        what = message("A garland up a staircase needs the number of steps.")
        found.append(error("missing", f"{place}.steps", what, message("Add steps = 12.")))
    if spec.path == "polyline" and len(spec.points) < 2:
        what = message("A polyline needs two points at least.")
        mend = message(
            'Add points = [{{ x = "-4 ft", z = "7 ft" }}, {{ x = "4 ft", z = "5 ft" }}].'
        )
        found.append(error("missing", f"{place}.points", what, mend))
    if spec.on == "floor" and spec.path in ("swag", "half-hoop", "staircase"):
        what = message("A {path} cannot lie on the floor.", path=spec.path)
        found.append(error("not-on-floor", f"{place}.on", what, message('Set "on" to "hooks".')))
    return found


def _check_height(
    spec: GarlandSpec, ctx: Context, line: Rail, large: float, place: str
) -> list[Finding]:
    """Whether a hung garland clears the floor."""
    if spec.on == "floor" or spec.path == "half-hoop":
        return []
    lowest = float(samples(line)[:, 2].min())
    if lowest <= 0.0:
        what = message("The line would hang {value} below the floor.", value=ctx.length(-lowest))
        mend = message("Raise its ends, or let it sag less.")
        return [error("below-floor", f"{place}.sag", what, mend)]
    if lowest < 0.6 * large:
        what = message(
            "At its lowest the line is {lowest} above the floor.", lowest=ctx.length(lowest)
        )
        mend = message("Raise it, or the balloons rub on the floor and pop.")
        return [caution("rubs-on-floor", f"{place}.height", what, mend)]
    return []


def _counted(values: Mapping[str, Any], factor: float) -> dict[str, Any]:
    """Steps and points go on; sizes of the mix stay."""
    steps = values.get("steps")
    return {**points_grown(values, factor), "steps": steps and grown(steps, factor)}


KIND = PieceKind(
    name="garland",
    summary=message("Mixed sizes along a line: straight, in swags, round a hoop, up a staircase."),
    spec=GarlandSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("width", "sag"),
    counted=_counted,
    mirrored=points_mirrored,
    overhead=lambda spec: True,
    example="""\
name    = "Counter garland"
kind    = "garland"
path    = "swag"
width   = "10 ft"
height  = "7 ft"
sag     = "16 in"
mix     = [
  { balloon = "17in @ 15in", share = 1 },
  { balloon = "11in @ 10in", share = 5 },
  { balloon = "5in @ 4.5in", share = 5 },
]
shades  = { coral = 3, sand = 3, white = 2, teal = 1 }
""",
)
