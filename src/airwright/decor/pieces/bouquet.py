"""Helium bouquets: balloons staggered on ribbons from one weight.

They float where lift, ribbon and neighbours balance: the ribbon holds each at its length, the
lift draws it over the weight, the others press it aside.

             O            the first in the list on top
          O  O  O         then rows of up to three round the middle,
           O O O          each turned into the gaps of the row above
            \\|/
             #            one weight
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.catalog import Family, Hardware
from airwright.catalog.size_words import size_word
from airwright.decor import checks
from airwright.decor.assembly import (
    Assembly,
    Floats,
    HardwarePlaced,
    Role,
    Shade,
    Stock,
    Strand,
)
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.kinds import PieceKind, grown
from airwright.decor.packing import Packed, SoftPacking, StraightRail, Tolerance, relax
from airwright.decor.parts.lift import net_lift
from airwright.decor.parts.neck import tie_below
from airwright.decor.parts.stack import residual_of
from airwright.job.cluster import Inflated
from airwright.job.findings import Finding, error, has_errors, hint
from airwright.job.pieces import PieceSpec, Table
from airwright.language import Text, counted, listing, message, sentences
from airwright.params import Param

ROW = 3
"""Balloons side by side in a row of the stagger (common practice: more hide each other)."""

STAGGER = 0.85
"""Height from row to row in diameters, when it is not given."""

LEAST_RIBBON_M = 0.35
"""A ribbon shorter than this is a stick: the lowest row would sit on the weight."""

TAIL_M = 0.20
"""Ribbon for the knots at both ends."""

CROWDED = 30
"""More balloons than this on one weight tangle before they are delivered (common practice)."""

BOW = 0.12
"""How far a ribbon bows inwards half way, of its sideways reach: the top row pulls hardest."""

TURNED_RAD = 0.35
"""The whole bouquet is turned a little, so that from the front no balloon hides another."""

TOLERANCE = Tolerance(relative=1e-4)


class Floaters(Table):
    """Equal balloons of a bouquet."""

    balloon: Annotated[
        Inflated, Param(message("Size and inflated diameter."), example="12in @ 11in")
    ]
    count: Annotated[int, Param(message("How many of it."), low=1, high=200)] = 1
    shades: Annotated[
        list[str],
        Param(
            message("Their shades, taken in turn."),
            shades=True,
        ),
    ] = Field(min_length=1)
    mark: Annotated[
        str | None, Param(message('Words or "dots" printed on it.'), longest=40, rare=True)
    ] = None


class BouquetSpec(PieceSpec):
    """Keys of a bouquet."""

    kind: Annotated[Literal["bouquet"], Param(message("A helium bouquet."))] = "bouquet"
    height: Annotated[
        float,
        Param(message("Floor to the top of the highest balloon."), units.LENGTH, "2 ft", "40 ft"),
    ] = 2.1336
    balloons: Annotated[
        list[Floaters], Param(message("The balloons from the top down."), group=message("Mix"))
    ] = Field(min_length=1)
    stagger: Annotated[
        float | None,
        Param(
            message("Height from one row to the next; most of a balloon if left out."),
            units.LENGTH,
            "0 in",
            "6 ft",
            rare=True,
        ),
    ] = None
    ribbon: Annotated[
        str | None,
        Param(
            message("Shade of the ribbons; white if left out."),
            longest=60,
            shades=True,
        ),
    ] = None
    factor: Annotated[
        float,
        Param(message("How many times its lift the weight weighs."), low=1.2, high=20, rare=True),
    ] = 2.0


@dataclass(frozen=True, slots=True)
class _Floater:
    """One balloon of the bouquet, and the row it floats in (0 = top)."""

    stock: Stock
    shade: str
    lift_kg: float
    pressure_pa: float
    row: int


def _floaters(spec: BouquetSpec, ctx: Context) -> list[_Floater]:
    each: list[tuple[Stock, str, float, float]] = []
    for group in spec.balloons:
        stock = ctx.stock(group.balloon, helium=True, mark=group.mark)
        firm = ctx.pressure(group.balloon)
        for at in range(group.count):
            shade = group.shades[at % len(group.shades)]
            mass_g = ctx.balloon(group.balloon).mass_g * len(ctx.shade(shade).bags)
            each.append((stock, shade, net_lift(stock, mass_g, firm), firm))
    rows = _rows(len(each))
    return [_Floater(*one, row) for one, row in zip(each, rows, strict=True)]


def _rows(count: int) -> list[int]:
    """The row of each balloon: one on top, the rest in even rows, fuller ones below."""
    rest = count - 1
    rows = -(-rest // ROW)
    sizes = [1] + [(rest + at) // rows for at in range(rows)]
    return [row for row, many in enumerate(sizes) for _ in range(many)]


def _heights(spec: BouquetSpec, floaters: Sequence[_Floater]) -> list[float]:
    """Height of each row's centres [m], top row first."""
    largest = [
        max(f.stock.inflated_m for f in floaters if f.row == row)
        for row in range(floaters[-1].row + 1)
    ]
    heights = [spec.height - largest[0] / 2]
    for upper, lower in pairwise(largest):
        step = STAGGER * (upper + lower) / 2 if spec.stagger is None else spec.stagger
        heights.append(heights[-1] - step)
    return heights


def build(spec: BouquetSpec, ctx: Context) -> Assembly:
    """A bouquet whose weight stands over the origin."""
    draft = Draft(spec.name, spec.kind)
    floaters = _floaters(spec, ctx)
    heights = _heights(spec, floaters)
    weight, many = _weight(spec, floaters, ctx)
    knot = np.array([0.0, 0.0, weight.height_m or 0.07])
    packed = _floated(floaters, heights, knot, ctx)
    held = draft.hardware(
        HardwarePlaced(
            weight.item,
            "weight",
            many,
            "each",
            ((0.0, 0.0, 0.0),),
            weight.width_m or 0.07,
            weight.height_m or 0.07,
        )
    )
    ribbon = ctx.shade(spec.ribbon) if spec.ribbon else Shade("white ribbon", "#f7f5f0", "pearl")
    ribbons: list[Strand] = []
    rows = []
    for at, floater in enumerate(floaters):
        centre, axis = packed.centre[at], packed.axis[at]
        rows.append(
            draft.balloon(centre, axis, floater.stock, ctx.shade(floater.shade), Role.FLOATER)
        )
        neck = centre - tie_below(floater.stock) * axis
        ribbons.append(
            Strand("ribbon", path(_ribbon(neck, knot)), 0.005, ribbon, item="curling ribbon")
        )
    cuts = _cuts(floaters, ribbons)
    strands = [
        draft.strand(replace(ribbon, knots_m=cuts[floater.row] - ribbon.length_m))
        for floater, ribbon in zip(floaters, ribbons, strict=True)
    ]
    draft.doubt(residual_of(packed))
    draft.work("bouquet", 1)
    _steps(draft, floaters, ctx, (held, weight, many), cuts, (rows, strands))
    return draft.finish()


def _cuts(floaters: Sequence[_Floater], ribbons: Sequence[Strand]) -> list[float]:
    """Ribbon to cut for each row [m]: its longest one and the knots, rounded up to a centimetre."""
    longest: dict[int, float] = {}
    for floater, ribbon in zip(floaters, ribbons, strict=True):
        longest[floater.row] = max(longest.get(floater.row, 0.0), ribbon.length_m)
    return [float(np.ceil(100 * (longest[row] + TAIL_M))) / 100 for row in sorted(longest)]


def _floated(
    floaters: Sequence[_Floater], heights: Sequence[float], knot: Floats, ctx: Context
) -> Packed:
    """The balloons at rest on their ribbons."""
    radius = np.array([f.stock.inflated_m / 2 for f in floaters])
    start = np.array([[*_beside(floaters, at), heights[f.row]] for at, f in enumerate(floaters)])
    pull = np.zeros((len(floaters), 3))
    pull[:, 2] = [f.lift_kg * units.GRAVITY_M_S2 for f in floaters]
    return relax(
        SoftPacking(
            centre0=start,
            radius=radius,
            tie=np.zeros(len(floaters), dtype=np.int64),
            tie_s0=np.array([float(knot[2])]),
            neck_m=np.linalg.norm(start - knot, axis=1),
            pressure_pa=np.array([f.pressure_pa for f in floaters]),
            tie_free=np.array([False]),
            rail=StraightRail(),
            pull_n=pull,
        ),
        TOLERANCE,
    )


def _beside(floaters: Sequence[_Floater], at: int) -> tuple[float, float]:
    """Where in its row a balloon starts (x, y) [m]: a ring in the gaps of the row above."""
    row = floaters[at].row
    mates = [k for k, other in enumerate(floaters) if other.row == row]
    if len(mates) == 1:
        return (0.0, 0.0) if row == 0 else (0.002, -0.003)  # off the knife's edge
    largest = max(floaters[k].stock.inflated_m for k in mates)
    out = largest / 2 / np.sin(np.pi / len(mates))
    turn = 2 * np.pi * mates.index(at) / len(mates) + row * np.pi / len(mates) + TURNED_RAD
    return float(out * np.sin(turn)), float(-out * np.cos(turn))


def _ribbon(neck: Floats, knot: Floats) -> Floats:
    """A ribbon from neck to knot (n, 3) [m], bowed a little towards the middle."""
    middle = (neck + knot) / 2
    middle[:2] -= 2 * BOW * (neck - knot)[:2]
    t = np.linspace(0.0, 1.0, 17)[:, None]
    curve: Floats = (1 - t) ** 2 * neck + 2 * t * (1 - t) * middle + t**2 * knot
    return curve


# ---- weight and steps -------------------------------------------------------------------------


def _weight(spec: BouquetSpec, floaters: Sequence[_Floater], ctx: Context) -> tuple[Hardware, int]:
    """The weight from the catalogue and how many: the lightest set that is heavy enough."""
    need = spec.factor * sum(f.lift_kg for f in floaters)
    choices = [
        (many * row.mass_kg, many, row)
        for row in ctx.catalog.of_use("weight")
        for many in [max(1, int(np.ceil(need / row.mass_kg - 1e-9)))]
    ]
    _, many, row = min(choices, key=lambda choice: (choice[1], choice[0]))
    return row, many


def _steps(
    draft: Draft,
    floaters: Sequence[_Floater],
    ctx: Context,
    weight: tuple[int, Hardware, int],
    cuts: Sequence[float],
    placed: tuple[list[int], list[int]],
) -> None:
    held, item, many = weight
    lift_kg = sum(f.lift_kg for f in floaters)
    balloons, strands = placed
    draft.step(
        message("Get the weight ready"),
        sentences(
            counted(
                "Put out {n} {item}.",
                "Put out {n} × {item} and tie them together.",
                many,
                item=message("bouquet weight"),
            ),
            message(
                "It weighs {mass}; the balloons pull up with {lift}.",
                lift=ctx.mass(lift_kg),
                mass=ctx.mass(many * item.mass_kg),
            ),
            message("Never let go of a balloon before its ribbon is tied to the weight."),
        ),
        hardware=[held],
        measures={"lift_kg": lift_kg, "weight_kg": many * item.mass_kg},
    )
    for row, cut_m in enumerate(cuts):
        here = [at for at, f in enumerate(floaters) if f.row == row]
        kinds = Counter((floaters[at].stock.size, floaters[at].shade) for at in here)
        what = listing(
            [
                message("{n} × {size} {shade}", n=n, size=size_word(size), shade=shade)
                for (size, shade), n in kinds.items()
            ]
        )
        draft.step(
            message("Top row") if row == 0 else message("Row {n}, counted from the top", n=row + 1),
            sentences(
                message("Fill with helium: {what}.", what=what),
                _closing(floaters, here),
                message("Cut {cut} of ribbon for each and tie it to the neck.", cut=ctx.cut(cut_m)),
                message("Tie the other end to the weight, so that all of the row float level.")
                if len(here) > 1
                else message("Tie the other end to the weight."),
                message("They float in the gaps of the row above.")
                if row and len(here) > 1
                else "",
            ),
            balloons=[balloons[at] for at in here],
            strands=[strands[at] for at in here],
            measures={"cut_m": cut_m},
        )


def _closing(floaters: Sequence[_Floater], here: Sequence[int]) -> Text:
    """How the balloons of a row are closed."""
    foil = {floaters[at].stock.family is Family.FOIL for at in here}
    if foil == {True}:
        return message("Foil seals itself: press its valve flat.")
    if foil == {False}:
        return message("Stretch the neck and knot it.")
    return message("Knot the latex necks; press the foil valves flat.")


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: BouquetSpec, ctx: Context) -> int:
    """How many balloons it takes, exactly."""
    return sum(group.count for group in spec.balloons)


def check(spec: BouquetSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found: list[Finding] = []
    for at, group in enumerate(spec.balloons):
        found += _check_group(group, spec, ctx, f"{place}.balloons[{at}]")
    if spec.ribbon:
        found += checks.shades([spec.ribbon], ctx, f"{place}.ribbon")
    if not ctx.catalog.of_use("weight"):
        what = message("The catalog has no weight for a bouquet.")
        found.append(error("no-weight", place, what, message("Add one to the studio file.")))
    if has_errors(found):
        return found
    found += checks.too_many(estimate(spec, ctx), place)
    count = estimate(spec, ctx)
    if count > CROWDED:
        what = message("{count} balloons on one weight tangle.", count=count)
        mend = message("Make several bouquets of it, with count = 2 or more.")
        found.append(hint("crowded", f"{place}.balloons", what, mend))
    return found + _check_room(spec, ctx, place)


def _check_group(group: Floaters, spec: BouquetSpec, ctx: Context, place: str) -> list[Finding]:
    found = checks.inflated(group.balloon, ctx, f"{place}.balloon")
    found += checks.shades(group.shades, ctx, f"{place}.shades")
    if has_errors(found):
        return found
    row = ctx.balloon(group.balloon)
    where = f"{place}.balloon"
    if row.family not in (Family.ROUND, Family.FOIL):
        what = message("A {size} does not float.", size=row.size)
        return [
            *found,
            error("does-not-float", where, what, message("Use round or foil balloons.")),
        ]
    mass_g = row.mass_g * max(len(ctx.shade(name).bags) for name in group.shades)
    lift = net_lift(ctx.stock(group.balloon), mass_g, ctx.pressure(group.balloon))
    ribbon = sum(part.mass_kg for part in ctx.catalog.of_use("ribbon")[:1]) * spec.height
    if lift <= ribbon:
        what = message(
            "{balloon} lifts {value} g beyond its own skin; its ribbon weighs {value_2} g.",
            balloon=group.balloon,
            value=f"{max(1000 * lift, 0.0):.1f}",
            value_2=f"{1000 * ribbon:.1f}",
        )
        mend = message("Fill it larger, take a larger balloon, or hang it from one that floats.")
        return [*found, error("does-not-float", where, what, mend)]
    if not row.helium:
        what = message("A {size} is not sold for helium.", size=row.size)
        return [
            *found,
            hint("not-for-helium", where, what, message("Try one before you promise it.")),
        ]
    return found


def _check_room(spec: BouquetSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether the lowest row still floats above the weight."""
    floaters = _floaters(spec, ctx)
    heights = _heights(spec, floaters)
    lowest = (
        heights[-1] - max(f.stock.inflated_m for f in floaters if f.row == floaters[-1].row) / 2
    )
    short = LEAST_RIBBON_M + 0.1 - lowest
    if short <= 0:
        return []
    what = message(
        "{heights} rows do not fit under {height}.",
        heights=len(heights),
        height=ctx.length(spec.height),
    )
    mend = message(
        "Let it float {value} high, or use fewer balloons.",
        value=ctx.length(spec.height + short),
    )
    return [error("too-low", f"{place}.height", what, mend)]


def _counted(values: Mapping[str, Any], factor: float) -> dict[str, Any]:
    """As many more of each balloon."""
    rows = values["balloons"]
    return {"balloons": [r.model_copy(update={"count": grown(r.count, factor)}) for r in rows]}


KIND = PieceKind(
    name="bouquet",
    summary=message("Helium balloons, latex and foil, staggered on ribbons from one weight."),
    spec=BouquetSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=(),
    counted=_counted,
    example="""\
name     = "Table bouquet"
kind     = "bouquet"
height   = "7 ft"
balloons = [
  { balloon = "18in foil round", shades = ["gold"] },
  { balloon = "12in @ 11in", count = 6, shades = ["coral", "white", "teal"] },
]
""",
)
