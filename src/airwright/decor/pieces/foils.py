"""Foil numbers and letters: strung on a line between poles or from hooks, or floating in a row.

|_4_0__Y_E_S_|     on poles: the line runs through the tabs at the top of the foils
o            o
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Final, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.catalog import UnknownName
from airwright.decor import checks
from airwright.decor.assembly import Assembly, Floats, HardwarePlaced, Role, Shade, Stock, Strand
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.foil_body import foil_shape
from airwright.decor.kinds import BuildError, PieceKind
from airwright.decor.parts.hanging import clear_line, hook
from airwright.decor.parts.lift import net_lift
from airwright.decor.parts.stand import add_stand, choose_pole
from airwright.job.cluster import Inflated
from airwright.job.findings import Finding, error, has_errors, hint
from airwright.job.pieces import PieceSpec
from airwright.language import counted, listing, message, sentences
from airwright.params import Param

BLANK: Final = 0.35
"""Width of a blank in heights."""

OWN_POLE: Final = 2
"""Up to so many foils each stand on a pole of their own; more hang on one line."""

POLES_APART_M: Final = 3.0
"""Most line between two poles [m]: longer, it sags (common practice)."""

HOOKS_APART_M: Final = 1.5
BESIDE_M: Final = 0.12
"""From the outermost foil to the pole or hook beside it [m]."""

BEHIND: Final = 0.14
"""How far a pole stands behind the middle of its foil, in heights: half its depth."""

TAB: Final = 0.02
"""Height of the line over the top of the foils, in heights."""

UP_POLE: Final = 0.75
"""How far up its foil a pole of its own reaches."""

LEAST_RIBBON_M: Final = 0.25
TAIL_M: Final = 0.20
"""Ribbon for the knots at both ends [m]."""

FACTOR: Final = 2.0
"""How many times the lift of a foil its weight weighs (common practice)."""


class FoilsSpec(PieceSpec):
    """Keys of foil numbers and letters."""

    kind: Annotated[Literal["foils"], Param(message("Foil numbers or letters, one a sign."))] = (
        "foils"
    )
    text: Annotated[
        str,
        Param(message("What it says: a number, a letter, a word."), example="40", longest=24),
    ] = Field(min_length=1)
    size: Annotated[
        Literal["16in", "34in", "40in"],
        Param(message("Their height when flat; those of 16 in do not float.")),
    ] = "34in"
    shades: Annotated[
        list[str],
        Param(message("Their shades, taken in turn."), group=message("Color"), shades=True),
    ] = Field(min_length=1)
    on: Annotated[
        Literal["stand", "hooks", "weights"],
        Param(
            message("With air on poles or on a line from hooks; with helium, floating on weights.")
        ),
    ] = "stand"
    height: Annotated[
        float, Param(message("Floor to their top."), units.LENGTH, "18 in", "40 ft")
    ] = 1.8288
    apart: Annotated[
        float, Param(message("Room from one foil to the next."), units.LENGTH, "0 in", "3 ft")
    ] = 0.0254
    ribbon: Annotated[
        str | None,
        Param(message("Shade of the ribbons; white if left out."), longest=60, shades=True),
    ] = None


@dataclass(frozen=True, slots=True)
class _Foil:
    """One foil: its sign, what is taken from the bag, its middle and its width [m]."""

    sign: str
    stock: Stock
    x: float
    wide: float


def _signs(spec: FoilsSpec) -> str:
    """Foils come as capitals and figures."""
    return " ".join(spec.text.upper().split())


def _foils(spec: FoilsSpec, ctx: Context) -> list[_Foil]:
    """The foils side by side, their middle over x = 0. Raises UnknownName."""
    made: list[_Foil] = []
    at = 0.0
    for sign in _signs(spec):
        stock = None if sign.isspace() else _stock(spec, ctx, sign)
        if stock is None:
            at += BLANK * made[-1].stock.inflated_m
            continue
        x0, _, x1, _ = foil_shape(sign).bounds
        wide = (x1 - x0) * stock.inflated_m
        made.append(_Foil(sign, stock, at + wide / 2, wide))
        at += wide + spec.apart
    half = (at - spec.apart) / 2
    return [_Foil(one.sign, one.stock, one.x - half, one.wide) for one in made]


def _stock(spec: FoilsSpec, ctx: Context, sign: str) -> Stock:
    made = Inflated(f"{spec.size} foil {sign}", None)
    return ctx.stock(made, helium=spec.on == "weights")


def build(spec: FoilsSpec, ctx: Context) -> Assembly:
    """A row of foils whose middle stands over the origin."""
    draft = Draft(spec.name, spec.kind)
    foils = _foils(spec, ctx)
    role = Role.FLOATER if spec.on == "weights" else Role.BODY
    rows = [
        draft.balloon(
            np.array([foil.x, 0.0, spec.height - foil.stock.inflated_m / 2]),
            np.array([0.0, 0.0, 1.0]),
            foil.stock,
            ctx.shade(spec.shades[at % len(spec.shades)]),
            role,
        )
        for at, foil in enumerate(foils)
    ]
    if spec.on == "weights":
        _float(draft, spec, ctx, foils, rows)
    elif spec.on == "stand" and len(foils) <= OWN_POLE:
        _on_poles(draft, spec, ctx, foils, rows)
    else:
        _string(draft, spec, ctx, foils, rows)
    return draft.finish()


def _fill_step(draft: Draft, foils: Sequence[_Foil], rows: list[int], spec: FoilsSpec) -> None:
    signs = listing([foil.sign for foil in foils])
    air = message(
        "Fill with air until the creases at the seams are short and the foil is firm, no further: "
        "foil does not stretch, it bursts."
    )
    draft.step(
        message("Fill the foils"),
        sentences(
            message("In order: {signs}.", signs=signs),
            air,
            message("Press each valve flat, and fold its tail away behind."),
        ),
        balloons=rows,
    )


def _on_poles(
    draft: Draft, spec: FoilsSpec, ctx: Context, foils: Sequence[_Foil], rows: list[int]
) -> None:
    """Each foil tied to a pole of its own behind it."""
    parts: list[int] = []
    for foil in foils:
        tall = foil.stock.inflated_m
        reach = spec.height - (1 - UP_POLE) * tall
        parts += _pole(draft, ctx, (foil.x, BEHIND * tall), reach)
    _pole_step(draft, ctx, parts, spec.height)
    _fill_step(draft, foils, rows, spec)
    draft.work("topper", len(foils))
    ties = [_tie(draft, spec, foil, share) for foil in foils for share in (0.3, 0.8)]
    cut = draft.strand_at(ties[0]).cut_m
    draft.step(
        message("Tie them to the poles"),
        sentences(
            message("Cut two lines of {cut} for each foil.", cut=ctx.cut(cut)),
            message("Tie it to its pole with one at its lowest tab and one at its top."),
            message("Turn it to the front before you pull the knot tight."),
        ),
        strands=ties,
        measures={"cut_m": cut},
    )


def _tie(draft: Draft, spec: FoilsSpec, foil: _Foil, share: float) -> int:
    """A short line from a foil to its pole, at a share of its height from the top."""
    tall = foil.stock.inflated_m
    high = spec.height - share * tall
    return clear_line(draft, "tie", [(foil.x, 0.02, high), (foil.x, BEHIND * tall, high)], 0.3)


def _pole(draft: Draft, ctx: Context, spot: tuple[float, float], top: float) -> list[int]:
    made = Draft("", "")
    add_stand(made, ctx, choose_pole(ctx, top), top)
    return [draft.hardware(part) for part in made.finish().moved((*spot, 0.0)).hardware]


def _pole_step(draft: Draft, ctx: Context, parts: list[int], height: float) -> None:
    draft.step(
        message("Stand the poles"),
        sentences(
            message("Stand each pole in its base, fill the base, and check that it is upright."),
            message("The foils reach up to {height}.", height=ctx.length(height)),
        ),
        hardware=parts,
        measures={"height_m": height},
    )


def _string(
    draft: Draft, spec: FoilsSpec, ctx: Context, foils: Sequence[_Foil], rows: list[int]
) -> None:
    """All foils on one line, between poles or under hooks."""
    left = foils[0].x - foils[0].wide / 2 - BESIDE_M
    right = foils[-1].x + foils[-1].wide / 2 + BESIDE_M
    tall = foils[0].stock.inflated_m
    high = spec.height + TAB * tall
    apart = POLES_APART_M if spec.on == "stand" else HOOKS_APART_M
    ends = np.linspace(left, right, max(2, int(np.ceil((right - left) / apart)) + 1))
    spots = _clear_of(ends, foils, left, right)
    parts: list[int] = []
    for x in spots:
        if spec.on == "stand":
            parts += _pole(draft, ctx, (float(x), 0.0), high + 0.02)
        else:
            parts.append(hook(draft, ctx, (x, 0.0, high)))
    line = clear_line(draft, "line", [(x, 0.0, high) for x in spots], 0.3)
    draft.work("hang garland", right - left)
    long = ctx.cut(spots[-1] - spots[0] + 0.3)
    if spec.on == "stand":
        _pole_step(draft, ctx, parts, spec.height)
    _fill_step(draft, foils, rows, spec)
    draft.step(
        message("String the word"),
        sentences(
            message("Cut {long} of line.", long=long),
            message(
                "Thread it through the tabs at the top of each foil from left to right, and knot "
                "it once at each so that none slides."
            ),
            message("Tie it to the poles, tight enough not to sag.")
            if spec.on == "stand"
            else message(
                "Tie it to the hooks, {high} above the floor, tight enough not to sag.",
                high=ctx.length(high),
            ),
        ),
        strands=[line],
        hardware=parts if spec.on == "hooks" else (),
        measures={"line_height_m": high},
    )


def _clear_of(ends: Floats, foils: Sequence[_Foil], left: float, right: float) -> list[float]:
    """Places for poles and hooks: between foils, not behind one."""
    gaps = [left, right]
    for one, other in pairwise(foils):
        gaps.append((one.x + one.wide / 2 + other.x - other.wide / 2) / 2)
    return sorted({min(gaps, key=lambda gap: abs(gap - x)) for x in ends})


def _float(
    draft: Draft, spec: FoilsSpec, ctx: Context, foils: Sequence[_Foil], rows: list[int]
) -> None:
    """Each foil on a ribbon over its own weight."""
    shade = ctx.shade(spec.ribbon) if spec.ribbon else Shade("white ribbon", "#f7f5f0", "pearl")
    weight = min(ctx.catalog.of_use("weight"), key=lambda row: row.mass_kg)
    high = weight.height_m or 0.07
    held, ribbons, weights = [], [], 0
    for foil in foils:
        need = FACTOR * _lift(foil, ctx)
        many = max(1, int(np.ceil(need / weight.mass_kg - 1e-9)))
        weights += many
        spot = ((foil.x, 0.0, 0.0),)
        held.append(
            draft.hardware(
                HardwarePlaced(
                    weight.item, "weight", many, "each", spot, weight.width_m or 0.07, high
                )
            )
        )
        low = spec.height - foil.stock.inflated_m
        ribbons.append(
            draft.strand(
                Strand(
                    "ribbon",
                    path([(foil.x, 0.0, low), (foil.x, 0.0, high)]),
                    0.005,
                    shade,
                    item="curling ribbon",
                    knots_m=TAIL_M,
                )
            )
        )
    draft.work("bouquet", len(foils))
    lift = max(_lift(foil, ctx) for foil in foils)
    cut = spec.height - foils[0].stock.inflated_m - high + TAIL_M
    draft.step(
        message("Get the weights ready"),
        sentences(
            counted("Put out {n} weight in a row.", "Put out {n} weights in a row.", weights),
            message(
                "A foil pulls up with {lift} g at the most; a weight is {mass} g.",
                lift=max(1, round(1000 * lift)),
                mass=round(1000 * weight.mass_kg),
            ),
            message("Never let go of a balloon before its ribbon is tied to the weight."),
        ),
        hardware=held,
        measures={"lift_kg": lift},
    )
    draft.step(
        message("Fill with helium"),
        sentences(
            message("In order: {signs}.", signs=listing([foil.sign for foil in foils])),
            message(
                "Fill slowly until the creases at the seams are short; foil does not stretch, it "
                "bursts."
            ),
            message("Cut {cut} of ribbon for each and tie it to its tail.", cut=ctx.cut(cut)),
            message("Tie the other end to the weight, and turn all of them to the front."),
        ),
        balloons=rows,
        strands=ribbons,
        measures={"cut_m": cut},
    )


def _lift(foil: _Foil, ctx: Context) -> float:
    return net_lift(foil.stock, ctx.catalog.balloon(foil.stock.size).mass_g, 0.0)


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: FoilsSpec, ctx: Context) -> int:
    """How many balloons it takes, exactly."""
    return max(1, len(_signs(spec).replace(" ", "")))


def check(spec: FoilsSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = checks.shades(spec.shades, ctx, f"{place}.shades")
    if spec.ribbon:
        found += checks.shades([spec.ribbon], ctx, f"{place}.ribbon")
    found += _check_text(spec, ctx, place)
    if has_errors(found):
        return found
    return found + _check_height(spec, ctx, place) + _check_float(spec, ctx, place)


def _check_text(spec: FoilsSpec, ctx: Context, place: str) -> list[Finding]:
    where = f"{place}.text"
    if not spec.text.strip():
        what = message("There is no letter in it.")
        return [error("missing", where, what, message('Write text = "40".'))]
    unknown = []
    for sign in dict.fromkeys(_signs(spec).replace(" ", "")):
        try:
            _stock(spec, ctx, sign)
        except UnknownName:
            unknown.append(sign)
    if not unknown:
        return []
    what = message('There is no foil "{signs}".', signs="".join(unknown)[:12])
    return [error("no-glyph", where, what, message("Foils come as A to Z, 0 to 9 and &."))]


def _check_height(spec: FoilsSpec, ctx: Context, place: str) -> list[Finding]:
    tall = _foils(spec, ctx)[0].stock.inflated_m
    least = tall + (LEAST_RIBBON_M + 0.1 if spec.on == "weights" else 0.05)
    where = f"{place}.height"
    if spec.height < least:
        what = message(
            "Foils of {tall} do not fit under {height}.",
            tall=ctx.length(tall),
            height=ctx.length(spec.height),
        )
        mend = message("Make it {least} at least.", least=ctx.length(least))
        return [error("too-low", where, what, mend)]
    if spec.on != "stand":
        return []
    try:
        choose_pole(ctx, spec.height + 0.1)
    except BuildError as problem:
        return [error("no-pole", where, problem.finding.what, problem.finding.mend)]
    return []


def _check_float(spec: FoilsSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether each foil carries its film and its ribbon."""
    if spec.on != "weights":
        return []
    if not ctx.catalog.of_use("weight"):
        what = message("The catalog has no weight for a foil.")
        return [error("no-weight", place, what, message("Add one to the studio file."))]
    per_m = sum(part.mass_kg for part in ctx.catalog.of_use("ribbon")[:1])
    foils = _foils(spec, ctx)
    ribbon = per_m * (spec.height - foils[0].stock.inflated_m)
    weak = [foil for foil in foils if _lift(foil, ctx) <= ribbon]
    if weak:
        signs = listing([f'"{sign}"' for sign in dict.fromkeys(foil.sign for foil in weak)])
        what = message("Foils of {size} do not float here: {signs}.", size=spec.size, signs=signs)
        mend = message("Take larger ones or shorter ribbons, or put them on a stand with air.")
        return [error("does-not-float", f"{place}.size", what, mend)]
    if spec.size == "34in":
        what = message("Foils of 34 in carry little more than their ribbon.")
        mend = message("Try one before you promise it; those of 40 in float safely.")
        return [hint("floats-barely", f"{place}.size", what, mend)]
    return []


KIND = PieceKind(
    name="foils",
    summary=message("Foil numbers or letters, strung as a word, on poles or floating."),
    spec=FoilsSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=(),
    overhead=lambda spec: spec.on == "hooks",
    example="""\
name    = "Foil number"
kind    = "foils"
text    = "40"
size    = "34in"
shades  = ["gold"]
height  = "6 ft"
""",
)
