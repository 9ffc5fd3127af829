"""Ceilings: loose helium balloons with ribbons, hung strands, or swags from point to point.

____________________       ___________       _______________________
 o o  oo  o o  oo  o        |  |  |  |        \\_       _/\\_       _/
 | |  ||  | |  ||  |        o  o  o  o           'o-o-o'    'o-o-o'
 | |  ||  | |  ||  |        o  o  o  o
loose                      strands           swags
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from airwright.catalog import Family
from airwright.decor import checks
from airwright.decor.armatures import Catenary, Line
from airwright.decor.assembly import Assembly, Floats, Role, Shade, Strand
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.kinds import PieceKind, grown
from airwright.decor.parts.blend import blend, shares_of
from airwright.decor.parts.ceiling_spec import CeilingSpec, balloon_of
from airwright.decor.parts.ceiling_strands import (
    Across,
    add_linked,
    bare_middle,
    bare_reach,
    half_kg,
    in_the_middle,
    linked,
)
from airwright.decor.parts.hanging import clear_line, hook, samples
from airwright.decor.parts.lift import net_lift
from airwright.decor.parts.organic import share_out
from airwright.decor.parts.overhead_grid import bunches_over, reach_of
from airwright.job.findings import Finding, caution, error, has_errors, hint
from airwright.language import counted, listing, message, sentences

DENSEST = 0.75
"""Share of the ceiling that loose balloons may cover: discs put down by hand jam at about 0.82,
and they need room to be walked in and out."""

KNOTS_M = 0.15
"""Ribbon beyond its length for the knot at the neck."""

SPARE_LINE = 0.4
"""Line beyond its length for knots and loops [m]."""

LEAST_SPAN = 3.0
"""A swag over less than this many of its balloons is a bunch."""

HEADROOM_M = 2.1
"""What hangs lower is in the way of heads (common practice: the height of a door)."""


def _across(spec: CeilingSpec, ctx: Context) -> float:
    return ctx.stock(balloon_of(spec)).inflated_m


def build(spec: CeilingSpec, ctx: Context) -> Assembly:
    """Decor under a ceiling, its middle over the origin."""
    draft = Draft(spec.name, spec.kind)
    {"loose": _loose, "strands": _strands, "swags": _swags}[spec.form](draft, spec, ctx)
    return draft.finish()


# ---- loose balloons ---------------------------------------------------------------------------


def loose_count(spec: CeilingSpec) -> int:
    """How many loose balloons: area of the ceiling over the square that each gets."""
    return max(1, round(spec.width * spec.length / spec.every**2))


def _loose(draft: Draft, spec: CeilingSpec, ctx: Context) -> None:
    stock = ctx.stock(balloon_of(spec), helium=True)
    count, radius = loose_count(spec), stock.inflated_m / 2
    centre = np.column_stack([_places(spec, count, radius), np.zeros(count)])
    centre[:, 2] = spec.height - radius
    names = _blended(spec, centre, radius)
    up = np.array([0.0, 0.0, 1.0])
    neck = spec.height - 2.06 * radius
    ribbon = ctx.shade(spec.ribbon) if spec.ribbon else Shade("white ribbon", "#f7f5f0", "pearl")
    rows, ribbons = [], []
    for at, name in zip(centre, names, strict=True):
        rows.append(draft.balloon(at, up, stock, ctx.shade(name), Role.FLOATER))
        top = np.array([at[0], at[1], neck])
        foot = np.array([at[0], at[1], min(spec.ribbons_to, neck - 0.01)])
        ribbons.append(
            draft.strand(
                Strand("ribbon", path([top, foot]), 0.005, ribbon, item="curling ribbon",
                       knots_m=KNOTS_M)
            )
        )  # fmt: skip
    cut = draft.strand_at(ribbons[0]).cut_m
    draft.step(
        message("Fill, knot and tie on the ribbons"),
        sentences(
            message("Cut {n} ribbons of {cut}.", n=count, cut=ctx.cut(cut)),
            message("Fill with helium to the sizing card, knot, tie a ribbon to each neck."),
            message(
                "Hold ten at a time by their ribbons; never let one go outdoors, and carry them "
                "through doors in bags."
            ),
        ),
        balloons=rows[:1],
        strands=ribbons[:1],
        measures={"cut_m": cut},
    )
    _let_rise(draft, spec, ctx, rows, ribbons)


def _let_rise(
    draft: Draft, spec: CeilingSpec, ctx: Context, rows: list[int], ribbons: list[int]
) -> None:
    half = max(1, len(rows) // 2)
    side = spec.every * float(np.sqrt(spec.bunch))
    where = (
        message(
            "Let them rise in bunches of {n}, one bunch to each {side} of ceiling.",
            n=spec.bunch,
            side=ctx.length(side),
        )
        if spec.bunch > 1
        else message("Let one rise to each {side} of ceiling, both ways.",
                     side=ctx.length(side))
    )  # fmt: skip
    draft.step(
        message("Let the back half rise"),
        sentences(
            where,
            message("Keep clear of lamps, fans, vents, detectors and sprinklers."),
        ),
        balloons=rows[half:],
        strands=ribbons[half:],
        measures={"side_m": side},
    )
    draft.step(
        message("Let the front half rise"),
        sentences(
            message("Go on towards the door, so that nobody walks through ribbons."),
            message("Take them down by their ribbons after the event; release none."),
        ),
        balloons=rows[1:half],
        strands=ribbons[1:half],
    )


def _places(spec: CeilingSpec, count: int, radius: float) -> Floats:
    """Middles (count, 2) [m], those at the front first."""
    seed = None if spec.pattern == "grid" else spec.seed
    return bunches_over(count, spec.bunch, radius, (spec.width, spec.length), seed)


def _blended(spec: CeilingSpec, centre: Floats, radius: float) -> list[str]:
    one = np.zeros(len(centre), dtype=np.int64)
    return blend(centre, np.full(len(centre), radius), one, [shares_of(spec.shades)], spec.seed)


# ---- strands and swags ------------------------------------------------------------------------


def _strands(draft: Draft, spec: CeilingSpec, ctx: Context) -> None:
    stock = ctx.stock(balloon_of(spec))
    many = linked(spec.drop, stock.inflated_m)
    step_x, step_y = spec.width / spec.columns, spec.length / spec.rows
    spots = [
        ((col + 0.5) * step_x - spec.width / 2, (row + 0.5) * step_y - spec.length / 2)
        for row in range(spec.rows)
        for col in range(spec.columns)
    ]
    lines = [Line((x, y, spec.height), (x, y, spec.height - spec.drop)) for x, y in spots]
    names = _in_turn(spec, many * len(lines))
    made = _Made([], [], [])
    for at, line in enumerate(lines):
        made.rows.append(add_linked(draft, ctx, line, stock, names[at * many : (at + 1) * many]))
        made.strings.append(clear_line(draft, "hanging line", [line.start, line.end], SPARE_LINE))
        made.hooks.append(hook(draft, ctx, line.start))
    draft.work("stack cluster", 0.5 * many * len(lines))
    draft.work("hang garland", float(len(lines)))
    _hung_steps(draft, ctx, made, spec)


@dataclass(frozen=True, slots=True)
class _Made:
    """Strands or swags: the rows and the line of each, and the hooks of all."""

    rows: list[list[int]]
    strings: list[int]
    hooks: list[int]


def swag_ends(spec: CeilingSpec) -> list[tuple[Floats, Floats]]:
    """Both ends (2,) [m] of every swag, seen from above."""
    if spec.swags_lead == "side to side":
        ys = ((np.arange(spec.swags) + 0.5) / spec.swags - 0.5) * spec.length
        return [(np.array([-spec.width / 2, y]), np.array([spec.width / 2, y])) for y in ys]
    turn = 2 * np.pi * (np.arange(spec.swags) + 0.5) / spec.swags
    ways = np.column_stack([np.sin(turn), -np.cos(turn)])
    half = np.array([spec.width, spec.length]) / 2
    with np.errstate(divide="ignore"):
        reach = (half / np.abs(ways)).min(axis=1)
    return [(np.zeros(2), far * way) for far, way in zip(reach, ways, strict=True)]


def _bare(spec: CeilingSpec, curve: Catenary, across: float) -> float:
    """Line of a swag without balloons at the middle, where all of them meet [m]."""
    return bare_middle(curve, spec.swags, across) if spec.swags_lead == "from the middle" else 0.0


def _curves(spec: CeilingSpec) -> list[Catenary]:
    spans = [float(np.linalg.norm(b - a)) for a, b in swag_ends(spec)]
    return [Catenary(span, spec.sag, hanging=True) for span in spans]


def _swags(draft: Draft, spec: CeilingSpec, ctx: Context) -> None:
    stock = ctx.stock(balloon_of(spec))
    ends = swag_ends(spec)
    curves = _curves(spec)
    bare = [_bare(spec, curve, stock.inflated_m) for curve in curves]
    counts = [
        linked(curve.length_m - empty, stock.inflated_m)
        for curve, empty in zip(curves, bare, strict=True)
    ]
    names = _in_turn(spec, sum(counts))
    made = _Made([], [], [])
    starts = [0, *np.cumsum(counts)]
    hooked: set[tuple[float, float]] = set()
    for at, ((a, b), curve) in enumerate(zip(ends, curves, strict=True)):
        line = Across(curve, a, b, spec.height)
        made.rows.append(
            add_linked(draft, ctx, line, stock, names[starts[at] : starts[at + 1]], bare[at])
        )
        made.strings.append(clear_line(draft, "swag line", samples(line), SPARE_LINE))
        for end in (a, b):
            spot = (float(end[0]), float(end[1]))
            if spot not in hooked:  # in the middle all swags share one
                hooked.add(spot)
                made.hooks.append(hook(draft, ctx, (*spot, spec.height)))
    total = sum(curve.length_m for curve in curves)
    draft.work("stack cluster", 0.5 * sum(counts))
    draft.work("hang garland", total)
    _hung_steps(draft, ctx, made, spec)


def _in_turn(spec: CeilingSpec, count: int) -> list[str]:
    """Shades along the strands: a list in turn, shares mixed by chance."""
    if isinstance(spec.shades, list):
        return [spec.shades[at % len(spec.shades)] for at in range(count)]
    names = list(spec.shades)
    weights = np.array([spec.shades[name] for name in names])
    dealt = np.repeat(np.arange(len(names)), share_out(count, weights.tolist()))
    return [names[at] for at in np.random.default_rng(spec.seed).permutation(dealt)]


def _hung_steps(draft: Draft, ctx: Context, made: _Made, spec: CeilingSpec) -> None:
    """Tie the first, tie the others, hang all."""
    swag = spec.form == "swags"
    cut = draft.strand_at(made.strings[0]).cut_m
    draft.step(
        message("Tie the first swag") if swag else message("Tie the first strand"),
        sentences(
            message("Knot the tail of each balloon to the neck of the next, {n} in a row.",
                    n=len(made.rows[0])),
            message("Lead a line of {cut} along it and knot it in every few balloons.",
                    cut=ctx.cut(cut)),
        ),
        balloons=made.rows[0],
        strands=made.strings[:1],
        measures={"cut_m": cut},
    )  # fmt: skip
    if len(made.rows) > 1:
        draft.step(
            message("Tie the others"),
            sentences(
                _lengths(draft, ctx, made),
                message(
                    "Shades follow each other as on the drawing; hang each up when it is done."
                ),
            ),
            balloons=[row for rows in made.rows[1:] for row in rows],
            strands=made.strings[1:],
        )
    middle = swag and spec.swags_lead == "from the middle"
    draft.step(
        counted("Hang it from {n} point", "Hang it from {n} points", len(made.hooks)),
        sentences(
            message("The points sit {high} above the floor.", high=ctx.length(spec.height)),
            in_the_middle(draft, ctx) if middle else "",
            message(
                "Who owns the ceiling says where it may be fixed and what a point holds; above "
                "people a qualified rigger decides."
            ),
            message("Keep clear of lamps, fans, vents, detectors and sprinklers."),
        ),
        hardware=made.hooks,
        measures={"height_m": spec.height} | ({"middle_kg": half_kg(draft, ctx)} if middle else {}),
    )


def _lengths(draft: Draft, ctx: Context, made: _Made) -> str:
    """How many are how long, where they differ; "" where all are alike."""
    kinds = Counter(
        (len(rows), ctx.cut(draft.strand_at(at).cut_m))
        for rows, at in zip(made.rows, made.strings, strict=True)
    )
    if len(kinds) == 1:
        return ""
    told = [
        message("{swags} with {n} balloons on {cut}", swags=many, n=n, cut=cut)
        for (n, cut), many in kinds.items()
    ]
    return message("They differ in length: {told}.", told=listing(told))


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: CeilingSpec, ctx: Context) -> int:
    """How many balloons it takes, exactly."""
    if spec.form == "loose":
        return loose_count(spec)
    across = _across(spec, ctx)
    if spec.form == "strands":
        return spec.columns * spec.rows * linked(spec.drop, across)
    return sum(
        linked(curve.length_m - _bare(spec, curve, across), across) for curve in _curves(spec)
    )


def check(spec: CeilingSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = checks.inflated(balloon_of(spec), ctx, f"{place}.balloon")
    found += checks.shades(list(spec.shades), ctx, f"{place}.shades")
    if spec.ribbon:
        found += checks.shades([spec.ribbon], ctx, f"{place}.ribbon")
    if not shares_of(spec.shades):
        what, mend = message("No shade has a share."), message("Give one of them a share above 0.")
        found.append(error("missing", f"{place}.shades", what, mend))
    if has_errors(found):
        return found
    own = {"loose": _check_loose, "strands": _check_strands, "swags": _check_swags}[spec.form]
    found += own(spec, ctx, place)
    return found if has_errors(found) else found + checks.too_many(estimate(spec, ctx), place)


def _check_loose(spec: CeilingSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether they float, fit, and stay where they are."""
    balloon = balloon_of(spec)
    row = ctx.balloon(balloon)
    where = f"{place}.balloon"
    if row.family not in (Family.ROUND, Family.FOIL):
        what = message("A {size} does not float.", size=row.size)
        return [error("does-not-float", where, what, message("Use round or foil balloons."))]
    if spec.setting == "open air":
        what = message("Loose balloons need a ceiling; in the open air they fly off.")
        mend = message("Tie them to weights as bouquets.")
        return [error("no-ceiling", f"{place}.setting", what, mend)]
    stock = ctx.stock(balloon)
    ribbon = sum(part.mass_kg for part in ctx.catalog.of_use("ribbon")[:1])
    hangs = max(spec.height - stock.inflated_m - spec.ribbons_to, 0.0)
    lift = net_lift(stock, row.mass_g, ctx.pressure(balloon))
    if lift <= ribbon * hangs:
        what = message(
            "{balloon} lifts {value} g beyond its own skin; its ribbon weighs {value_2} g.",
            balloon=balloon,
            value=f"{max(1000 * lift, 0.0):.1f}",
            value_2=f"{1000 * ribbon * hangs:.1f}",
        )
        mend = message("Fill it larger, take a larger balloon, or cut the ribbons shorter.")
        return [error("does-not-float", where, what, mend)]
    reach = reach_of(spec.bunch, stock.inflated_m / 2)
    least = reach * float(np.sqrt(np.pi / DENSEST / spec.bunch))
    narrow = 2 * reach > min(spec.width, spec.length) and loose_count(spec) > 1
    if spec.every < least or narrow:
        what = message(
            "Balloons of {across} in bunches of {n} do not fit one to each {every}: not all would "
            "reach the ceiling.",
            across=ctx.length(stock.inflated_m),
            n=spec.bunch,
            every=ctx.length(spec.every),
        )
        mend = (
            message("Take a wider ceiling, or smaller bunches.")
            if narrow
            else message("Give each {least} at least.", least=ctx.length(least))
        )
        return [error("ceiling-full", f"{place}.every", what, mend)]
    found = []
    if spec.ribbons_to < 1.0:
        what = message("Ribbons that end {low} above the floor are pulled and tangle.",
                       low=ctx.length(spec.ribbons_to))  # fmt: skip
        mend = message("Let them end above heads, or at least above the tables.")
        found.append(hint("ribbons-low", f"{place}.ribbons_to", what, mend))
    what = message("Loose balloons drift to lamps, fans and vents, and may set off detectors.")
    mend = message("Ask the venue which must stay clear, and switch fans off.")
    return [*found, hint("lamps-and-vents", place, what, mend)]


def _check_strands(spec: CeilingSpec, ctx: Context, place: str) -> list[Finding]:
    found = _check_linked(spec, ctx, place)
    across = _across(spec, ctx)
    if spec.width / spec.columns < across or spec.length / spec.rows < across:
        what = message("The strands hang closer than one balloon is wide.")
        mend = message("Hang fewer of them, or over a larger ceiling.")
        found.append(error("strands-too-close", f"{place}.columns", what, mend))
    return found + _check_headroom(spec.height - spec.drop, f"{place}.drop", ctx)


def _check_swags(spec: CeilingSpec, ctx: Context, place: str) -> list[Finding]:
    found = _check_linked(spec, ctx, place)
    spans = [float(np.linalg.norm(b - a)) for a, b in swag_ends(spec)]
    if spec.sag > 2.0 * min(spans):
        what = message("A swag of {span} cannot sag {sag}.", span=ctx.length(min(spans)),
                       sag=ctx.length(spec.sag))  # fmt: skip
        mend = message("Let it sag less, or lead it further.")
        return [*found, error("sag-too-deep", f"{place}.sag", what, mend)]
    across = _across(spec, ctx)
    least = LEAST_SPAN * across
    if min(spans) < least:
        what = message(
            "A path of {length} is too short for balloons of {large}.",
            length=ctx.length(min(spans)),
            large=ctx.length(across),
        )
        mend = message("Make it {value} at least.", value=ctx.length(least))
        return [*found, error("too-short", f"{place}.width", what, mend)]
    if spec.swags_lead == "side to side":
        close = spec.length / spec.swags < across
    else:
        close = any(c.length_m - _bare(spec, c, across) < across for c in _curves(spec))
        # beside each other they part only as they lead away from the middle
        close = close or any(c.width_m < 2 * bare_reach(spec.swags, across) for c in _curves(spec))
    if close:
        what = message("The swags hang closer than one balloon is wide.")
        mend = message("Lead fewer of them, or over a larger ceiling.")
        found.append(error("swags-too-close", f"{place}.swags", what, mend))
    return found + _check_headroom(spec.height - spec.sag, f"{place}.sag", ctx)


def _check_linked(spec: CeilingSpec, ctx: Context, place: str) -> list[Finding]:
    row = ctx.balloon(balloon_of(spec))
    if row.family in (Family.LINK, Family.ROUND):
        return []
    what = message("A {size} cannot be linked into a strand.", size=row.size)
    mend = message("Use link balloons, or round ones on a line.")
    return [error("cannot-be-linked", f"{place}.balloon", what, mend)]


def _check_headroom(lowest: float, place: str, ctx: Context) -> list[Finding]:
    if lowest <= 0.0:
        what = message("It would hang to below the floor.")
        return [error("below-floor", place, what, message("Make it shorter."))]
    if lowest < HEADROOM_M:
        what = message("It hangs down to {low}, where people walk into it.", low=ctx.length(lowest))
        mend = message("Hang it where nobody walks, or make it shorter.")
        return [caution("in-the-way", place, what, mend)]
    return []


def _counted(values: Mapping[str, Any], factor: float) -> dict[str, Any]:
    """As many more strands both ways, and swags."""
    return {key: grown(values[key], factor) for key in ("columns", "rows", "swags")}


KIND = PieceKind(
    name="ceiling",
    summary=message("Under a ceiling: loose helium balloons, hung strands, or swags."),
    spec=CeilingSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("width", "length"),
    counted=_counted,
    overhead=lambda spec: spec.form != "loose",
    under_ceiling=lambda spec: spec.form == "loose",
    example="""\
name       = "Dance floor ceiling"
kind       = "ceiling"
form       = "loose"
width      = "14 ft"
length     = "10 ft"
height     = "10 ft"
balloon    = "11in @ 10in"
every      = "18 in"
ribbons_to = "7 ft"
shades     = { white = 3, gold = 2, teal = 1 }
""",
)
