"""Trees and topiaries: clusters nested on a trunk, the outline made by their sizes.

  O            crown
 OOO           clusters from the bottom up, each nested in the one below:
OOOOO          growing and shrinking ones make a ball, shrinking ones a cone
  |            trunk
[___]          a foot for the table, or a base plate for the floor
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Final, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.decor import checks
from airwright.decor.assembly import Assembly
from airwright.decor.colouring import pattern_rule, shade_rows
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.kinds import BuildError, PieceKind, swirl_mirrored
from airwright.decor.packing import Packed
from airwright.decor.parts.facing import cluster_word, facing
from airwright.decor.parts.mirror import mirrored
from airwright.decor.parts.stack import add_layers, layer_of, settle
from airwright.decor.parts.stand import add_stand, choose_pole
from airwright.decor.parts.table_base import (
    STICK_RADIUS_M,
    TableBase,
    add_table_base,
    base_count,
    base_high,
    check_stick,
    check_table_base,
)
from airwright.decor.parts.topper import add_topper
from airwright.job.cluster import Cluster
from airwright.job.findings import Finding, error, has_errors
from airwright.job.pieces import Coloured, Topper
from airwright.language import message, sentences
from airwright.params import Param

POLE_RADIUS_M: Final = 0.0125
MOST_LAYERS: Final = 12
RUBBER_BAND: Final = "rubber band"
LEAST_TRUNK_M: Final = 0.02
"""Trunk that must show between foot and body [m]."""


class TopiarySpec(Coloured):
    """Keys of a tree or topiary; its height is over the table or the floor it stands on."""

    kind: Annotated[Literal["topiary"], Param(message("A tree or topiary."))] = "topiary"
    height: Annotated[
        float, Param(message("Table or floor to its top."), units.LENGTH, "10 in", "12 ft")
    ] = 0.762
    body: Annotated[
        list[Cluster],
        Param(
            message("Its clusters from the bottom up; their sizes make its outline."),
            example='["4 x 5in @ 4in", "4 x 5in @ 4.5in", "4 x 5in @ 4in"]',
        ),
    ] = Field(min_length=1, max_length=MOST_LAYERS)
    on: Annotated[
        Literal["table", "floor"],
        Param(message("On a foot of balloons for a table, or on a base plate.")),
    ] = "table"
    base: Annotated[
        TableBase, Param(message("What it stands on, on a table."), group=message("Foot"))
    ] = TableBase()
    topper: Annotated[
        Topper | None, Param(message("A single balloon on top of all."), group=message("Topper"))
    ] = None


def _radius(spec: TopiarySpec) -> float:
    return STICK_RADIUS_M if spec.on == "table" else POLE_RADIUS_M


def _packed(spec: TopiarySpec, ctx: Context) -> Packed:
    """The body nested on its trunk, somewhere along it."""
    layers = [layer_of(made, ctx) for made in spec.body]
    packed = settle(layers, push_n=ctx.push_n, pole_radius_m=_radius(spec), spread=ctx.spread)
    return mirrored(packed, spec.body) if spec.turn < 0 else packed


def _with_topper(draft: Draft, spec: TopiarySpec, ctx: Context, tip: float) -> None:
    if spec.topper is not None:
        top = np.array([0.0, 0.0, tip])
        add_topper(draft, spec.topper, ctx, top, _radius(spec))


def _lift(spec: TopiarySpec, ctx: Context, packed: Packed) -> float:
    """How far up the body goes so that all ends at the height asked for [m]."""
    trial = Draft("", "")
    _add_body(trial, spec, ctx, packed, 0.0)
    _with_topper(trial, spec, ctx, float(packed.tie_point[-1][2]))
    return spec.height - float((trial.centres[:, 2] + trial.radii).max())


def _add_body(
    draft: Draft, spec: TopiarySpec, ctx: Context, packed: Packed, lift: float
) -> list[tuple[int, ...]]:
    from dataclasses import replace

    up = np.array([0.0, 0.0, lift])
    moved = replace(packed, centre=packed.centre + up, tie_point=packed.tie_point + up)
    return add_layers(draft, ctx, spec.body, shade_rows(spec, spec.body), moved)


def build(spec: TopiarySpec, ctx: Context) -> Assembly:
    """A tree whose trunk stands over the origin."""
    draft = Draft(spec.name, spec.kind)
    packed = _packed(spec, ctx)
    lift = _lift(spec, ctx, packed)
    tip = float(packed.tie_point[-1][2]) + lift
    if spec.on == "table":
        add_table_base(draft, ctx, spec.base, _first_shades(spec), tip + 0.01)
    else:
        parts = add_stand(draft, ctx, choose_pole(ctx, tip + 0.02), tip + 0.02)
        draft.work("pole and base", 1)
        draft.step(
            message("Stand the trunk"),
            sentences(
                message("Screw the pole into its base."),
                message("If water or sand is listed for it, fill it before anything goes on."),
                message("Check from two sides that it stands upright."),
            ),
            hardware=parts,
        )
    rows = _add_body(draft, spec, ctx, packed, lift)
    _steps(draft, spec, ctx, rows, float(packed.tie_point[0][2]) + lift)
    _with_topper(draft, spec, ctx, tip)
    return draft.finish()


def _first_shades(spec: TopiarySpec) -> list[str]:
    row = shade_rows(spec, spec.body)[0]
    return list(dict.fromkeys(row))


def _steps(
    draft: Draft, spec: TopiarySpec, ctx: Context, rows: Sequence[Sequence[int]], first: float
) -> None:
    draft.step(
        message("Lock the lowest cluster"),
        sentences(
            message(
                "Mark the trunk {high} up; lock the {cluster} there.",
                high=ctx.length(first),
                cluster=cluster_word(spec.body[0]),
            ),
            message("Wrap a rubber band below it, so that it does not slide."),
            facing(draft, rows[0]),
        ),
        balloons=rows[0],
        measures={"first_tie_m": first},
    )
    draft.supply(RUBBER_BAND, 1)
    if len(rows) > 1:
        draft.step(
            message("Go on up to cluster {n}", n=len(rows)),
            sentences(
                message("Nest each cluster in the gaps of the one below and press it down."),
                message("Keep to the sizes of the chart: they make the outline."),
                pattern_rule(spec),
            ),
            balloons=[row for layer in rows[1:] for row in layer],
        )


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: TopiarySpec, ctx: Context) -> int:
    """How many balloons it takes, exactly."""
    foot = base_count(spec.base) if spec.on == "table" else 0
    return foot + sum(made.count for made in spec.body) + (spec.topper is not None)


def check(spec: TopiarySpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found: list[Finding] = []
    for at, made in enumerate(spec.body):
        found += checks.layer(made, ctx, f"{place}.body[{at}]")
    found += checks.coloured(spec, spec.body, ctx, place)
    if spec.topper is not None:
        found += checks.topper(spec.topper, ctx, f"{place}.topper")
    if spec.on == "table":
        found += check_table_base(spec.base, ctx, f"{place}.base", spec.height)
    return found if has_errors(found) else found + _check_height(spec, ctx, place)


def _check_height(spec: TopiarySpec, ctx: Context, place: str) -> list[Finding]:
    """Room for the body over the foot, and a trunk that reaches so high."""
    where = f"{place}.height"
    packed = _packed(spec, ctx)
    lift = _lift(spec, ctx, packed)
    radius = np.array([ctx.stock(b).inflated_m / 2 for made in spec.body for b in made.slots])
    low = float((packed.centre[:, 2] - radius).min()) + lift
    foot = base_high(spec.base.cluster, ctx) if spec.on == "table" else 0.05
    if low < foot + LEAST_TRUNK_M:
        least = spec.height - low + foot + LEAST_TRUNK_M
        what = message("Body and foot come to {least}.", least=ctx.length(least))
        mend = message("Build it so high, or take fewer or smaller clusters.")
        return [error("too-low", where, what, mend)]
    tip = float(packed.tie_point[-1][2]) + lift
    if spec.on == "table":
        return check_stick(ctx, where, tip)
    try:
        choose_pole(ctx, tip + 0.02)
    except BuildError as problem:
        return [error("no-pole", where, problem.finding.what, problem.finding.mend)]
    return []


KIND = PieceKind(
    name="topiary",
    summary=message("A tree or topiary: clusters nested on a trunk, for a table or the floor."),
    spec=TopiarySpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("height",),
    mirrored=swirl_mirrored,
    example="""\
name    = "Table tree"
kind    = "topiary"
height  = "26 in"
body    = ["4 x 5in @ 4.5in", "4 x 5in @ 4in", "4 x 5in @ 3.5in", "4 x 5in @ 3in"]
shades  = ["teal", "teal", "white", "teal"]
base    = { cluster = "4 x 5in @ 4.5in", sand = "yes", shades = ["sand"] }
topper  = { balloon = "5in @ 4in", shade = "gold", tie = "none" }
""",
)
