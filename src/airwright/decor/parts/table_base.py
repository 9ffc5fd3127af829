"""What a piece for a table stands on: a ring of balloons, with sand in its middle or without.

  |      the stick, from the table up
 ( )
(_o_)    o: a 5 in balloon filled with sand, as large as the middle of the ring takes
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Final, Literal

import numpy as np
from pydantic import Field

from airwright.catalog import Family
from airwright.decor import checks
from airwright.decor.assembly import HardwarePlaced, Role
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.parts.facing import cluster_word
from airwright.job.cluster import Cluster, Inflated
from airwright.job.findings import Finding, caution, error, has_errors
from airwright.job.pieces import Table
from airwright.language import message, sentences
from airwright.params import Param

STICK_RADIUS_M: Final = 0.004
"""The table stick round which necks are wrapped [m]."""

PRESSED: Final = 0.97
"""Balloons of the ring press on each other and the table: distances over those of hard ones."""

SAND_BALL: Final = "5in"
LARGEST_SAND_M: Final = 0.075
"""A larger ball of sand is too heavy to knot on [m]."""

SAND_KG_M3: Final = 1600.0
"""Dry sand as it is poured. From memory."""

STEADY: Final = 3.0
"""A piece without sand that is more than this many times as high as its ring is wide tips at a
touch (common practice: sand in all but the lowest)."""


class TableBase(Table):
    """The foot of a piece for a table."""

    cluster: Annotated[
        Cluster, Param(message("The balloons it stands on."), example="4 x 5in @ 4.5in")
    ] = Cluster.parse("4 x 5in @ 4.5in")
    sand: Annotated[
        Literal["yes", "no"],
        Param(message("Whether a 5 in balloon filled with sand sits in the middle.")),
    ] = "yes"
    shades: Annotated[
        list[str],
        Param(
            message("Its shades, in slot order; those of the body if left out."),
            shades=True,
        ),
    ] = Field(default_factory=list)


def base_count(base: TableBase) -> int:
    """Balloons of the foot, the one with the sand among them."""
    return base.cluster.count + (base.sand == "yes")


def ring_radius(base: Cluster, ctx: Context) -> float:
    """Middle of the ring to the middles of its balloons [m]: k touching ones, R / sin(pi / k)."""
    radius = ctx.stock(base.slots[0]).inflated_m / 2
    return PRESSED * radius / float(np.sin(np.pi / base.count))


def base_wide(base: Cluster, ctx: Context) -> float:
    """Across the foot [m]."""
    return 2 * ring_radius(base, ctx) + ctx.stock(base.slots[0]).inflated_m


def base_high(base: Cluster, ctx: Context) -> float:
    """Table to the top of the foot [m]."""
    return (1 + PRESSED) * ctx.stock(base.slots[0]).inflated_m / 2


def _sand_across(base: Cluster, ctx: Context) -> float:
    """The ball that lies on the table in the middle of the ring and touches all of it [m]."""
    radius = ctx.stock(base.slots[0]).inflated_m / 2
    return min(ring_radius(base, ctx) ** 2 / (4 * radius) * 2, LARGEST_SAND_M)


def add_table_base(
    draft: Draft, ctx: Context, base: TableBase, shades: Sequence[str], stick_top_m: float
) -> None:
    """Ring, sand and the stick up to `stick_top_m` [m], as the first step of a piece."""
    draft.on_table = True
    stick = ctx.catalog.item("table stick")
    radius = ctx.stock(base.cluster.slots[0]).inflated_m / 2
    out, count = ring_radius(base.cluster, ctx), base.cluster.count
    names = base.shades or list(shades)
    turn = 2 * np.pi * (np.arange(count) + 0.5) / count
    ways = np.column_stack([np.sin(turn), -np.cos(turn), np.zeros(count)])
    rows = list(
        draft.cluster(
            str(base.cluster),
            out * ways + [0.0, 0.0, PRESSED * radius],
            ways,
            [ctx.stock(balloon) for balloon in base.cluster.slots],
            [ctx.shade(names[at % len(names)]) for at in range(count)],
            np.array([0.0, 0.0, PRESSED * radius]),
            Role.BODY,
        )
    )
    sand_text, measures = "", {"stick_m": stick_top_m}
    if base.sand == "yes":
        rows.append(_sand(draft, ctx, base.cluster, names[0]))
        measures["sand_kg"] = _sand_kg(base.cluster, ctx)
        sand_text = message(
            "Fill a 5in balloon with {mass} of dry sand through a funnel until it is {across} "
            "across, knot it, and tie it under the middle.",
            mass=ctx.mass(measures["sand_kg"]),
            across=ctx.length(_sand_across(base.cluster, ctx)),
        )
    held = draft.hardware(
        HardwarePlaced(
            stick.item,
            "frame",
            1,
            "each",
            ((0.0, 0.0, 0.005), (0.0, 0.0, stick_top_m)),
            stick.diameter_m or 0.008,
        )
    )
    draft.work("stack cluster", 1)
    draft.step(
        message("Make the foot"),
        sentences(
            message("Tie the {cluster} so that it lies flat.", cluster=cluster_word(base.cluster)),
            sand_text,
            message(
                "Push the stick down between the necks, twist two balloons round it, and check "
                "that it stands upright."
            ),
        ),
        balloons=rows,
        hardware=[held],
        measures=measures,
    )


def _sand(draft: Draft, ctx: Context, base: Cluster, shade: str) -> int:
    across = _sand_across(base, ctx)
    stock = ctx.stock(Inflated(SAND_BALL, across))
    draft.supply("sand for table bases, kg", _sand_kg(base, ctx))
    draft.work("topper", 1)
    up = np.array([0.0, 0.0, 1.0])
    return draft.balloon(across / 2 * up, up, stock, ctx.shade(shade), Role.BODY)


def _sand_kg(base: Cluster, ctx: Context) -> float:
    return float(SAND_KG_M3 * np.pi / 6 * _sand_across(base, ctx) ** 3)


def check_table_base(base: TableBase, ctx: Context, place: str, height_m: float) -> list[Finding]:
    """Whether the foot can be tied, stands, and carries a piece so high [m]."""
    found = checks.cluster(base.cluster, ctx, f"{place}.cluster")
    found += checks.shades(base.shades, ctx, f"{place}.shades")
    if has_errors(found):
        return found
    one = len(set(base.cluster.slots)) == 1
    families = {ctx.balloon(balloon).family for balloon in base.cluster.slots}
    if not one or not 3 <= base.cluster.count <= 6 or families != {Family.ROUND}:
        what = message("A foot is a ring of three to six equal round balloons.")
        mend = message('Write it like "4 x 5in @ 4.5in".')
        return [*found, error("no-table-base", f"{place}.cluster", what, mend)]
    if base.sand == "no" and height_m > STEADY * base_wide(base.cluster, ctx):
        what = message("So high on so small a foot it tips at a touch.")
        mend = message("Put sand in its middle, or take larger balloons for the foot.")
        found.append(caution("tips-easily", place, what, mend))
    return found


def check_stick(ctx: Context, place: str, stick_m: float) -> list[Finding]:
    """Whether the stick reaches so high [m]; `place` is that of the height."""
    longest = ctx.catalog.item("table stick").length_m or 0.75
    if stick_m <= longest:
        return []
    what = message(
        "It takes a stick of {need}; those for tables have {long}.",
        need=ctx.length(stick_m),
        long=ctx.length(longest),
    )
    return [error("no-pole", place, what, message("Build it lower, or stand it on the floor."))]
