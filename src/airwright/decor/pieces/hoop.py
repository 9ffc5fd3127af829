"""Hoops: a ring with an organic body along a part of it, standing or hung.

   .---.              the body is dense at its middle and light at its ends; a foil or a
 /       \\            sign may hang in the ring, leaves run out beyond the balloons
@    *    |
@@       /
 '@@@o--'
    |
  =====
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import numpy as np

from airwright import units
from airwright.catalog import Family
from airwright.decor import checks
from airwright.decor.armatures import Arc
from airwright.decor.assembly import Assembly, Floats, HardwarePlaced, Role
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.kinds import PieceKind
from airwright.decor.parts.accent_step import add_accent_step, from_list
from airwright.decor.parts.foliage import Foliage, add_foliage, check_foliage
from airwright.decor.parts.hanging import clear_line, hook, samples
from airwright.decor.parts.mix import add_organic, check_organic, used
from airwright.decor.parts.signs import Sign, add_board, check_sign, rectangle
from airwright.decor.parts.tapered import (
    Tapered,
    check_tapered,
    fill_tapered,
    heavy_middle,
    mean_size,
    parts,
    tapered_counts,
    tapered_shades,
)
from airwright.job.cluster import Inflated
from airwright.job.findings import Finding, caution, error, has_errors
from airwright.job.pieces import Table
from airwright.language import Text, message, sentences
from airwright.params import Param

COVER = {"whole": 1.0, "half": 0.5, "crescent": 0.7}
"""Share of the ring under balloons (common practice: a crescent leaves a third of it bare)."""

MIDDLES = ("bottom", "lower right", "right", "upper right", "top", "upper left", "left",
           "lower left")  # fmt: skip
"""Where on the ring the heavy place sits, each an eighth of a turn on from the last."""

FOOT_M = 0.20
"""The lowest point of a standing ring above the floor, on its foot."""

HANG_M = 0.60
"""Lines from the hooks down to a hung ring."""

LINE_SPREAD_RAD = 0.45
"""The two lines are tied to the ring so far to the left and right of its top."""

LEAST_ACROSS = 2.5
"""A ring narrower than this many of its largest balloons closes up (common practice)."""

FREE = 0.9
"""Share of the free middle of a ring that a foil or a sign may fill."""

BODY = 0.9
"""How far the body reaches in from the ring, in inflated diameters of its usual size."""

SPARE_LINE = 0.3
"""Line beyond its length for knots [m]."""


class Foil(Table):
    """A balloon in the middle of the ring."""

    balloon: Annotated[
        Inflated, Param(message("Size and inflated diameter."), example="18in foil round")
    ]
    shade: Annotated[
        str,
        Param(message("Its shade, by the name given in [shades]."), longest=60, shades=True),
    ]


class HoopSpec(Tapered):
    """Keys of a hoop."""

    kind: Annotated[Literal["hoop"], Param(message("A ring dressed with balloons."))] = "hoop"
    across: Annotated[
        float, Param(message("Diameter of the ring."), units.LENGTH, "10 in", "14 ft")
    ]
    form: Annotated[
        Literal["whole", "half", "crescent"],
        Param(message("How much of the ring is dressed: all, half, or two thirds as a crescent.")),
    ] = "half"
    cover: Annotated[
        float | None,
        Param(
            message("Share of the ring under balloons, in place of what its form says."),
            low=0.1,
            high=1,
            rare=True,
        ),
    ] = None
    heavy: Annotated[
        Literal[
            "bottom", "lower right", "right", "upper right", "top", "upper left", "left",
            "lower left",
        ],
        Param(message("Where on the ring it is densest, seen from the front.")),
    ] = "lower left"  # fmt: skip
    on: Annotated[
        Literal["stand", "hooks"], Param(message("On a foot of its own, or hung from two hooks."))
    ] = "stand"
    bottom: Annotated[
        float,
        Param(message("Lowest point of a hung ring above the floor."), units.LENGTH, "0 ft",
              "60 ft"),
    ] = 1.2192  # fmt: skip
    foliage: Annotated[
        Foliage | None, Param(message("Artificial leaves along it, running out at its ends."))
    ] = None
    foil: Annotated[
        Foil | None, Param(message("A foil or a round balloon in the middle of the ring."))
    ] = None
    sign: Annotated[Sign | None, Param(message("A printed board in the middle."))] = None


@dataclass(frozen=True, slots=True)
class _Ring:
    """The ring and the arc of it that is dressed."""

    centre: tuple[float, float, float]
    radius: float
    arc: Arc
    weight: Floats

    def part(self, from_rad: float, sweep_rad: float) -> Arc:
        """Any arc of the ring."""
        return Arc(self.centre, self.radius, from_rad, sweep_rad)

    @property
    def whole(self) -> Arc:
        """All of it, from its lowest point round."""
        return self.part(-np.pi / 2, -2 * np.pi)


def _ring(spec: HoopSpec) -> _Ring:
    radius = spec.across / 2
    low = FOOT_M if spec.on == "stand" else spec.bottom
    centre = (0.0, 0.0, low + radius)
    share = COVER[spec.form] if spec.cover is None else spec.cover
    heavy = -np.pi / 2 + MIDDLES.index(spec.heavy) * np.pi / 4
    way = 1.0 if np.sin(heavy) <= 0.01 else -1.0  # it begins at its left or upper end
    arc = Arc(centre, radius, heavy - way * np.pi * share, way * 2 * np.pi * share)
    return _Ring(centre, radius, arc, heavy_middle(parts()))


def build(spec: HoopSpec, ctx: Context) -> Assembly:
    """A hoop over the origin."""
    draft = Draft(spec.name, spec.kind)
    ring = _ring(spec)
    frame = _frame(draft, spec, ctx, ring)
    shape = fill_tapered(spec, ctx, ring.arc, ring.weight)
    names = tapered_shades(spec, ctx, ring.arc, shape, ring.weight)
    on_line, tucked = add_organic(draft, spec, ctx, shape, names)
    draft.work("hang garland", ring.arc.length_m)
    _dress(draft, spec, ctx, ring, on_line)
    if spec.foliage is not None:
        _leaves(draft, spec.foliage, ctx, ring, spec.seed)
    if tucked:
        add_accent_step(draft, tucked)
    if spec.foil is not None:
        _foil(draft, spec.foil, ctx, ring)
    if spec.sign is not None:
        _sign(draft, spec.sign, ctx, ring)
    if spec.on == "hooks":
        _hang(draft, ctx, ring)
    else:
        _stand_up(draft, ctx, frame)
    return draft.finish()


# ---- what holds it ----------------------------------------------------------------------------


def _frame(draft: Draft, spec: HoopSpec, ctx: Context, ring: _Ring) -> list[int]:
    """The ring, and its foot where it stands; adds the first step."""
    rod, plate = ctx.catalog.item("hoop ring"), ctx.catalog.item("hoop foot plate")
    points = samples(ring.whole)
    long = ring.whole.length_m
    parts_: list[int] = []
    if spec.on == "stand":
        high = plate.height_m or 0.03
        parts_ = [
            draft.hardware(
                HardwarePlaced(
                    plate.item, "base", 1, "each", ((0.0, 0.0, 0.0),), plate.width_m or 0.5, high
                )
            )
        ]
        points = np.concatenate([[[0.0, 0.0, high]], points])
        long += FOOT_M
    tube = draft.hardware(
        HardwarePlaced(rod.item, "frame", long, "m", path(points), rod.diameter_m or 0.016)
    )
    across = ctx.length(spec.across)
    draft.step(
        message("Lay out the ring"),
        sentences(
            message("Lay the ring of {across} on a padded table or a clean floor.", across=across),
            message(
                "Mark with tape where the balloons begin and end, {long} apart along the ring, "
                "and where it is densest: {place}.",
                long=ctx.length(ring.arc.length_m),
                place=_place_words(spec.heavy),
            ),
            message("Wrap the marked part with tape, so that the clusters do not slide."),
        ),
        hardware=[tube],
        measures={"across_m": spec.across, "dressed_m": ring.arc.length_m},
    )
    return parts_


def _place_words(heavy: str) -> Text:
    return {
        "bottom": message("at the bottom"),
        "lower right": message("at the lower right"),
        "right": message("at the right"),
        "upper right": message("at the upper right"),
        "top": message("at the top"),
        "upper left": message("at the upper left"),
        "left": message("at the left"),
        "lower left": message("at the lower left"),
    }[heavy]


def _stand_up(draft: Draft, ctx: Context, frame: list[int]) -> None:
    draft.step(
        message("Stand it up"),
        sentences(
            message("Put the foot plate where the hoop will stand and fill it first."),
            message(
                "Two people lift the ring, one at each side, and set it into the plate; one holds "
                "it while the other screws it tight."
            ),
            message("Turn the balloons at the bottom so that none is pinched on the floor."),
        ),
        hardware=frame,
    )
    draft.work("pole and base", 1)


def _hang(draft: Draft, ctx: Context, ring: _Ring) -> None:
    """Two hooks above the ring and a line from each."""
    hooks, lines = [], []
    top = ring.centre[2] + ring.radius + HANG_M
    for side in (1.0, -1.0):
        turn = np.pi / 2 + side * LINE_SPREAD_RAD
        end = np.asarray(ring.centre) + ring.radius * np.array([np.cos(turn), 0.0, np.sin(turn)])
        spot = (float(end[0]), 0.0, top)
        hooks.append(hook(draft, ctx, spot))
        lines.append(clear_line(draft, "hanging line", [spot, end], SPARE_LINE))
    cut = draft.strand_at(lines[0]).cut_m
    draft.step(
        message("Hang it from two hooks"),
        sentences(
            message("The hooks sit {top} above the floor.", top=ctx.length(top)),
            message(
                "Cut two lines of {cut}, knot them to the ring left and right of its top, and "
                "check the knots by pulling.",
                cut=ctx.cut(cut),
            ),
            message("Two people lift, one at each side, and each hooks in a line."),
            message("It must hang level and face the front."),
            message("Who owns the ceiling says where hooks may go and what they hold."),
        ),
        hardware=hooks,
        strands=lines,
        measures={"hook_height_m": top, "cut_m": cut},
    )


# ---- body -------------------------------------------------------------------------------------


def _dress(draft: Draft, spec: HoopSpec, ctx: Context, ring: _Ring, rows: list[int]) -> None:
    """The clusters in three steps: up to the heavy place, the heavy place, out again."""
    first, last = draft.whole_clusters(rows, 1 / 4), draft.whole_clusters(rows, 3 / 4)
    draft.step(
        message("Begin at the first tape"),
        sentences(
            from_list(draft, rows[:first]),
            message("Wrap each once round the ring and pull tight."),
            message("It begins small and grows towards the dense place."),
        ),
        balloons=rows[:first],
    )
    draft.step(
        message("Build the dense place"),
        sentences(
            from_list(draft, rows[first:last]),
            message("Tie them on so close that they press on each other."),
            message("Turn each one a little from the one before; large balloons look forward."),
            message("Check from the front: the ring must not show here."),
        ),
        balloons=rows[first:last],
    )
    draft.step(
        message("Taper off to the other tape"),
        sentences(
            from_list(draft, rows[last:]),
            message("They grow smaller again, still touching, up to the second tape."),
        ),
        balloons=rows[last:],
    )


def _leaves(draft: Draft, spec: Foliage, ctx: Context, ring: _Ring, seed: int) -> None:
    """Foliage along the dressed arc and beyond its ends, as far as the ring is free."""
    way, dressed = np.sign(ring.arc.sweep_rad), abs(ring.arc.sweep_rad)
    more = min(spec.beyond / ring.radius, (2 * np.pi - dressed) / 2)
    stem = ring.part(ring.arc.from_rad - way * more, way * (dressed + 2 * more))
    add_foliage(draft, ctx, ctx.shade(spec.shade), samples(stem), samples(ring.arc), seed)


def _foil(draft: Draft, spec: Foil, ctx: Context, ring: _Ring) -> None:
    stock = ctx.stock(spec.balloon)
    up = np.array([0.0, 0.0, 1.0])
    centre = np.asarray(ring.centre)
    row = draft.balloon(centre, up, stock, ctx.shade(spec.shade), Role.ACCENT)
    reach = stock.inflated_m / 2
    lines = [
        clear_line(
            draft,
            "middle line",
            [centre + way * ring.radius * up, centre + way * reach * up],
            SPARE_LINE,
        )
        for way in (1.0, -1.0)
    ]
    cut = draft.strand_at(lines[0]).cut_m
    draft.step(
        message("Tie the balloon into the middle"),
        sentences(
            message("Fill it with air. Cut two lines of {cut}.", cut=ctx.cut(cut)),
            message(
                "Hold it by one line to the top and one to the bottom of the ring, so that it "
                "cannot turn."
            ),
        ),
        balloons=[row],
        strands=lines,
        measures={"cut_m": cut},
    )
    draft.work("topper", 1)


def _sign(draft: Draft, spec: Sign, ctx: Context, ring: _Ring) -> None:
    centre = np.asarray(ring.centre)
    if draft.radii.size and np.linalg.norm(draft.centres - centre, axis=1).min() < 0.01:
        centre = centre + np.array([0.0, -0.25, 0.0])  # in front of the balloon in the middle
    board = add_board(
        draft,
        ctx.catalog.item("sign board"),
        rectangle(spec.width, spec.height, centre),
        spec.shade,
        ctx,
        spec.text,
    )
    lines = []
    for side in (-1.0, 1.0):
        corner = centre + np.array([side * 0.42 * spec.width, 0.0, spec.height / 2])
        up = np.sqrt(max(ring.radius**2 - float(corner[0]) ** 2, 0.0))
        end = np.array([corner[0], ring.centre[1], ring.centre[2] + up])
        lines.append(clear_line(draft, "sign line", [end, corner], SPARE_LINE))
    cut = draft.strand_at(lines[0]).cut_m
    draft.step(
        message("Hang the sign"),
        sentences(
            message("It says: {text}.", text=spec.text) if spec.text else "",
            message("Cut two lines of {cut}.", cut=ctx.cut(cut)),
            message(
                "Tie one from each upper corner to the ring, and check that the sign is level."
            ),
        ),
        hardware=[board],
        strands=lines,
        measures={"cut_m": cut},
    )
    draft.work("topper", 1)


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: HoopSpec, ctx: Context) -> int:
    """How many balloons it takes."""
    ring = _ring(spec)
    on_ring = sum(tapered_counts(spec, ctx, ring.arc.length_m, ring.weight))
    return on_ring + (spec.foil is not None)


def check(spec: HoopSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = check_organic(spec, ctx, place) + check_tapered(spec, ctx, place)
    found += check_foliage(spec.foliage, ctx, f"{place}.foliage")
    found += check_sign(spec.sign, ctx, f"{place}.sign")
    if spec.foil is not None:
        found += checks.inflated(spec.foil.balloon, ctx, f"{place}.foil.balloon")
        found += checks.shades([spec.foil.shade], ctx, f"{place}.foil.shade")
    if has_errors(found):
        return found
    found += _check_ring(spec, ctx, place)
    return found if has_errors(found) else found + checks.too_many(estimate(spec, ctx), place)


def _check_ring(spec: HoopSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether ring, balloons and what hangs in the middle go together."""
    across = [ctx.stock(row.balloon).inflated_m for row in used(spec)]
    large = max(across)
    if spec.across < LEAST_ACROSS * large:
        what = message(
            "A ring of {across} is smaller than its balloons allow: those of {large} close it up.",
            across=ctx.length(spec.across),
            large=ctx.length(large),
        )
        mend = message(
            "Take a ring of {least} at least, or smaller balloons.",
            least=ctx.length(LEAST_ACROSS * large),
        )
        return [error("ring-too-small", f"{place}.across", what, mend)]
    free = spec.across - 2 * BODY * mean_size(spec, ctx)
    found = []
    if spec.foil is not None:
        stock = ctx.stock(spec.foil.balloon)
        if stock.family in (Family.MODELLING, Family.LINK):
            what = message("A {size} is no balloon for the middle.", size=stock.size)
            mend = message("Take a foil or a round balloon.")
            found.append(error("no-middle", f"{place}.foil.balloon", what, mend))
        elif stock.inflated_m > FREE * free:
            found.append(_too_wide(stock.inflated_m, free, ctx, f"{place}.foil.balloon"))
    if spec.sign is not None:
        wide = float(np.hypot(spec.sign.width, spec.sign.height))
        if wide > FREE * free:
            found.append(_too_wide(wide, free, ctx, f"{place}.sign.width"))
    return found


def _too_wide(wide: float, free: float, ctx: Context, place: str) -> Finding:
    what = message(
        "It is {wide} across, and the middle of the ring leaves about {free}.",
        wide=ctx.length(wide),
        free=ctx.length(max(free, 0.0)),
    )
    return caution("middle-full", place, what, message("Take a smaller one, or a larger ring."))


def _mirrored(table: Mapping[str, Any]) -> dict[str, Any]:
    """The heavy place on the other side."""
    heavy = str(table.get("heavy", "lower left"))
    if heavy in ("left", "right"):  # turned with every other key that says so
        return {}
    other = heavy.replace("left", "\0").replace("right", "left").replace("\0", "right")
    return {"heavy": other} if other != heavy else {}


KIND = PieceKind(
    name="hoop",
    summary=message("A ring dressed with mixed sizes: whole, half or a crescent."),
    spec=HoopSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("across",),
    mirrored=_mirrored,
    overhead=lambda spec: spec.on == "hooks",
    example="""\
name    = "Welcome hoop"
kind    = "hoop"
across  = "5 ft"
form    = "half"
heavy   = "lower left"
mix     = [
  { balloon = "17in @ 15in", share = 1 },
  { balloon = "11in @ 10in", share = 4 },
  { balloon = "5in @ 4.5in", share = 6 },
]
shades  = { coral = 3, sand = 3, white = 3, teal = 1 }
foliage = { shade = "teal" }
sign    = { text = "Welcome aboard", width = "20 in", height = "13 in", shade = "white" }
""",
)
