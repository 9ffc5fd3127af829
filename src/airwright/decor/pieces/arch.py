"""Packed arches: clusters pushed together along a curve from floor to floor.

What a decorator measures is the finished arch, outside to outside and floor to top; the line
the clusters are tied to runs inside it, by as much as the body reaches from its line:

        ____________        height: floor to the top of the balloons
      .'  ________  '.      width: outside to outside, at the widest
     /  .'  line  '.  \\
    |  |            |  |    clear opening = width - 2 x thickness
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.decor import checks
from airwright.decor.armatures import ARCH_FORMS, ArchCurve, ArmatureError, tightest_bend
from airwright.decor.assembly import Assembly, Floats, HardwarePlaced
from airwright.decor.colouring import pattern_rule, shade_rows
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.kinds import PieceKind, Rows, as_chart, swirl_mirrored
from airwright.decor.packing import Packed, Rail
from airwright.decor.parts.facing import cluster_word, facing
from airwright.decor.parts.fillers import add_fillers
from airwright.decor.parts.mirror import mirrored
from airwright.decor.parts.stack import Layer, add_layers, layer_of, reach, rise, settle_along
from airwright.decor.parts.tightness import doubt, reserve
from airwright.job.cluster import Cluster
from airwright.job.findings import Finding, error, has_errors, hint
from airwright.job.pieces import Coloured, Fillers
from airwright.language import message, sentences
from airwright.params import Param

ROD_RADIUS_M = 0.006
"""Half an arch frame rod; it only keeps balloons off the line."""

FLAT_SEAT = 0.97
"""Height of the first tie in radii of its largest balloon: the lowest ones are pressed flat."""

TIGHT_BEND = 0.75
"""A line that bends with less than this share of the body's reach crushes its inside."""

OFF_M = 0.01
"""A finished arch this close to the size asked for is left as it is [m]."""

ROUNDS = 3
"""How often the line is corrected after measuring the finished arch."""

UNLIKE_LOOSER = 1.05
"""Unlike clusters do not interlock equally all round a bend and are spaced a little wider."""

ROD_POINTS = 65


class ArchSpec(Coloured):
    """Keys of a packed arch."""

    kind: Annotated[Literal["arch"], Param(message("A packed arch from floor to floor."))] = "arch"
    curve: Annotated[ArchCurve, Param(message("The curve it follows."))] = "half-circle"
    width: Annotated[
        float,
        Param(message("How wide it is, measured as said below."), units.LENGTH, "2 ft", "100 ft"),
    ]
    height: Annotated[
        float,
        Param(message("Floor to top, measured as said below."), units.LENGTH, "1 ft", "50 ft"),
    ]
    measured: Annotated[
        Literal["outside", "opening", "line"],
        Param(
            message(
                "Width and height are outside to outside, of the clear opening, or of the line."
            )
        ),
    ] = "outside"
    body: Annotated[
        list[Cluster],
        Param(
            message("Clusters from the left foot on, repeated along."),
            example='["4 x 11in @ 9.5in"]',
        ),
    ] = Field(min_length=1)
    legs: Annotated[
        Literal["in turn", "alike"],
        Param(
            message("Colors run on from foot to foot, or both legs are alike and meet at the top."),
            group=message("Color"),
        ),
    ] = "in turn"
    fillers: Annotated[
        Fillers | None, Param(message("Small clusters in the gaps."), group=message("Trims"))
    ] = None


@dataclass(frozen=True, slots=True, eq=False)
class _Settled:
    """A settled arch: its line, its clusters in order, and where they came to rest."""

    line: Rail
    made: tuple[Cluster, ...]
    packed: Packed
    radius: Floats

    @property
    def outside(self) -> tuple[float, float]:
        """Width and height outside to outside [m]."""
        x, z = self.packed.centre[:, 0], self.packed.centre[:, 2]
        wide = float((x + self.radius).max() - (x - self.radius).min())
        return wide, float((z + self.radius).max())


def build(spec: ArchSpec, ctx: Context) -> Assembly:
    """An arch in the x-z plane, its feet on the floor left and right of the origin."""
    draft = Draft(spec.name, spec.kind)
    arch = _settled(spec, ctx)
    _add_frame(draft, arch.line, ctx)
    names = _names(spec, arch.made)
    rows = add_layers(draft, ctx, arch.made, names, arch.packed)
    tie_s = arch.packed.tie_s
    draft.pitch_m = float(tie_s[-1] - tie_s[0]) / (len(tie_s) - 1)
    _doubted(draft, spec, ctx, len(arch.made), float(tie_s[-1] - tie_s[0]))
    _steps(draft, spec, arch.made, names, rows)
    if spec.fillers is not None:
        ties = [arch.packed.tie_point[at] for at in _spread(len(arch.made), spec.fillers.count)]
        widest = 3 * float(arch.radius.max())
        left = _turns_left(spec)
        add_fillers(draft, spec.fillers, ctx, ties[::-1] if left else ties, widest, mirrored=left)
    return draft.finish()


def _turns_left(spec: ArchSpec) -> bool:
    """Whether it is the mirror image of an arch that turns right. One with both legs alike is its
    own mirror image: there only the shades of each leg go the other way."""
    return spec.turn < 0 and spec.legs == "in turn"


def _doubted(draft: Draft, spec: ArchSpec, ctx: Context, built: int, free_m: float) -> None:
    """The ranges of pitch and layers, and what the most layers take beyond those built."""
    unsure = doubt(spec.body, ctx)
    pitch = free_m / (built - 1)
    low, high = unsure.layers(built, free_m, pitch)
    if spec.legs == "alike" and high % 2 == 0:
        high += 1
    most = tuple(spec.body[at % len(spec.body)] for at in range(high))
    draft.pitch_range_m = unsure.pitches(pitch)
    draft.layers_range = (low, high)
    draft.reserve = reserve(most, _in_order(spec, most), built)


# ---- geometry ---------------------------------------------------------------------------------


def _layers(spec: ArchSpec, ctx: Context) -> tuple[Layer, ...]:
    return tuple(layer_of(made, ctx) for made in spec.body)


def _thickness(spec: ArchSpec, ctx: Context) -> float:
    """From the line to the outside of the body [m]."""
    return reach(_layers(spec, ctx), ctx.push_n, ROD_RADIUS_M)


def _line_size(spec: ArchSpec, thick: float) -> tuple[float, float]:
    """Width and height of the line [m] before the finished arch is measured."""
    sign = {"outside": -1.0, "line": 0.0, "opening": 1.0}[spec.measured]
    return spec.width + 2 * sign * thick, spec.height + sign * thick


def _settled(spec: ArchSpec, ctx: Context) -> _Settled:
    """The arch whose outside comes closest to what was asked for."""
    thick = _thickness(spec, ctx)
    width, height = _line_size(spec, thick)
    best = found = _pack(spec, ctx, ARCH_FORMS[spec.curve](width, height))
    if spec.measured != "outside":
        return best
    least = _miss(spec, best)
    for _ in range(ROUNDS if len(set(_layers(spec, ctx))) == 1 else 1):  # the others take seconds
        if least <= OFF_M:
            break
        wide, tall = found.outside
        width, height = width + spec.width - wide, height + spec.height - tall
        try:
            found = _pack(spec, ctx, ARCH_FORMS[spec.curve](width, height))
        except ArmatureError:
            break
        if _miss(spec, found) < least:
            best, least = found, _miss(spec, found)
    return best


def _miss(spec: ArchSpec, arch: _Settled) -> float:
    wide, tall = arch.outside
    return max(abs(wide - spec.width), abs(tall - spec.height))


def _pack(spec: ArchSpec, ctx: Context, line: Rail) -> _Settled:
    layers = _layers(spec, ctx)
    first, last, count = _places(spec, ctx, line)
    body = tuple(spec.body[at % len(layers)] for at in range(count))
    packed = settle_along(
        [layers[at % len(layers)] for at in range(count)],
        line,
        first,
        last,
        push_n=ctx.push_n / 2,
        pole_radius_m=ROD_RADIUS_M,
    )
    if _turns_left(spec):
        packed, body = mirrored(packed, body, last_first=True), body[::-1]
    radius = np.concatenate([layer_of(made, ctx).radius for made in body])
    return _Settled(line, body, packed, radius)


def _places(spec: ArchSpec, ctx: Context, line: Rail) -> tuple[float, float, int]:
    """Arc lengths [m] of the first and last tie, and how many clusters fill what lies between."""
    layers = _layers(spec, ctx)
    repeat = len(layers)
    per_layer = rise(layers, ctx.push_n, ROD_RADIUS_M) * ctx.spread / repeat
    if len(set(layers)) > 1:
        per_layer *= UNLIKE_LOOSER
    first = _seat(line, FLAT_SEAT * max(layers[0].radius), from_start=True)
    count = max(2, round((line.length_m - 2 * first) / per_layer) + 1)
    if spec.legs == "alike" and count % 2 == 0:
        count += 1 if (line.length_m - 2 * first) / per_layer + 1 > count else -1
        count = max(3, count)
    last = _seat(line, FLAT_SEAT * max(layers[(count - 1) % repeat].radius), from_start=False)
    return first, last, count


def _seat(line: Rail, height: float, *, from_start: bool) -> float:
    """Arc length [m] at which the line has risen to `height` [m] above the floor."""
    way = np.linspace(0.0, line.length_m / 2, 400)
    s = way if from_start else line.length_m - way
    return float(np.interp(height, np.maximum.accumulate(line.position(s)[:, 2]), s))


def _spread(ties: int, fillers: int) -> list[int]:
    """Ties for the fillers, evenly along."""
    return [round((at + 0.5) * (ties - 1) / fillers) for at in range(fillers)]


# ---- colour, frame and steps ------------------------------------------------------------------


def _names(spec: ArchSpec, made: tuple[Cluster, ...]) -> list[tuple[str, ...]]:
    """Shades cluster by cluster from the left foot."""
    if not _turns_left(spec) or spec.pattern == "chart":
        return _in_order(spec, made)
    right = spec.model_copy(update={"turn": -spec.turn})
    return _in_order(right, made[::-1])[::-1]


def _in_order(spec: ArchSpec, made: tuple[Cluster, ...]) -> list[tuple[str, ...]]:
    """Shades in the order of the clusters; alike, the right leg repeats the left one's."""
    rows = shade_rows(spec, made)
    if spec.legs != "alike":
        return rows
    half = (len(made) + 1) // 2
    return rows[:half] + rows[: len(made) - half][::-1]


def _add_frame(draft: Draft, line: Rail, ctx: Context) -> None:
    plate = ctx.catalog.item("arch foot plate")
    rod = ctx.catalog.item("arch frame rod")
    points = line.position(np.linspace(0.0, line.length_m, ROD_POINTS))
    across, tall = plate.width_m or 0.45, plate.height_m or 0.03
    parts = [
        draft.hardware(HardwarePlaced(plate.item, "base", 1, "each", path([foot]), across, tall))
        for foot in (points[0], points[-1])
    ]
    parts.append(
        draft.hardware(
            HardwarePlaced(
                rod.item, "frame", line.length_m, "m", path(points), rod.diameter_m or 0.012
            )
        )
    )
    draft.work("fix to frame", line.length_m)
    span = float(points[-1][0] - points[0][0])
    top = float(points[:, 2].max())
    draft.step(
        message("Set the feet and the frame"),
        sentences(
            message(
                "Put the two foot plates {apart} apart, middle to middle.", apart=ctx.length(span)
            ),
            message("Fill both plates before anything stands."),
            message(
                "Join {long} of rod, plug it into both plates and check that the top stands {top} "
                "above the floor.",
                long=ctx.length(line.length_m),
                top=ctx.length(top),
            ),
            message("Mark the front of both plates with tape."),
        ),
        measures={"feet_apart_m": span, "rod_m": line.length_m, "top_m": top},
        hardware=parts,
    )


def _steps(
    draft: Draft,
    spec: ArchSpec,
    made: tuple[Cluster, ...],
    names: list[tuple[str, ...]],
    rows: list[tuple[int, ...]],
) -> None:
    first, count = made[0], len(made)
    middle = (count + 1) // 2
    word = cluster_word(first)
    draft.step(
        message("Lock the first {cluster} at the left foot", cluster=word),
        sentences(
            message(
                "Push the middle of the {cluster} against the rod, close above the left plate.",
                cluster=word,
            ),
            message(
                "Take the two balloons behind the rod once round each other, so that it locks."
            ),
            facing(draft, rows[0]),
        ),
        balloons=rows[0],
    )
    draft.step(
        message("Climb to the top, up to cluster {n}", n=middle),
        sentences(
            message("Lock each next cluster on the last and push it down the rod with both hands."),
            message("Each of its balloons sits in a gap of the cluster before."),
            pattern_rule(spec),
            message("After every third cluster look at it from the front."),
        ),
        balloons=[row for layer in rows[1:middle] for row in layer],
    )
    if count > middle:
        finish = (
            message(
                "Build the right leg from its foot up, in the same order as the left one, and "
                "close the arch at the top."
            )
            if spec.legs == "alike"
            else message("Go on over the top and down to the right foot, following the chart.")
        )
        draft.step(
            message("Finish the right leg: {n} clusters in all", n=count),
            sentences(
                finish,
                message("Slide the clusters along the rod until all sit equally tight."),
                message("If one does not fit or one is missing, measure the balloons again."),
            ),
            balloons=[row for layer in rows[middle:] for row in layer],
        )


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: ArchSpec, ctx: Context) -> int:
    """About how many balloons one arch takes, from the box round it alone."""
    length = 0.75 * (spec.width + 2 * spec.height)
    count = 0
    for made in spec.body:
        across = np.mean([ctx.stock(balloon).inflated_m for balloon in made.slots])
        rises = length / (checks.LAYER_RISE[min(made.count, 6)] * float(across))
        count += round(rises / len(spec.body) * made.count)
    if spec.fillers is not None:
        count += spec.fillers.count * spec.fillers.cluster.count
    return count


def check(spec: ArchSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found: list[Finding] = []
    for at, made in enumerate(spec.body):
        found += checks.layer(made, ctx, f"{place}.body[{at}]")
    found += checks.coloured(spec, spec.body, ctx, place)
    if spec.fillers is not None:
        found += checks.fillers(spec.fillers, ctx, f"{place}.fillers")
    if not has_errors(found):
        found += checks.too_many(estimate(spec, ctx), place) or _check_room(spec, ctx, place)
    return found


def _check_room(spec: ArchSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether two legs and a way between them fit, and the line bends no tighter than it can."""
    thick = _thickness(spec, ctx)
    width, height = _line_size(spec, thick)
    body = ctx.length(2 * thick)
    if width < 2.2 * thick:
        what = message(
            "The legs are {body} thick each; this width leaves no way between them.", body=body
        )
        mend = message(
            "Make it {value} wide at least.",
            value=ctx.length(spec.width - width + 3 * thick),
        )
        return [error("too-narrow", f"{place}.width", what, mend)]
    if height < 2.0 * thick:
        what = message(
            "The body is {body} thick; at this height nothing opens below it.", body=body
        )
        mend = message(
            "Make it {value} high at least.",
            value=ctx.length(spec.height - height + 3 * thick),
        )
        return [error("too-low", f"{place}.height", what, mend)]
    try:
        line = ARCH_FORMS[spec.curve](width, height)
    except ArmatureError as problem:
        return [error("no-such-curve", f"{place}.curve", problem.what, problem.mend)]
    bend = tightest_bend(line)
    if bend < TIGHT_BEND * thick:
        what = message(
            "This curve bends with a radius of {bend}, tighter than the body ({body} "
            "thick) can follow.",
            bend=ctx.length(bend),
            body=body,
        )
        mend = message("Make it wider or lower, take smaller balloons, or another curve.")
        return [error("bends-too-tightly", f"{place}.curve", what, mend)]
    return _opening(spec, ctx, width, height, thick, place)


def _opening(
    spec: ArchSpec, ctx: Context, width: float, height: float, thick: float, place: str
) -> list[Finding]:
    """A hint at the way through, which the client will walk."""
    if spec.measured == "opening":
        return []
    wide, tall = width - 2 * thick, height - thick
    what = message(
        "The way through is about {wide} wide and {tall} high.",
        wide=ctx.length(wide),
        tall=ctx.length(tall),
    )
    if wide >= 0.9 and tall >= 2.0:
        return []
    mend = sentences(
        message("If people walk through it, give the size of its opening (measured: opening)."),
        message("It grows then, and its feet may need filling."),
    )
    return [hint("narrow-opening", f"{place}.width", what, mend)]


def _mirrored(table: Mapping[str, Any]) -> dict[str, Any]:
    """Its turn and chart in a mirror; with both legs alike it is its own image."""
    if table.get("legs") == "alike":
        return {}
    changed = swirl_mirrored(table)
    if "chart" in table:
        changed["chart"] = [list(row) for row in table["chart"]][::-1]
    return changed


def _painted(table: Mapping[str, Any], rows: Rows) -> dict[str, Any]:
    """Its chart; legs that were alike stay so only where they were painted alike."""
    painted = as_chart(table, rows)
    if table.get("legs") == "alike" and painted["chart"] != painted["chart"][::-1]:
        painted["legs"] = "in turn"
    return painted


KIND = PieceKind(
    name="arch",
    summary=message("Clusters pushed together along a curve from floor to floor."),
    spec=ArchSpec,
    build=build,
    estimate=estimate,
    check=check,
    walked_through=True,
    grows=("width", "height"),
    mirrored=_mirrored,
    painted=_painted,
    example="""\
name    = "Gangway arch"
kind    = "arch"
curve   = "half-circle"
width   = "11 ft"
height  = "8 ft"
body    = ["4 x 11in @ 9.5in"]
shades  = ["coral", "sand", "teal", "white"]
pattern = "swirl"
turn    = 1
""",
)
