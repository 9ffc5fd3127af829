"""Half arches: an asymmetric garland along a way somebody drew, heavy at its foot.

      .-oo-o.
    oO        '            the way leads through points of a front view, from the floor up;
   OO                      large balloons and the first shades at the foot, small ones and
  @O                       the last shades at the end
 @@O
@@@@
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.decor import checks
from airwright.decor.armatures import ArmatureError, Through, crossing, meets_itself, through
from airwright.decor.assembly import Assembly, Floats, HardwarePlaced
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.kinds import PieceKind, points_mirrored
from airwright.decor.parts.accent_step import add_accent_step, from_list
from airwright.decor.parts.foliage import Foliage, add_foliage, check_foliage
from airwright.decor.parts.hanging import clear_line, hook, samples
from airwright.decor.parts.mix import add_organic, check_organic, too_short
from airwright.decor.parts.tapered import (
    LEAST_DIAMETERS,
    OFF_WALL,
    Tapered,
    check_tapered,
    fill_tapered,
    heavy_start,
    mean_size,
    parts,
    tapered_counts,
    tapered_shades,
)
from airwright.job.findings import Finding, caution, error, has_errors
from airwright.job.pieces import Table
from airwright.language import Text, counted, listing, message, sentences
from airwright.params import Param

HOOK_EVERY_M = 0.6
"""Most line between two hooks on a wall (common practice: closer than for a swag)."""

SPARE_LINE = 1.1
"""Line cut, of its length: knots, loops and ends."""

FLOOR_M = 0.30
"""An end of the way below this stands on the floor and gets a foot plate."""

OVERHANG_M = 0.60
"""A way that leads further aside than this from its last foot gets a pole under it."""

PROP_AT = 0.8
"""Where along the way that pole stands, and its room behind the balloons is a hand."""
PROP_BEHIND_M = 0.10

APART = 1.3
"""Least distance of the way from itself, in inflated diameters of its usual size."""


class FrontPoint(Table):
    """A point of the way, as seen from the front."""

    x: Annotated[
        float,
        Param(
            message("To the viewer's right of the middle."),
            units.LENGTH,
            "-60 ft",
            "60 ft",
            label=message("To the right"),
        ),
    ]
    z: Annotated[
        float,
        Param(message("Above the floor."), units.LENGTH, "0 ft", "40 ft", label=message("Height")),
    ]


class HalfArchSpec(Tapered):
    """Keys of a half arch."""

    kind: Annotated[Literal["half-arch"], Param(message("An asymmetric garland."))] = "half-arch"
    points: Annotated[
        list[FrontPoint],
        Param(
            message("Points its way leads through in the front view, from the foot on."),
            example='[{ x = "-4 ft", z = "0 ft" }, { x = "0 ft", z = "8 ft" }]',
        ),
    ] = Field(min_length=2, max_length=60)
    on: Annotated[
        Literal["frame", "wall"],
        Param(message("On a frame that stands by itself, or on hooks at a wall.")),
    ] = "frame"
    foliage: Annotated[
        Foliage | None, Param(message("Artificial leaves along it, running out at its end."))
    ] = None


def way_of(spec: HalfArchSpec) -> Through:
    """The line it is built along, from the foot to its end. Raises ArmatureError."""
    return through([(point.x, 0.0, point.z) for point in spec.points])


def build(spec: HalfArchSpec, ctx: Context) -> Assembly:
    """A half arch in the plane y = 0; a wall stands behind it."""
    draft = Draft(spec.name, spec.kind)
    way = way_of(spec)
    weight = heavy_start(parts())
    behind = OFF_WALL * mean_size(spec, ctx) if spec.on == "wall" else None
    hooks: list[int] = []
    if behind is None:
        _frame(draft, ctx, way)
    else:
        hooks = _wall(draft, ctx, way, behind)
    shape = fill_tapered(spec, ctx, way, weight, behind_m=behind)
    names = tapered_shades(spec, ctx, way, shape, weight)
    on_line, tucked = add_organic(draft, spec, ctx, shape, names)
    draft.work("hang garland", way.length_m)
    _climb(draft, on_line)
    if spec.foliage is not None:
        _leaves(draft, spec.foliage, ctx, way, spec.seed)
    if tucked:
        add_accent_step(draft, tucked)
    if hooks:
        _put_up(draft, ctx, way, hooks)
    return draft.finish()


# ---- what holds it ----------------------------------------------------------------------------


def _frame(draft: Draft, ctx: Context, way: Through) -> None:
    """The bent rod with its foot plates, and a pole under what leans far out."""
    rod, plate = ctx.catalog.item("arch frame rod"), ctx.catalog.item("arch foot plate")
    ends = way.position(np.array([0.0, way.length_m]))
    high = plate.height_m or 0.03
    feet = [end for end in ends if end[2] < FLOOR_M] or [ends[int(ends[:, 2].argmin())]]
    points = samples(way)
    if ends[0][2] > high:  # the rod goes down to its plate
        points = np.concatenate([[[ends[0][0], 0.0, high]], points])
    rows = [
        draft.hardware(
            HardwarePlaced(
                plate.item, "base", 1, "each", ((float(foot[0]), 0.0, 0.0),),
                plate.width_m or 0.45, high,
            )
        )
        for foot in feet
    ]  # fmt: skip
    long = way.length_m + max(float(ends[0][2]) - high, 0.0)
    rows.append(
        draft.hardware(
            HardwarePlaced(rod.item, "frame", long, "m", path(points), rod.diameter_m or 0.012)
        )
    )
    props = _prop(draft, ctx, way, feet[-1])
    draft.step(
        message("Bend and stand the frame"),
        sentences(
            message("Join rods to a length of {long}.", long=ctx.length(long)),
            _through_words(way, ctx),
            message("Screw its foot into the plate."),
            message("If water or sand is listed for it, fill it before anything is tied on."),
            message("Stand the second pole under its far part and tie the rod to it.")
            if props
            else "",
        ),
        hardware=[*rows, *props],
        measures={"line_m": way.length_m, "rod_m": long} | _points_measured(way),
    )


def _prop(draft: Draft, ctx: Context, way: Through, foot: Floats) -> list[int]:
    """A pole on a base under a way that leads far aside from its foot."""
    spot = way.position(np.array([PROP_AT * way.length_m]))[0]
    poles = sorted(ctx.catalog.of_use("pole"), key=lambda row: row.length_m or 0.0)
    fitting = [row for row in poles if (row.length_m or 0.0) >= spot[2]]
    if abs(float(spot[0] - foot[0])) < OVERHANG_M or not fitting:
        return []
    base = ctx.catalog.item("column base plate")
    high = base.height_m or 0.03
    x, y = float(spot[0]), PROP_BEHIND_M
    return [
        draft.hardware(
            HardwarePlaced(base.item, "base", 1, "each", ((x, y, 0.0),), base.width_m or 0.4, high)
        ),
        draft.hardware(
            HardwarePlaced(
                fitting[0].item,
                "pole",
                1,
                "each",
                ((x, y, high), (x, y, float(spot[2]))),
                fitting[0].diameter_m or 0.025,
            )
        ),
    ]


def _wall(draft: Draft, ctx: Context, way: Through, behind: float) -> list[int]:
    """Hooks on the wall, the line along the way; adds the step that marks them."""
    many = max(2, int(np.ceil(way.length_m / HOOK_EVERY_M)) + 1)
    spots = way.position(np.linspace(0.0, way.length_m, many))
    spots[:, 1] = behind
    hooks = [hook(draft, ctx, spot) for spot in spots]
    string = [clear_line(draft, "garland line", samples(way), (SPARE_LINE - 1) * way.length_m)]
    cut = SPARE_LINE * way.length_m
    draft.step(
        message("Mark the way on the wall"),
        sentences(
            _through_words(way, ctx),
            message("Cut {cut} of line and lay it out on the floor in that shape.",
                    cut=ctx.cut(cut)),
        ),
        strands=string,
        measures={"line_m": way.length_m, "cut_m": cut} | _points_measured(way),
    )  # fmt: skip
    return hooks


def _points_measured(way: Through) -> dict[str, float]:
    """The points a step names: how far aside from the foot, and how high [m]."""
    first = way.points[0]
    measured = {"foot_height_m": first[2]}
    for at, (x, _, z) in enumerate(way.points[1:], 1):
        measured |= {f"point_{at}_aside_m": abs(x - first[0]), f"point_{at}_height_m": z}
    return measured


def _through_words(way: Through, ctx: Context) -> Text:
    """Where the way leads through, told from the foot on."""
    first = way.points[0][0]
    places = [
        message(
            "{aside} {side} at a height of {high}",
            aside=ctx.length(abs(x - first)),
            side=message("to the right") if x >= first else message("to the left"),
            high=ctx.length(z),
        )
        for x, _, z in way.points[1:]
    ]
    return message(
        "From the foot, at a height of {low}, the way leads through these points, each told from "
        "the foot: {places}.",
        low=ctx.length(way.points[0][2]),
        places=listing(places),
    )


def _put_up(draft: Draft, ctx: Context, way: Through, hooks: list[int]) -> None:
    heights = [draft.hardware_at(at)[2] for at in hooks]
    apart = way.length_m / (len(hooks) - 1)
    draft.step(
        counted("Hang it from {n} hook", "Hang it from {n} hooks", len(hooks)),
        sentences(
            message(
                "Set them on the marked way, the first at the foot, the others {apart} apart along "
                "it; they then sit at these heights: {heights}.",
                apart=ctx.length(apart),
                heights=listing([ctx.length(height) for height in heights]),
            ),
            message("Begin at the foot and work up; one person lifts, one hooks the line in."),
            message("Ask the venue what the wall bears; adhesive hooks let go without warning."),
        ),
        hardware=hooks,
        measures={"hooks_apart_m": apart}
        | {f"hook_{at}_height_m": height for at, height in enumerate(heights, 1)},
    )


# ---- body -------------------------------------------------------------------------------------


def _climb(draft: Draft, rows: list[int]) -> None:
    """The clusters in three steps, from the foot on."""
    first, second = draft.whole_clusters(rows, 3 / 8), draft.whole_clusters(rows, 3 / 4)
    draft.step(
        message("Build the foot"),
        sentences(
            from_list(draft, rows[:first]),
            message("Set the largest so that they rest on the floor and widen the foot."),
            message("Press the clusters together: nothing behind them may show."),
        ),
        balloons=rows[:first],
    )
    draft.step(
        message("Work your way up"),
        sentences(
            from_list(draft, rows[first:second]),
            message("Turn each a little from the one before."),
            message("Step back after every few: it should grow thinner without a step."),
        ),
        balloons=rows[first:second],
    )
    draft.step(
        message("Taper off to the end"),
        sentences(
            from_list(draft, rows[second:]),
            message("They are small and sit in one row; close the end with the last one."),
        ),
        balloons=rows[second:],
    )


def _leaves(draft: Draft, spec: Foliage, ctx: Context, way: Through, seed: int) -> None:
    """Foliage along the way and straight on beyond its end."""
    line = samples(way)
    beyond = np.linspace(0.0, spec.beyond, max(2, int(spec.beyond / 0.05)))[1:, None]
    end = line[-1] + beyond * way.tangent(np.array([way.length_m]))
    add_foliage(draft, ctx, ctx.shade(spec.shade), np.concatenate([line, end]), line, seed)


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: HalfArchSpec, ctx: Context) -> int:
    """How many balloons it takes."""
    long, wall = way_of(spec).length_m, spec.on == "wall"
    return sum(tapered_counts(spec, ctx, long, heavy_start(parts()), wall=wall))


def check(spec: HalfArchSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = check_organic(spec, ctx, place) + check_tapered(spec, ctx, place)
    found += check_foliage(spec.foliage, ctx, f"{place}.foliage")
    if has_errors(found):
        return found
    try:
        way = way_of(spec)
    except ArmatureError as problem:
        return [*found, error("no-such-path", f"{place}.points", problem.what, problem.mend)]
    found += _check_way(spec, ctx, way, place)
    return found if has_errors(found) else found + checks.too_many(estimate(spec, ctx), place)


def _check_way(spec: HalfArchSpec, ctx: Context, way: Through, place: str) -> list[Finding]:
    """Whether the way leads clear of itself, of the floor, and is long enough."""
    if short := too_short(spec, ctx, way.length_m, LEAST_DIAMETERS, f"{place}.points"):
        return short
    crossed = crossing(way)
    if crossed is not None:
        one, other = (way.leg_of(s) + 1 for s in crossed)
        what = message(
            "The path crosses itself: after point {other} it meets the part after point {one}.",
            one=one,
            other=other,
        )
        mend = message("Move point {point} so that the path leads past.", point=other + 1)
        return [error("path-crosses", f"{place}.points[{other}]", what, mend)]
    common = mean_size(spec, ctx)
    near = meets_itself(way, APART * common)
    if near is not None:
        what = message(
            "The path comes back so close to itself that the balloons would not fit between."
        )
        where = f"{place}.points[{way.leg_of(near) + 1}]"
        return [error("path-too-close", where, what, message("Lead it further apart."))]
    lowest = float(samples(way)[:, 2].min())
    if lowest < 0.0:
        what = message("Between two points the path dips below the floor.")
        mend = message("Raise them a little, or put a point between.")
        return [error("below-floor", f"{place}.points", what, mend)]
    if spec.points[-1].z < spec.points[0].z:
        what = message("The path begins higher than it ends, so its heavy part hangs on top.")
        mend = message("List the points the other way round, the foot first.")
        return [caution("foot-on-top", f"{place}.points", what, mend)]
    return []


def _counted(values: Mapping[str, Any], factor: float) -> dict[str, Any]:
    """All points further from the foot of the middle, upward too."""
    return {
        "points": [
            point.model_copy(update={"x": point.x * factor, "z": point.z * factor})
            for point in values["points"]
        ]
    }


KIND = PieceKind(
    name="half-arch",
    summary=message("An asymmetric garland along a way you draw, heavy at its foot."),
    spec=HalfArchSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=(),
    counted=_counted,
    mirrored=points_mirrored,
    example="""\
name       = "Quayside half arch"
kind       = "half-arch"
points     = [
  { x = "-14 in", z = "9 in" },
  { x = "-44 in", z = "12 in" },
  { x = "-52 in", z = "44 in" },
  { x = "-32 in", z = "82 in" },
  { x = "12 in", z = "94 in" },
  { x = "48 in", z = "84 in" },
]
on         = "wall"
mix        = [
  { balloon = "24in @ 22in", share = 1 },
  { balloon = "17in @ 15in", share = 4 },
  { balloon = "11in @ 10in", share = 16 },
  { balloon = "5in @ 4.5in", share = 22 },
]
shades     = { teal = 3, coral = 2, sand = 1 }
shades_end = { white = 3, sand = 2 }
""",
)
