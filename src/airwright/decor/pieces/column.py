"""Columns: packed clusters on a pole, clouds joined by a sleeve, or textured layers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.decor import checks
from airwright.decor.assembly import Assembly, Floats
from airwright.decor.colouring import pattern_rule, shade_rows
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.kinds import BuildError, PieceKind, swirl_mirrored
from airwright.decor.packing import Packed
from airwright.decor.parts.cloud import CloudShape, add_cloud, settle_cloud
from airwright.decor.parts.facing import cluster_word, facing
from airwright.decor.parts.fillers import add_fillers
from airwright.decor.parts.mirror import mirrored
from airwright.decor.parts.sleeve import HIDDEN, add_sleeve
from airwright.decor.parts.stack import Layer, add_layers, layer_of, rise, settle
from airwright.decor.parts.stand import add_stand, choose_pole
from airwright.decor.parts.tightness import doubt, reserve
from airwright.decor.parts.topper import add_topper
from airwright.job.cluster import Cluster
from airwright.job.findings import Finding, error, hint
from airwright.job.pieces import Cloud, Coloured, Fillers, Shades, Sleeve, Topper
from airwright.language import message, sentences
from airwright.params import Param

POLE_RADIUS_M = 0.0125
"""Half a usual column pole; it only keeps balloons off the middle."""

POLE_STUB_M = 0.03
"""How far the pole ends below the top of the packed body, so that it stays hidden."""

FLAT_SEAT = 0.97
"""Height of the first tie in radii of its largest balloon: the lowest ones are pressed flat."""

NEAR_ENOUGH_M = 0.005
"""Nobody looks for a number of layers that comes closer to the height [m]."""

MISSED_M = 0.05
"""A body this much off the height asked for is worth a hint [m]."""


class ColumnSpec(Coloured):
    """Keys of a column: `body` for a packed or textured one, `clouds` for a cloud column."""

    kind: Annotated[Literal["column"], Param(message("A column on a pole."))] = "column"
    height: Annotated[
        float,
        Param(
            message("Floor to the top of the packed body, topper not counted."),
            units.LENGTH,
            "1 ft",
            "13 ft",
        ),
    ]
    body: Annotated[
        list[Cluster],
        Param(
            message("Clusters from the floor up, repeated to the height."),
            example='["4 x 11in @ 9.5in"]',
        ),
    ] = Field(default_factory=list)
    clouds: Annotated[list[Cloud], Param(message("Loose clusters on a bare pole."))] = Field(
        default_factory=list
    )
    shades: Shades = Field(default_factory=list)
    face: Annotated[
        str | None,
        Param(
            message("This size all turns to the front, the face of the column."),
            example="5in",
            longest=20,
        ),
    ] = None
    sleeve: Annotated[
        Sleeve | None, Param(message("What covers the bare pole."), group=message("Trims"))
    ] = None
    fillers: Annotated[
        Fillers | None, Param(message("Small clusters in the gaps."), group=message("Trims"))
    ] = None
    topper: Annotated[
        Topper | None, Param(message("What sits on top."), group=message("Trims"))
    ] = None


def build(spec: ColumnSpec, ctx: Context) -> Assembly:
    """A column standing on the floor, its pole on the z axis."""
    draft = Draft(spec.name, spec.kind)
    if spec.clouds:
        _build_clouds(draft, spec, ctx)
    else:
        _build_body(draft, spec, ctx)
    return draft.finish()


# ---- packed and textured bodies ---------------------------------------------------------------


def _build_body(draft: Draft, spec: ColumnSpec, ctx: Context) -> None:
    stack = _stack_for(spec, ctx)
    made, range_, top = stack.made, stack.layers_range, stack.top_m
    packed = mirrored(stack.packed, made) if spec.turn < 0 else stack.packed
    _stand_pole(draft, ctx, top, top - POLE_STUB_M)
    names = shade_rows(spec, made)
    rows_of_layer = add_layers(draft, ctx, made, names, packed)
    draft.pitch_m = _pitch(packed.tie_s, len(spec.body))
    most = [spec.body[at % len(spec.body)] for at in range(range_[1])]
    draft.layers_range = range_
    draft.reserve = reserve(most, shade_rows(spec, most), len(made))
    if draft.pitch_m is not None:
        draft.pitch_range_m = doubt(spec.body, ctx).pitches(draft.pitch_m)
    _body_steps(draft, spec, made, names, rows_of_layer)
    if spec.fillers is not None:
        ties = [packed.tie_point[at] for at in range(1, len(made), 2)] or [packed.tie_point[0]]
        widest = 3 * max(ctx.stock(row).inflated_m / 2 for cluster in made for row in cluster.slots)
        add_fillers(draft, spec.fillers, ctx, ties, reach_m=widest, mirrored=spec.turn < 0)
    if spec.topper is not None:
        tip = np.array([0.0, 0.0, float(packed.tie_point[-1][2])])
        add_topper(draft, spec.topper, ctx, tip, POLE_RADIUS_M)


def _stand_pole(draft: Draft, ctx: Context, reach_m: float, top_m: float) -> None:
    """Base, and a pole that reaches `reach_m`, shown up to `top_m` [m]. Raises BuildError."""
    draft.step(
        message("Stand the pole"),
        sentences(
            message("Screw the pole into its base and fill the base before any balloon goes on."),
            message("Check from two sides that the pole stands upright."),
            message("Mark the front of the base with tape."),
        ),
        hardware=add_stand(draft, ctx, choose_pole(ctx, reach_m), top_m),
    )
    draft.work("pole and base", 1)


@dataclass(frozen=True, slots=True, eq=False)
class _Stack:
    """A body as it settles: its clusters from the floor up, its highest point [m], and the fewest
    and most layers that hands may come to."""

    made: list[Cluster]
    packed: Packed
    top_m: float
    layers_range: tuple[int, int]


def _stack_for(spec: ColumnSpec, ctx: Context) -> _Stack:
    """The stack that comes closest to the height asked for, settled: its height is read off the
    balloons, because pairs and unlike clusters rise by more or less from layer to layer."""
    body = tuple(layer_of(made, ctx, spec.face) for made in spec.body)
    count = len(body)
    per_layer = rise(body, ctx.push_n, POLE_RADIUS_M) * ctx.spread / count

    def free(layers: int) -> float:
        ends = FLAT_SEAT * max(body[0].radius) + max(body[(layers - 1) % count].radius)
        return spec.height - ends

    def stack(layers: int) -> tuple[Packed, float]:
        chosen = tuple(body[at % count] for at in range(layers))
        return _settled(chosen, ctx.push_n, ctx.spread)

    def miss(layers: int) -> float:
        return stack(layers)[1] - spec.height

    guess = max(1, round(free(count) / per_layer) + 1)
    near = range(max(1, guess - count), guess + count + 1)
    best = _closest(min(near, key=lambda n: abs((n - 1) * per_layer - free(n))), count, miss)
    packed, top = stack(best)
    pitch = float(packed.tie_s[-1] - packed.tie_s[0]) / (best - 1) if best > 1 else per_layer
    range_ = doubt(spec.body, ctx).layers(best, free(best), pitch)
    return _Stack([spec.body[at % count] for at in range(best)], packed, top, range_)


def _closest(first: int, period: int, miss: Callable[[int], float]) -> int:
    """The number of layers that misses the height least, looked for from a first guess upwards
    or downwards until a whole period of the body brings nothing better."""
    best, at, idle = first, first, 0
    step = -1 if miss(first) > 0 else 1
    while abs(miss(best)) > NEAR_ENOUGH_M and idle < period and at + step >= 1:
        at += step
        idle = 0 if abs(miss(at)) < abs(miss(best)) else idle + 1
        best = at if idle == 0 else best
    return best


@lru_cache(maxsize=128)
def _settled(layers: tuple[Layer, ...], push_n: float, spread: float) -> tuple[Packed, float]:
    """Layers settled on the floor round a pole, and the top of the highest balloon [m]."""
    packed = settle(
        layers,
        push_n=push_n,
        pole_radius_m=POLE_RADIUS_M,
        floor=True,
        start_s=FLAT_SEAT * max(layers[0].radius),
        spread=spread,
    )
    radius = np.concatenate([layer.radius for layer in layers])
    return packed, float((packed.centre[:, 2] + radius).max())


def _pitch(tie_s: Floats, repeat: int) -> float | None:
    """Mean rise per layer [m] over whole repeats of the body, in the middle where possible."""
    if len(tie_s) < 2:
        return None
    first, last = (1, len(tie_s) - 2) if len(tie_s) > 3 + repeat else (0, len(tie_s) - 1)
    last -= (last - first) % repeat if last - first > repeat else 0
    return float(tie_s[last] - tie_s[first]) / (last - first)


def _body_steps(
    draft: Draft,
    spec: ColumnSpec,
    made: list[Cluster],
    names: list[tuple[str, ...]],
    rows: list[tuple[int, ...]],
) -> None:
    word = cluster_word(made[0])
    looks = facing(draft, rows[0])
    draft.step(
        message("Lock the first {cluster} at the foot", cluster=word),
        sentences(
            message(
                "Push the middle of the {cluster} against the pole, close above the base.",
                cluster=word,
            ),
            message(
                "Take the two balloons behind the pole once round each other, so that it locks."
            ),
            looks,
        ),
        balloons=rows[0],
    )
    if len(made) > 1:
        second = cluster_word(made[1])
        draft.step(
            message("Nest the second cluster, a {cluster}", cluster=second),
            sentences(
                message(
                    "Lock a {cluster} on top and push it down hard with both hands.",
                    cluster=second,
                ),
                message("Each of its balloons sits in a gap of the layer below."),
                facing(draft, rows[1]),
                pattern_rule(spec),
            ),
            balloons=rows[1],
        )
    if len(made) > 2:
        draft.step(
            message("Go on up to layer {n}", n=len(made)),
            sentences(
                message("Go on layer by layer and follow the chart."),
                _face_rule(spec),
                message("Push every layer down equally hard."),
                message("After every third layer step back and look from the front."),
            ),
            balloons=[row for layer in rows[2:] for row in layer],
        )


def _face_rule(spec: ColumnSpec) -> str:
    """Which balloons of a textured column are turned to the front."""
    if not spec.face:
        return ""
    return message(
        "In every layer the {size} balloons turn to the front, the larger ones to the back.",
        size=spec.face,
    )


# ---- cloud columns ----------------------------------------------------------------------------


def _build_clouds(draft: Draft, spec: ColumnSpec, ctx: Context) -> None:
    shapes = [settle_cloud(layer_of(cloud.cluster, ctx), POLE_RADIUS_M) for cloud in spec.clouds]
    heights = [
        _tie_height(cloud, shape, spec) for cloud, shape in zip(spec.clouds, shapes, strict=True)
    ]
    top = max(heights)
    _stand_pole(draft, ctx, top, top + 0.02)
    if spec.sleeve is not None and len(heights) > 1:
        low, high = int(np.argmin(heights)), int(np.argmax(heights))
        ends = (
            heights[low] + (1 - HIDDEN) * shapes[low].above_m,
            heights[high] - (1 - HIDDEN) * shapes[high].below_m,
        )
        shade = spec.clouds[0].shades[0]
        add_sleeve(draft, spec.sleeve, ctx, ends, POLE_RADIUS_M, shade)
    order = np.argsort(heights)
    for layer, at in enumerate(order):
        _add_cloud(draft, spec.clouds[at], shapes[at], heights[at], layer, ctx)
    draft.layers = len(spec.clouds)
    ties = [np.array([0.0, 0.0, heights[at]]) for at in reversed(order)]
    if spec.fillers is not None:
        reach = max(float((np.linalg.norm(s.centre, axis=1) + s.radius).max()) for s in shapes)
        add_fillers(draft, spec.fillers, ctx, ties, reach_m=reach)
    if spec.topper is not None:
        add_topper(draft, spec.topper, ctx, np.array([0.0, 0.0, top]), POLE_RADIUS_M)


def _tie_height(cloud: Cloud, shape: CloudShape, spec: ColumnSpec) -> float:
    """Where the necks are tied [m]: the foot rests on the floor, the head ends at the height."""
    if cloud.at == "foot":
        return shape.below_m
    if cloud.at == "head":
        return spec.height - shape.above_m
    return (shape.below_m + spec.height - shape.above_m) / 2


def _add_cloud(
    draft: Draft, cloud: Cloud, shape: CloudShape, height: float, layer: int, ctx: Context
) -> None:
    rows = add_cloud(draft, ctx, cloud.cluster, cloud.shades, shape, height, layer)
    where = {
        "foot": message("Lock the lower cloud"),
        "head": message("Lock the upper cloud"),
    }.get(cloud.at, message("Lock the middle cloud"))
    draft.step(
        where,
        sentences(
            message("Tie all necks of the cloud together at one point."),
            message(
                "Open it in the middle and put it round the pole {height} above the floor.",
                height=ctx.length(height),
            ),
            message("Take two balloons behind the pole once round each other, so that it locks."),
            facing(draft, rows),
        ),
        balloons=rows,
        measures={"height_m": height},
    )


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: ColumnSpec, ctx: Context) -> int:
    """About how many balloons one column takes, from the flat size of its layers alone."""
    count = 1 + sum(cloud.cluster.count for cloud in spec.clouds)
    if spec.fillers is not None:
        count += spec.fillers.count * spec.fillers.cluster.count
    for made in spec.body:
        across = np.mean([ctx.stock(balloon).inflated_m for balloon in made.slots])
        count += round(spec.height / (0.8 * float(across)) / len(spec.body) * made.count)
    return count


def check(spec: ColumnSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found: list[Finding] = []
    if bool(spec.body) == bool(spec.clouds):
        what = message("A column is either a body of clusters or clouds on a pole.")
        mend = message("Give body = […] or clouds = […], and leave the other out.")
        found.append(error("body-or-clouds", place, what, mend))
    for at, made in enumerate(spec.body):
        found += checks.layer(made, ctx, f"{place}.body[{at}]")
    for at, cloud in enumerate(spec.clouds):
        found += checks.cluster(cloud.cluster, ctx, f"{place}.clouds[{at}].cluster", least=2)
        found += checks.shades(cloud.shades, ctx, f"{place}.clouds[{at}].shades")
    found += _check_colours(spec, ctx, place)
    found += _check_trims(spec, ctx, place)
    if not any(f.severity == "error" for f in found):
        found += checks.too_many(estimate(spec, ctx), place) or _check_height(spec, ctx, place)
    return found


def _check_colours(spec: ColumnSpec, ctx: Context, place: str) -> list[Finding]:
    if not spec.body:
        return []
    found = checks.coloured(spec, spec.body, ctx, place)
    if spec.face is not None:
        sizes = {balloon.size for made in spec.body for balloon in made.slots}
        if spec.face not in sizes:
            what = message('No balloon of this column is a "{face}".', face=spec.face)
            known = ", ".join(sorted(sizes))
            found.append(
                error(
                    "unknown-face",
                    f"{place}.face",
                    what,
                    message("Sizes in it: {known}.", known=known),
                )
            )
    return found


def _check_trims(spec: ColumnSpec, ctx: Context, place: str) -> list[Finding]:
    found: list[Finding] = []
    if spec.topper is not None:
        found += checks.topper(spec.topper, ctx, f"{place}.topper")
    if spec.fillers is not None:
        found += checks.fillers(spec.fillers, ctx, f"{place}.fillers")
    if spec.sleeve is not None:
        found += checks.sleeve(spec.sleeve, ctx, f"{place}.sleeve")
        if len(spec.clouds) < 2:
            what = message(
                "A sleeve covers the bare pole between two clouds; this column has none."
            )
            mend = message("Leave the sleeve out, or give clouds at foot and head.")
            found.append(error("sleeve-without-clouds", f"{place}.sleeve", what, mend))
    return found


def _check_height(spec: ColumnSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether a pole reaches, and whether the body comes out near the height asked for."""
    try:
        choose_pole(ctx, spec.height)
    except BuildError as problem:
        return [error("no-pole", f"{place}.height", problem.finding.what, problem.finding.mend)]
    if spec.clouds:
        return _check_cloud_room(spec, ctx, place)
    tall = _stack_for(spec, ctx).top_m
    if tall > 1.5 * spec.height:
        what = message("One layer of these balloons is {tall} tall already.", tall=ctx.length(tall))
        return [
            error(
                "too-low",
                f"{place}.height",
                what,
                message("Build higher, or take smaller balloons."),
            )
        ]
    if abs(tall - spec.height) <= MISSED_M:
        return []
    asked, got = ctx.length(spec.height), ctx.length(tall)
    what = message("Whole layers come to {got}, not {asked}.", got=got, asked=asked)
    mend = message(
        'Make the height "{got}" if that suits, or inflate the balloons a little differently.',
        got=got,
    )
    return [hint("height-in-whole-layers", f"{place}.height", what, mend)]


def _check_cloud_room(spec: ColumnSpec, ctx: Context, place: str) -> list[Finding]:
    need = 0.0
    for cloud in spec.clouds:
        shape = settle_cloud(layer_of(cloud.cluster, ctx), POLE_RADIUS_M)
        need += shape.below_m + shape.above_m
    if need <= spec.height:
        return []
    what = message("These clouds need {need} one above the other.", need=ctx.length(need))
    return [
        error("too-low", f"{place}.height", what, message("Build higher, or use smaller balloons."))
    ]


KIND = PieceKind(
    name="column",
    summary=message("Clusters on a pole: packed, textured, or two clouds joined by a sleeve."),
    spec=ColumnSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("height",),
    mirrored=swirl_mirrored,
    example="""\
name    = "Swirl column"
kind    = "column"
height  = "6 ft"
body    = ["4 x 11in @ 9.5in"]
shades  = ["coral", "sand", "teal", "white"]
turn    = 1
topper  = { balloon = "24in @ 22in", shade = "coral", tie = "260" }
""",
)
