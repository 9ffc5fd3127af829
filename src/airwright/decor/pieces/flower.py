"""Flowers: petals round a middle, on a stem for a table or tied into other decor.

 O O        k petals of radius R touch each other and a middle of radius c when
O o O           (R + c) sin(pi / k) = R
 O O        a larger middle holds them apart, a smaller one sinks in
  |
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.catalog import Family
from airwright.decor import checks
from airwright.decor.assembly import Assembly, Floats, Role
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.kinds import PieceKind
from airwright.decor.parts.facing import cluster_word
from airwright.decor.parts.hanging import clear_line
from airwright.decor.parts.table_base import (
    TableBase,
    add_table_base,
    base_count,
    base_high,
    check_stick,
    check_table_base,
)
from airwright.job.cluster import Cluster, Inflated
from airwright.job.findings import Finding, error, has_errors, hint
from airwright.job.pieces import PieceSpec
from airwright.language import message, sentences
from airwright.params import Param

PRESSED: Final = 0.96
"""Distances of tied petals over those of hard balls that touch."""

FORWARD: Final = 0.5
"""How far the middles sit before the petals, in radii of the middle."""

LOOSE: Final = 0.12
"""A gap from petal to petal that is larger, in diameters, shows."""

TILTED_RAD: Final = 0.25
"""A flower on a stem looks up a little."""


class FlowerSpec(PieceSpec):
    """Keys of a flower."""

    kind: Annotated[Literal["flower"], Param(message("A flower."))] = "flower"
    height: Annotated[
        float,
        Param(
            message("Table to its top on a stem; floor to its middle where it is tied on."),
            units.LENGTH,
            "8 in",
            "30 ft",
        ),
    ] = 0.6
    petals: Annotated[
        Cluster, Param(message("Its petals, all alike."), example="5 x 5in @ 4.5in")
    ] = Cluster.parse("5 x 5in @ 4.5in")
    middle: Annotated[
        Inflated, Param(message("The balloon in its middle."), example="5in @ 3in")
    ] = Inflated.parse("5in @ 3in")
    rings: Annotated[
        int, Param(message("Rings of petals, one behind the other."), low=1, high=3)
    ] = 1
    shades: Annotated[
        list[str],
        Param(message("Shades of the petals, taken in turn."), group=message("Color"), shades=True),
    ] = Field(min_length=1)
    middle_shade: Annotated[
        str, Param(message("Shade of the middle."), longest=60, group=message("Color"), shades=True)
    ]
    on: Annotated[
        Literal["stem", "line"],
        Param(message("On a stem with a foot for a table, or tied on by a line.")),
    ] = "stem"
    base: Annotated[
        TableBase, Param(message("What its stem stands on."), group=message("Foot"))
    ] = TableBase()


def petal_ring(spec: FlowerSpec, ctx: Context) -> float:
    """Middle of the flower to the middles of its petals [m]: they touch each other, or the
    middle where that is larger."""
    petal = ctx.stock(spec.petals.slots[0]).inflated_m / 2
    middle = ctx.stock(spec.middle).inflated_m / 2
    beside = petal / float(np.sin(np.pi / spec.petals.count))
    forward = FORWARD * middle
    around = float(np.sqrt(max((petal + middle) ** 2 - forward**2, 0.0)))
    return PRESSED * max(beside, around)


def _places(spec: FlowerSpec, ctx: Context) -> tuple[Floats, Floats]:
    """Petals (rings * k, 3) and middle (3,) of a flower that looks to -y, round the origin [m]."""
    petal = ctx.stock(spec.petals.slots[0]).inflated_m / 2
    middle = ctx.stock(spec.middle).inflated_m / 2
    out, count = petal_ring(spec, ctx), spec.petals.count
    rows: list[Floats] = []
    for ring in range(spec.rings):
        turn = 2 * np.pi * (np.arange(count) + 0.5 * (ring % 2)) / count
        wider = out * (1 + 0.45 * ring)
        # The next ring lies in the gaps behind, touching the one before.
        apart = 2 * wider * out * (1 - np.cos(np.pi / count)) + (wider - out) ** 2
        back = 0.0 if ring == 0 else float(np.sqrt(max((2 * PRESSED * petal) ** 2 - apart, 0.0)))
        deep = back + (rows[-1][0, 1] if rows else 0.0)
        ways = np.column_stack([np.sin(turn), np.zeros(count), np.cos(turn)])
        rows.append(wider * ways + [0.0, deep, 0.0])
    return np.concatenate(rows), np.array([0.0, -FORWARD * middle, 0.0])


def build(spec: FlowerSpec, ctx: Context) -> Assembly:
    """A flower over the origin, looking to the front."""
    draft = Draft(spec.name, spec.kind)
    petals, middle = _places(spec, ctx)
    tilt = TILTED_RAD if spec.on == "stem" else 0.0
    c, s = np.cos(tilt), np.sin(tilt)
    turned = np.array([[1.0, 0, 0], [0, c, s], [0, -s, c]])
    petals, middle, front = petals @ turned.T, turned @ middle, turned @ [0.0, -1.0, 0.0]
    radius = ctx.stock(spec.petals.slots[0]).inflated_m / 2
    top = float(petals[:, 2].max()) + radius
    high = spec.height - (top if spec.on == "stem" else 0.0)
    at = np.array([0.0, 0.0, high])
    if spec.on == "stem":
        add_table_base(draft, ctx, spec.base, spec.shades[:1], high)
    _add(draft, spec, ctx, (petals + at, middle + at), at, front)
    return draft.finish()


def _add(
    draft: Draft,
    spec: FlowerSpec,
    ctx: Context,
    places: tuple[Floats, Floats],
    tie: Floats,
    front: Floats,
) -> None:
    petals, middle = places
    count = spec.petals.count
    rows: list[int] = []
    for ring in range(spec.rings):
        here = petals[ring * count : (ring + 1) * count]
        rows += draft.cluster(
            str(spec.petals),
            here,
            here - tie,
            [ctx.stock(balloon) for balloon in spec.petals.slots],
            [ctx.shade(spec.shades[k % len(spec.shades)]) for k in range(count)],
            tie,
            Role.BODY,
            layer=ring,
        )
    draft.work("stack cluster", spec.rings)
    word = cluster_word(spec.petals)
    draft.step(
        message("Tie the petals"),
        sentences(
            message("Tie the {cluster} flat, like a star.", cluster=word),
            message("Tie the next ring behind it, its petals in the gaps.")
            if spec.rings > 1
            else "",
            message("Wrap its necks round the top of the stem.") if spec.on == "stem" else "",
        ),
        balloons=rows,
    )
    one = draft.balloon(
        middle, front, ctx.stock(spec.middle), ctx.shade(spec.middle_shade), Role.ACCENT
    )
    draft.work("topper", 1)
    back = tie + np.array([0.0, 0.10, 0.0])
    line = [] if spec.on == "stem" else [clear_line(draft, "tie", [tie, back], 0.3)]
    draft.step(
        message("Set the middle"),
        sentences(
            message("Pull the neck of the middle through between the petals and knot it behind."),
            message("Turn it to the front.")
            if spec.on == "stem"
            else message("Tie the flower on by its line where it belongs."),
        ),
        balloons=[one],
        strands=line,
    )


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: FlowerSpec, ctx: Context) -> int:
    """How many balloons it takes, exactly."""
    foot = base_count(spec.base) if spec.on == "stem" else 0
    return foot + spec.rings * spec.petals.count + 1


def check(spec: FlowerSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = checks.cluster(spec.petals, ctx, f"{place}.petals")
    found += checks.inflated(spec.middle, ctx, f"{place}.middle")
    found += checks.shades(spec.shades, ctx, f"{place}.shades")
    found += checks.shades([spec.middle_shade], ctx, f"{place}.middle_shade")
    if spec.on == "stem":
        found += check_table_base(spec.base, ctx, f"{place}.base", spec.height)
    if has_errors(found):
        return found
    if len(set(spec.petals.slots)) > 1 or not 4 <= spec.petals.count <= 8:
        what = message("A flower has four to eight equal petals.")
        mend = message('Write them like "5 x 5in @ 4.5in".')
        return [*found, error("no-flower", f"{place}.petals", what, mend)]
    if ctx.balloon(spec.middle).family is not Family.ROUND:
        what = message("The middle of a flower is a round balloon.")
        return [*found, error("no-flower", f"{place}.middle", what,
                              message('Write it like "5in @ 3in".'))]  # fmt: skip
    return found + _check_fit(spec, ctx, place)


def _check_fit(spec: FlowerSpec, ctx: Context, place: str) -> list[Finding]:
    """Petals that touch, and a stem that reaches over its foot and no further than it has."""
    found: list[Finding] = []
    petal = ctx.stock(spec.petals.slots[0]).inflated_m
    out = petal_ring(spec, ctx)
    apart = 2 * out * float(np.sin(np.pi / spec.petals.count)) - petal
    if apart > LOOSE * petal:
        what = message("Gaps of {gap} are left from petal to petal.", gap=ctx.length(apart))
        mend = message("Take a smaller middle, or one petal more.")
        found.append(hint("hole-left", f"{place}.middle", what, mend))
    if spec.on == "line":
        return found
    where = f"{place}.height"
    petals, _ = _places(spec, ctx)
    reach = float(np.hypot(petals[:, 0], petals[:, 2]).max()) + petal / 2
    least = 2 * reach + base_high(spec.base.cluster, ctx)
    if spec.height < least:
        what = message("Flower and foot come to {least}.", least=ctx.length(least))
        mend = message("Build it so high, or take smaller balloons.")
        return [*found, error("too-low", where, what, mend)]
    return found + check_stick(ctx, where, spec.height - reach)


KIND = PieceKind(
    name="flower",
    summary=message("A flower of petals round a middle, on a stem or tied into other decor."),
    spec=FlowerSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("height",),
    example="""\
name    = "Table flower"
kind    = "flower"
height  = "24 in"
petals  = "6 x 5in @ 4.5in"
middle  = "5in @ 4in"
shades  = ["coral"]
middle_shade = "gold"
base    = { cluster = "4 x 5in @ 4.5in", sand = "yes", shades = ["teal"] }
""",
)
