"""Numbers, letters and words: frames in their shape, filled with balloons of several sizes.

  ___
 |oO|   rim: a strip bent along the outline, so deep that balloons rest in it
 |Oo|
 |o-O-  bars behind: every balloon is tied to one, its crown to the front
 |Oo|
[====]  a foot plate under each frame, or lines up to hooks
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Final, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.catalog import Family
from airwright.decor import checks
from airwright.decor.assembly import Assembly, Residual, Role
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.glyphs import FontRefused
from airwright.decor.kinds import BuildError, PieceKind
from airwright.decor.parts.bold_glyphs import FontName, Glyph, bold_glyph, refused_signs
from airwright.decor.parts.fill_order import in_space, stages, tied
from airwright.decor.parts.hanging import clear_line, hook
from airwright.decor.parts.letter_frame import LIFTED_M, Frame, add_feet, add_frame
from airwright.decor.parts.mix import BlendedShades, MixRow, SizeMix, check_mix, mixed_shades, used
from airwright.decor.parts.outline_fill import Filled, fill_count, fill_outline
from airwright.decor.parts.stand import choose_pole
from airwright.job.cluster import Cluster, Inflated, Part
from airwright.job.findings import Finding, error, has_errors, hint
from airwright.job.pieces import PieceSpec
from airwright.language import counted, listing, message, sentences
from airwright.params import Param

if TYPE_CHECKING:
    from shapely import MultiPolygon

THICKEST: Final = 0.5
"""Widest strokes that leave a letter to be read, over the height."""

STROKE: Final = 0.26
"""Width of the strokes over the height, where it is not given (common practice: a frame of 4 ft
has strokes of about a foot)."""

BLANK: Final = 0.3
"""Width of a blank in heights."""

HANG_M: Final = 0.45
"""Line from the hooks down to a hung frame [m]."""

TRIES: Final = 4
"""Starts tried until no hole is too large."""

HIDDEN: Final = 0.88
"""Share of an outline that its smallest balloons must reach: they do not get into sharp corners."""


def _usual_mix() -> list[MixRow]:
    return [
        MixRow(balloon=Inflated.parse("9in @ 6in"), share=2),
        MixRow(balloon=Inflated.parse("5in @ 4.5in"), share=5),
        MixRow(balloon=Inflated.parse("5in @ 3in"), share=4),
    ]


class LettersSpec(PieceSpec):
    """Keys of numbers and letters."""

    kind: Annotated[
        Literal["letters"], Param(message("Numbers or letters as frames filled with balloons."))
    ] = "letters"
    text: Annotated[
        str,
        Param(message("What it says: a number, a letter, a word."), example="2027", longest=24),
    ] = Field(min_length=1)
    height: Annotated[
        float, Param(message("Height of a capital or figure."), units.LENGTH, "18 in", "20 ft")
    ] = 1.2192
    font: Annotated[FontName, Param(message("Even strokes, or thick and thin ones with feet."))] = (
        "sans"
    )
    stroke: Annotated[
        float | None,
        Param(
            message("Width of its strokes; a quarter of the height if left out."),
            units.LENGTH,
            "3 in",
            "8 ft",
        ),
    ] = None
    apart: Annotated[
        float,
        Param(message("Room from one letter to the next."), units.LENGTH, "1 in", "6 ft"),
    ] = 0.1016
    on: Annotated[
        Literal["floor", "hooks"], Param(message("Standing on its feet, or hung from hooks."))
    ] = "floor"
    bottom: Annotated[
        float,
        Param(
            message("Its lowest point above the floor, where it hangs."),
            units.LENGTH,
            "0 ft",
            "60 ft",
        ),
    ] = 2.1336
    mix: SizeMix = Field(default_factory=_usual_mix, min_length=1)
    gap: Annotated[
        float,
        Param(
            message("Largest hole that may show between balloons."),
            units.LENGTH,
            "0.5 in",
            "12 in",
            group=message("Mix"),
        ),
    ] = 0.0381
    shades: BlendedShades
    seed: Annotated[
        int,
        Param(message("Another number packs it another way."), low=0, high=999_999, rare=True),
    ] = 1


# ---- outlines ---------------------------------------------------------------------------------


def _stroke(spec: LettersSpec) -> float:
    """Width of a stroke over the height of a capital [-]."""
    return STROKE if spec.stroke is None else spec.stroke / spec.height


def _frames(spec: LettersSpec) -> list[Frame]:
    """The letters side by side, their middle over x = 0. Raises FontRefused."""
    made: list[tuple[Glyph, float]] = []
    at = 0.0
    for sign in " ".join(spec.text.split()):
        if sign.isspace():
            at += BLANK * spec.height
            continue
        glyph = bold_glyph(sign, spec.font, _stroke(spec))
        made.append((glyph, at))
        at += glyph.width * spec.height + spec.apart
    half = (at - spec.apart) / 2
    return [Frame(glyph, left - half, spec.height) for glyph, left in made]


def _filled(spec: LettersSpec, ctx: Context, glyph: Glyph) -> list[Filled]:
    """The balloons of one letter, part by part, from the left end of its baseline [m]."""
    rows = used(spec)
    radius = tuple(ctx.stock(row.balloon).inflated_m / 2 for row in rows)
    shares = tuple(row.share for row in rows)
    letter = (glyph.sign, spec.font, _stroke(spec), spec.height)
    return list(_packed(letter, radius, shares, spec.gap, spec.seed))


@lru_cache(maxsize=512)
def _packed(
    letter: tuple[str, FontName, float, float],
    radius: tuple[float, ...],
    shares: tuple[float, ...],
    gap_m: float,
    seed: int,
) -> tuple[Filled, ...]:
    """Each part of a letter packed: the first start that leaves no hole too large, or the best."""
    from shapely.affinity import scale

    sign, font, stroke, height = letter
    shape = scale(bold_glyph(sign, font, stroke).shape, height, height, origin=(0, 0))
    done = []
    for part in shape.geoms:
        best: Filled | None = None
        for start in range(TRIES):
            made = fill_outline(part, radius, shares, gap_m, seed + 7919 * start)
            best = made if best is None or made.hole_m < best.hole_m else best
            if best.hole_m <= gap_m:
                break
        assert best is not None
        done.append(best)
    return tuple(done)


# ---- building ---------------------------------------------------------------------------------


@dataclass(slots=True)
class _Placed:
    """What the steps show: indices of parts, and rows of balloons by stage."""

    frame: list[int]
    feet: list[int]
    hooks: list[int]
    lines: list[int]
    edge: list[int]
    middle: list[int]
    small: list[int]


def build(spec: LettersSpec, ctx: Context) -> Assembly:
    """A line of letters whose middle stands over the origin."""
    draft = Draft(spec.name, spec.kind)
    frames = _frames(spec)
    lowest = min(frame.glyph.shape.bounds[1] for frame in frames) * spec.height
    plate = ctx.catalog.item("arch foot plate").height_m or 0.03
    base = (spec.bottom if spec.on == "hooks" else plate) - lowest
    placed = _Placed([], [], [], [], [], [], [])
    shapes = [frame.placed(base) for frame in frames]
    for shape in shapes:
        placed.frame += add_frame(draft, ctx, shape)
        if spec.on == "floor":
            placed.feet += add_feet(draft, ctx, shape)
    if spec.on == "hooks":
        _hang(draft, ctx, shapes, placed)
    _fill(draft, spec, ctx, frames, base, placed)
    _steps(draft, spec, ctx, frames, placed)
    return draft.finish()


def _hang(draft: Draft, ctx: Context, shapes: Sequence[MultiPolygon], placed: _Placed) -> None:
    """Two lines from every frame straight up to hooks at one height."""
    from shapely import box

    top = max(shape.bounds[3] for shape in shapes) + HANG_M
    for shape in shapes:
        x0, z0, x1, z1 = shape.bounds
        for share in (0.2, 0.8):
            x = x0 + share * (x1 - x0)
            over = shape.intersection(box(x - 0.01, z0, x + 0.01, z1))
            z = over.bounds[3] if not over.is_empty else z1
            placed.hooks.append(hook(draft, ctx, (x, 0.0, top)))
            line = clear_line(draft, "hanging line", [(x, 0.0, z), (x, 0.0, top)], 0.3)
            placed.lines.append(line)


def _fill(
    draft: Draft,
    spec: LettersSpec,
    ctx: Context,
    frames: Sequence[Frame],
    base: float,
    placed: _Placed,
) -> None:
    """All balloons, tied in pairs of a size where two lie side by side."""
    rows = used(spec)
    stocks = [ctx.stock(row.balloon) for row in rows]
    radius = np.array([stock.inflated_m / 2 for stock in stocks])
    smallest = int(radius.argmin()) if len(rows) > 1 else -1
    ties = 0
    for frame in frames:
        shape = frame.placed(base)
        for fill, part in zip(_filled(spec, ctx, frame.glyph), shape.geoms, strict=True):
            centre = in_space(fill, radius, frame.left, base)
            shades = [
                ctx.shade(name) for name in mixed_shades(spec, centre, radius[fill.size], fill.size)
            ]
            stage = stages(part, centre, radius[fill.size], fill.size == smallest)
            for members in tied(centre, fill.size, stage, radius):
                k = int(fill.size[members[0]])
                made = Cluster((Part(len(members), rows[k].balloon),))
                at = centre[members].mean(axis=0) + np.array([0.0, radius[k], 0.0])
                added = draft.cluster(
                    str(made),
                    centre[members],
                    np.tile([0.0, -1.0, 0.0], (len(members), 1)),
                    [stocks[k]] * len(members),
                    [shades[one] for one in members],
                    at,
                    Role.BODY,
                )
                (placed.edge, placed.middle, placed.small)[stage[members[0]]].extend(added)
                ties += 1
            draft.doubt(Residual(0.0, fill.pressed, converged=True))
    draft.work("stack cluster", ties)


# ---- steps ------------------------------------------------------------------------------------


def _steps(
    draft: Draft, spec: LettersSpec, ctx: Context, frames: Sequence[Frame], placed: _Placed
) -> None:
    high = ctx.length(spec.height)
    how = (
        message(
            "Screw each frame to its foot and mark the front with tape. If water or sand is listed "
            "for it, fill the foot now."
        )
        if spec.on == "floor"
        else message("Lay the frames flat, front up, where nobody walks over them.")
    )
    draft.step(
        counted("Set out the frame", "Set out the {n} frames", len(frames)),
        sentences(
            message("In order: {signs}.", signs=listing([f.glyph.sign for f in frames])),
            message("Each is {high} high.", high=high),
            how,
        ),
        hardware=[*placed.frame, *placed.feet],
        measures={"height_m": spec.height},
    )
    tie = message(
        "Tie balloons of one size in pairs and twist each pair round a bar behind, crowns to the "
        "front; tie a single one on by its neck."
    )
    if placed.edge:
        draft.step(
            message("Follow the edge"),
            sentences(
                message("Begin along the rim: here the outline is seen."),
                tie,
                message("Press each against the rim until no light shows between."),
            ),
            balloons=placed.edge,
        )
    if placed.middle:
        draft.step(
            message("Fill the strokes"),
            sentences(
                message("Go on between, the large ones first, each against its neighbors."),
                message("Keep like shades apart."),
            ),
            balloons=placed.middle,
        )
    if placed.small:
        draft.step(
            message("Close the gaps"),
            sentences(
                message(
                    "Push the smallest in wherever a hole is larger than {gap}.",
                    gap=ctx.length(spec.gap),
                ),
                message("Look from a few steps away before you call it done."),
            ),
            balloons=placed.small,
            measures={"gap_m": spec.gap},
        )
    if spec.on == "hooks":
        top = draft.hardware_at(placed.hooks[0])[2]
        draft.step(
            counted("Hang it", "Hang the {n} frames", len(frames)),
            sentences(
                message("The hooks sit {high} above the floor.", high=ctx.length(top)),
                message("Two people lift a frame by its rim, never by the balloons."),
                message("Tie a line to either side of it, and check that it is level."),
            ),
            hardware=placed.hooks,
            strands=placed.lines,
            measures={"hook_height_m": top},
        )


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: LettersSpec, ctx: Context) -> int:
    """About how many balloons it takes: the area of the letters over that of a balloon."""
    try:
        frames = _frames(spec)
    except FontRefused:
        return len(spec.text)
    rows = used(spec)
    radius = [ctx.stock(row.balloon).inflated_m / 2 for row in rows]
    shares = [row.share for row in rows]
    areas = [f.glyph.shape.area * spec.height**2 for f in frames]
    return sum(fill_count(area, radius, shares) for area in areas)


def check(spec: LettersSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = check_mix(
        spec,
        ctx,
        place,
        (Family.ROUND,),
        "cannot-be-tied",
        lambda size: message("A {size} cannot be tied into a frame by its neck.", size=size),
    )
    found += _check_text(spec, ctx, place)
    if has_errors(found):
        return found
    found += _check_strokes(spec, ctx, place)
    found += checks.too_many(estimate(spec, ctx), place)
    if has_errors(found):
        return found
    found += _check_poles(spec, ctx, place)
    return found + _check_holes(spec, ctx, place)


def _check_text(spec: LettersSpec, ctx: Context, place: str) -> list[Finding]:
    where = f"{place}.text"
    if not spec.text.strip():
        what = message("There is no letter in it.")
        return [error("missing", where, what, message('Write text = "2027".'))]
    unknown = list(refused_signs(spec.text, spec.font))
    if unknown:
        what = message('There is no frame for "{signs}".', signs="".join(unknown)[:12])
        mend = message("Use letters, figures and the signs of a keyboard.")
        return [error("no-glyph", where, what, mend)]
    if _stroke(spec) > THICKEST:
        what = message("Strokes that wide leave no letter to be read.")
        mend = message("Make them {most} at the most.", most=ctx.length(THICKEST * spec.height))
        return [error("too-thick", f"{place}.stroke", what, mend)]
    try:
        _frames(spec)
    except FontRefused as problem:
        return [error("no-glyph", where, problem.what, problem.mend)]
    return []


def _check_strokes(spec: LettersSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether the strokes hold the largest balloon, and whether the smallest gets everywhere."""
    across = [ctx.stock(row.balloon).inflated_m for row in used(spec)]
    for frame in _frames(spec):
        shape = frame.placed(0.0)
        large, small = max(across), min(across)
        reached = shape.buffer(-0.44 * small).buffer(0.44 * small)
        if not shape.buffer(-0.44 * large).is_empty and reached.area > HIDDEN * shape.area:
            continue
        what = message(
            'The strokes of "{sign}" are too thin for balloons of {large}.',
            sign=frame.glyph.sign,
            large=ctx.length(large),
        )
        mend = message(
            "Make the strokes {wide} wide, the letters higher, or take smaller balloons.",
            wide=ctx.length(max(1.1 * large, _stroke(spec) * spec.height * 1.2)),
        )
        return [error("too-thin", f"{place}.stroke", what, mend)]
    return []


def _check_poles(spec: LettersSpec, ctx: Context, place: str) -> list[Finding]:
    if spec.on == "hooks":
        return []
    frames = _frames(spec)
    lowest = min(frame.glyph.shape.bounds[1] for frame in frames)
    for frame in frames:
        _, low, _, top = frame.glyph.shape.bounds
        if (low - lowest) * spec.height > LIFTED_M:
            try:
                choose_pole(ctx, (top - lowest) * spec.height + 0.1)
            except BuildError as problem:
                return [
                    error("no-pole", f"{place}.height", problem.finding.what, problem.finding.mend)
                ]
    return []


def _check_holes(spec: LettersSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether a hole larger than asked for is left."""
    for frame in _frames(spec):
        hole = max(fill.hole_m for fill in _filled(spec, ctx, frame.glyph))
        if hole > 1.02 * spec.gap:
            what = message(
                'In "{sign}" a hole of {hole} is left.',
                sign=frame.glyph.sign,
                hole=ctx.length(hole),
            )
            mend = message("Add a smaller size to the mix, or more of the smallest.")
            return [hint("hole-left", f"{place}.gap", what, mend)]
    return []


KIND = PieceKind(
    name="letters",
    summary=message("Numbers, letters or a word as frames filled with balloons of several sizes."),
    spec=LettersSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("height", "apart", "stroke"),
    overhead=lambda spec: spec.on == "hooks",
    example="""\
name    = "Anniversary number"
kind    = "letters"
text    = "40"
height  = "4 ft"
mix     = [
  { balloon = "9in @ 6in", share = 2 },
  { balloon = "5in @ 4.5in", share = 5 },
  { balloon = "5in @ 3in", share = 4 },
]
shades  = { white = 3, sand = 2, gold = 1 }
""",
)
