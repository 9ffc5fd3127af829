"""Centerpieces for tables: a foot, a stick, and a cluster, a jumbo or a foil on top.

  O
 OOO     the top: high enough to look under, or low enough to look over
  |
 (|)
(___)
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.catalog import Family
from airwright.decor import checks
from airwright.decor.assembly import Assembly
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.kinds import PieceKind
from airwright.decor.parts.cloud import CloudShape, add_cloud, settle_cloud
from airwright.decor.parts.stack import layer_of
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
from airwright.job.cluster import Cluster, Inflated
from airwright.job.findings import Finding, error, has_errors, hint
from airwright.job.pieces import PieceSpec, Topper
from airwright.language import message, sentences
from airwright.params import Param

SIGHT_LOW_M: Final = 12 * units.INCH_M
SIGHT_HIGH_M: Final = 24 * units.INCH_M
"""Guests look at each other between these heights over the table (common practice)."""


class CentrepieceSpec(PieceSpec):
    """Keys of a centerpiece; heights are over the table."""

    kind: Annotated[Literal["centrepiece"], Param(message("A centerpiece for a table."))] = (
        "centrepiece"
    )
    height: Annotated[float, Param(message("Table to its top."), units.LENGTH, "8 in", "5 ft")] = (
        0.9144
    )
    base: Annotated[TableBase, Param(message("What it stands on."), group=message("Foot"))] = (
        TableBase()
    )
    top: Annotated[
        Cluster | None,
        Param(
            message("The cluster on the stick; none where a single balloon crowns it."),
            example="2 x 11in @ 8in + 3 x 5in @ 4.5in",
        ),
    ] = None
    crown: Annotated[
        Inflated | None,
        Param(message("A jumbo or a foil on top of all."), example="18in foil round"),
    ] = None
    shades: Annotated[
        list[str],
        Param(
            message("Shades, dealt in turn within each size."), group=message("Color"), shades=True
        ),
    ] = Field(min_length=1)
    crown_shade: Annotated[
        str | None,
        Param(
            message("Shade of the crown; the first shade if left out."),
            longest=60,
            group=message("Color"),
            shades=True,
        ),
    ] = None
    crown_mark: Annotated[
        str | None, Param(message("Words on the crown, like a name."), longest=40, rare=True)
    ] = None


def build(spec: CentrepieceSpec, ctx: Context) -> Assembly:
    """A centerpiece whose foot stands over the origin, on the table z = 0."""
    draft = Draft(spec.name, spec.kind)
    tie = _tie_height(spec, ctx)
    add_table_base(draft, ctx, spec.base, spec.shades, tie + 0.01)
    _add_top(draft, spec, ctx, tie)
    return draft.finish()


def _shape(spec: CentrepieceSpec, ctx: Context) -> CloudShape | None:
    return None if spec.top is None else settle_cloud(layer_of(spec.top, ctx), STICK_RADIUS_M)


def _tie_height(spec: CentrepieceSpec, ctx: Context) -> float:
    """Where the top is tied to the stick, so that all ends at the height asked for [m]."""
    trial = Draft("", "")
    _add_top(trial, spec, ctx, 0.0)
    return spec.height - float((trial.centres[:, 2] + trial.radii).max())


def _add_top(draft: Draft, spec: CentrepieceSpec, ctx: Context, tie_m: float) -> None:
    shape = _shape(spec, ctx)
    if spec.top is not None and shape is not None:
        rows = add_cloud(draft, ctx, spec.top, spec.shades, shape, tie_m)
        draft.step(
            message("Tie on the top"),
            sentences(
                message("Tie all necks of the cluster together at one point."),
                message(
                    "Push it onto the stick, {high} above the table, and wrap two necks round it.",
                    high=ctx.length(tie_m),
                ),
                message("Turn the balloons until no stick shows between them."),
            ),
            balloons=rows,
            measures={"tie_m": tie_m},
        )
    if spec.crown is not None:
        top = np.array([0.0, 0.0, tie_m])
        add_topper(draft, _crown(spec), ctx, top, STICK_RADIUS_M)


def _crown(spec: CentrepieceSpec) -> Topper:
    assert spec.crown is not None
    shade = spec.crown_shade or spec.shades[0]
    return Topper(balloon=spec.crown, shade=shade, tie="none", ties=0, mark=spec.crown_mark)


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: CentrepieceSpec, ctx: Context) -> int:
    """How many balloons it takes, exactly."""
    top = 0 if spec.top is None else spec.top.count
    return base_count(spec.base) + top + (spec.crown is not None)


def check(spec: CentrepieceSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = checks.shades(spec.shades, ctx, f"{place}.shades")
    found += check_table_base(spec.base, ctx, f"{place}.base", spec.height)
    if spec.top is not None:
        found += checks.cluster(spec.top, ctx, f"{place}.top")
    if spec.crown is not None:
        found += _check_crown(spec, ctx, place)
    if spec.top is None and spec.crown is None:
        what = message("Nothing is on top of it.")
        mend = message('Add top = "3 x 11in @ 8in", or crown = "18in foil round".')
        found.append(error("missing", f"{place}.top", what, mend))
    if has_errors(found):
        return found
    return found + _check_height(spec, ctx, place)


def _check_crown(spec: CentrepieceSpec, ctx: Context, place: str) -> list[Finding]:
    assert spec.crown is not None
    found = checks.inflated(spec.crown, ctx, f"{place}.crown")
    if spec.crown_shade is not None:
        found += checks.shades([spec.crown_shade], ctx, f"{place}.crown_shade")
    if has_errors(found) or ctx.balloon(spec.crown).family in (Family.ROUND, Family.FOIL):
        return found
    what = message("A {size} does not crown anything.", size=spec.crown.size)
    return [*found, error("cannot-be-tied", f"{place}.crown", what,
                          message("Use round or foil balloons."))]  # fmt: skip


def _check_height(spec: CentrepieceSpec, ctx: Context, place: str) -> list[Finding]:
    """Room for the top over the foot, and whether guests see each other."""
    tie = _tie_height(spec, ctx)
    trial = Draft("", "")
    _add_top(trial, spec, ctx, tie)
    low = float((trial.centres[:, 2] - trial.radii).min())
    foot = base_high(spec.base.cluster, ctx)
    if low < 0.8 * foot:
        what = message(
            "Its top would sit in its foot: together they come to {least}.",
            least=ctx.length(spec.height - low + foot),
        )
        mend = message("Build it so high, or take smaller balloons.")
        return [error("too-low", f"{place}.height", what, mend)]
    short = check_stick(ctx, f"{place}.height", tie)
    if short:
        return short
    if spec.height <= SIGHT_LOW_M or low >= SIGHT_HIGH_M:
        return []
    what = message(
        "Guests sit behind it: its top fills {low} to {high} above the table.",
        low=ctx.length(low),
        high=ctx.length(spec.height),
    )
    mend = message(
        "Keep all of it under {under}, or its top above {over}: make it {least} high.",
        under=ctx.length(SIGHT_LOW_M),
        over=ctx.length(SIGHT_HIGH_M),
        least=ctx.length(spec.height - low + SIGHT_HIGH_M),
    )
    return [hint("sight-line", f"{place}.height", what, mend)]


KIND = PieceKind(
    name="centrepiece",
    summary=message("A centerpiece for a table: foot, stick, and a cluster or a foil on top."),
    spec=CentrepieceSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("height",),
    example="""\
name    = "Table centerpiece"
kind    = "centrepiece"
height  = "51 in"
base    = { cluster = "4 x 5in @ 4.5in", sand = "yes", shades = ["white", "gold"] }
top     = "3 x 11in @ 8in + 3 x 5in @ 4.5in"
crown   = "18in foil round"
shades  = ["coral", "sand", "white"]
crown_shade = "gold"
""",
)
