"""Organic clouds: a size mix on a line that winds to and fro inside an oval.

 .-------------.
( | .-. .-. .-. )      one line, row beside row, the short way; rows a good balloon apart
( '-' '-' '-' | )      so that the bodies of neighbouring rows grow into each other
 '-------------'
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated, Literal

import numpy as np

from airwright import units
from airwright.decor import checks
from airwright.decor.armatures import Chain, Point, polyline
from airwright.decor.assembly import Assembly
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.kinds import BuildError, PieceKind
from airwright.decor.parts.accent_step import add_accent_step
from airwright.decor.parts.hanging import clear_line, hook, samples
from airwright.decor.parts.mix import (
    Organic,
    add_organic,
    check_organic,
    fill_line,
    mix_counts,
    radii_of,
    used,
)
from airwright.decor.parts.organic import OrganicShape, core_sizes
from airwright.decor.parts.stand import add_stand, choose_pole
from airwright.job.findings import Finding, error, has_errors
from airwright.language import message, sentences
from airwright.params import Param

BODY = 1.15
"""How far a body reaches from its line, in inflated diameters of the mean size on it."""

END = 0.75
"""How far it reaches past the end of a single line, in the same measure."""

ROW_APART = 1.75
"""Most distance of two rows of line in the same measure, so that their bodies grow into one."""

ROW_ALONE = 1.6
"""From this distance on a row takes the balloons of a line by itself; nearer ones share theirs."""

FLAT = 0.5
"""A line that winds over less than this, in the same measure, does not wind at all."""

HANG_M = 0.45
"""Line from the ceiling hooks down to a hung cloud."""

GRIP = 0.3
"""Clusters of a cloud are tied to each other and give way, see `organic.fill`."""


class CloudSpec(Organic):
    """Keys of a cloud."""

    kind: Annotated[Literal["cloud"], Param(message("An organic cloud."))] = "cloud"
    width: Annotated[float, Param(message("Left to right."), units.LENGTH, "2 ft", "60 ft")]
    height: Annotated[
        float, Param(message("Its own height, top to bottom."), units.LENGTH, "1 ft", "16 ft")
    ]
    on: Annotated[
        Literal["hooks", "stand", "floor"],
        Param(message("Hung from the ceiling, on a pole with a base, or lying on the floor.")),
    ] = "hooks"
    bottom: Annotated[
        float,
        Param(
            message("Its lowest point above the floor, hung or on a stand."),
            units.LENGTH,
            "0 ft",
            "60 ft",
        ),
    ] = 2.1336


def _mean_size(spec: CloudSpec, ctx: Context) -> float:
    """Mean inflated diameter of the sizes on the line [m]."""
    rows = used(spec)
    across = [ctx.stock(row.balloon).inflated_m for row in rows]
    core = core_sizes(across)
    if not any(core):
        core = [True] * len(core)
    shares = [row.share if on else 0.0 for row, on in zip(rows, core, strict=True)]
    return float(np.average(across, weights=shares))


@dataclass(frozen=True, slots=True)
class _Oval:
    """The oval a line winds in: its size, the height of its middle [m], and its rows.

    Rows run the short way, so that neighbours in space are neighbours along the line.
    """

    wide: float
    tall: float
    middle: float
    rows: int
    upright: bool
    size: float

    @property
    def line(self) -> Chain:
        """The winding line over the origin, from its lower or left end on."""
        stacked, across = (self.wide, self.tall) if self.upright else (self.tall, self.wide)
        points: list[Point] = []
        for row in range(self.rows):
            off = 0.0 if self.rows == 1 else stacked * (row / (self.rows - 1) - 0.5)
            # An oval a little longer than the line, so that its end rows have a length.
            share = off / (stacked / 2 + 0.6 * self.size)
            half = across / 2 * float(np.sqrt(1 - share**2))
            ends = [(off, -half), (off, half)] if self.upright else [(-half, off), (half, off)]
            points += [(x, 0.0, self.middle + z) for x, z in (ends if row % 2 == 0 else ends[::-1])]
        return polyline(points)

    @property
    def filled_m(self) -> float:
        """Length of line that takes as many balloons by itself [m]."""
        stacked = self.wide if self.upright else self.tall
        apart = stacked / (self.rows - 1) if self.rows > 1 else np.inf
        return float(self.line.length_m * min(1.0, apart / (ROW_ALONE * self.size)))


def oval_of(spec: CloudSpec, ctx: Context) -> _Oval:
    """The oval before the finished cloud is measured."""
    size = _mean_size(spec, ctx)
    wide = max(spec.width - 2 * BODY * size, 0.0)
    tall = max(spec.height - 2 * BODY * size, 0.0)
    upright = tall < wide
    stacked, across = (wide, tall) if upright else (tall, wide)
    if across < FLAT * size:  # a single row the long way
        long = stacked + 2 * (BODY - END) * size
        upright, stacked, across = not upright, 0.0, max(long, size)
    rows = 1 + max(0, int(np.ceil(stacked / (ROW_APART * size) - 0.25)))
    bottom = 0.0 if spec.on == "floor" else spec.bottom
    wide, tall = (stacked, across) if upright else (across, stacked)
    return _Oval(wide, tall, bottom + spec.height / 2, rows, upright, size)


def _levelled(spec: CloudSpec, ctx: Context) -> tuple[_Oval, OrganicShape]:
    """The settled cloud and its oval, both moved to begin at the height asked for."""
    oval = oval_of(spec, ctx)
    counts = mix_counts(spec, ctx, oval.filled_m)
    shape = fill_line(spec, ctx, oval.line, counts, grip=GRIP, floor=False)
    lowest = float((shape.centre[:, 2] - radii_of(spec, ctx, shape)).min())
    lift = (0.0 if spec.on == "floor" else spec.bottom) - lowest
    up = np.array([0.0, 0.0, lift])
    moved = replace(shape, centre=shape.centre + up, tie=shape.tie + up)
    return replace(oval, middle=oval.middle + lift), moved


def build(spec: CloudSpec, ctx: Context) -> Assembly:
    """A cloud over the origin."""
    draft = Draft(spec.name, spec.kind)
    oval, shape = _levelled(spec, ctx)
    line = oval.line
    hardware: list[int] = []
    strands = [clear_line(draft, "cloud line", samples(line))]
    if spec.on == "stand":
        hardware = add_stand(draft, ctx, choose_pole(ctx, oval.middle), oval.middle)
        draft.work("pole and base", 1)
    if spec.on == "hooks":
        hooks, strings = _hang(draft, line, ctx, spec.bottom + spec.height)
        hardware, strands = hooks, strands + strings
    on_line, tucked = add_organic(draft, spec, ctx, shape)
    draft.work("hang garland", line.length_m)
    _steps(draft, spec, ctx, line, (on_line, tucked), hardware, strands)
    return draft.finish()


def _hang(draft: Draft, line: Chain, ctx: Context, top: float) -> tuple[list[int], list[int]]:
    """Two ceiling hooks, and the lines from them down to the highest points left and right."""
    points = samples(line)
    reach = float(np.ptp(points[:, 0]))
    hooks, strings = [], []
    for side in (-0.3, 0.3):
        near = points[np.abs(points[:, 0] - side * reach) <= 0.15 * reach + 0.05]
        end = near[int(near[:, 2].argmax())]
        above = np.array([end[0], end[1], top + HANG_M])
        hooks.append(hook(draft, ctx, above))
        strings.append(clear_line(draft, "hanging line", [above, end]))
    return hooks, strings


def _is_upright(line: Chain) -> bool:
    """Whether its first row runs upwards."""
    return bool(abs(line.tangent(np.zeros(1))[0, 2]) > 0.5)


def _steps(
    draft: Draft,
    spec: CloudSpec,
    ctx: Context,
    line: Chain,
    rows: tuple[list[int], list[int]],
    hardware: list[int],
    strands: list[int],
) -> None:
    on_line, tucked = rows
    many = (len(line.pieces) + 1) // 2
    first = {
        "hooks": message("Tie the cloud on the floor; it is hung last."),
        "stand": message(
            "Stand the pole in its filled base, check that it is upright, and mark the front "
            "with tape."
        ),
        "floor": message("Work where it will lie; it does not travel well."),
    }[spec.on]
    if many == 1:
        lay = message(
            "The line is {long} long and lies in one row.", long=ctx.length(line.length_m)
        )
    elif _is_upright(line):
        lay = message(
            "The line is {long} long and runs up and down in {n} rows side by side.",
            long=ctx.length(line.length_m),
            n=many,
        )
    else:
        lay = message(
            "The line is {long} long and runs to and fro in {n} rows, one above another.",
            long=ctx.length(line.length_m),
            n=many,
        )
    draft.step(
        message("Lay out the line"),
        sentences(first, lay),
        hardware=() if spec.on == "hooks" else hardware,
        strands=strands if spec.on != "hooks" else strands[:1],
        measures={"line_m": line.length_m},
    )
    half = on_line[: len(on_line) // 2]
    draft.step(
        message("Tie on the first half"),
        sentences(
            message("Tie cluster after cluster along the line, in the order of the list."),
            message("Turn each one so that its large balloons point outward."),
            message("Where the line turns back, knot the new row to the one beside it."),
        ),
        balloons=half,
    )
    draft.step(
        message("Close the shape"),
        sentences(
            message("Go on until the line is full."),
            message("Push balloons from where they crowd to where you can look through."),
        ),
        balloons=on_line[len(half) :],
    )
    if tucked:
        add_accent_step(draft, tucked)
    if spec.on == "hooks":
        high = draft.hardware_at(hardware[0])[2]
        draft.step(
            message("Hang the cloud"),
            sentences(
                message("Both hooks sit {high} above the floor.", high=ctx.length(high)),
                message(
                    "Two people lift; tie the cloud to both hanging lines and check that it "
                    "is level."
                ),
            ),
            hardware=hardware,
            strands=strands[1:],
            measures={"hook_height_m": high},
        )


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: CloudSpec, ctx: Context) -> int:
    """About how many balloons it takes: line length over what each balloon takes up."""
    return sum(mix_counts(spec, ctx, oval_of(spec, ctx).filled_m))


def check(spec: CloudSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = check_organic(spec, ctx, place)
    if has_errors(found):
        return found
    size = _mean_size(spec, ctx)
    for key, have, need in (
        ("width", spec.width, 3.3 * size),
        ("height", spec.height, 2.0 * size),
    ):
        if have < need:
            what = message(
                "These balloons make a cloud of {need} at the least.", need=ctx.length(need)
            )
            mend = message("Make it larger, or take smaller balloons.")
            found.append(error("too-small", f"{place}.{key}", what, mend))
    if spec.on == "stand":
        try:
            choose_pole(ctx, spec.bottom + spec.height)
        except BuildError as problem:
            found.append(
                error("no-pole", f"{place}.bottom", problem.finding.what, problem.finding.mend)
            )
    return found + checks.too_many(estimate(spec, ctx), place)


KIND = PieceKind(
    name="cloud",
    summary=message("Mixed sizes grown together into a cloud, hung, on a stand or on the floor."),
    spec=CloudSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("width", "height"),
    overhead=lambda spec: spec.on == "hooks",
    example="""\
name    = "Ceiling cloud"
kind    = "cloud"
width   = "7 ft"
height  = "4 ft"
bottom  = "8 ft"
mix     = [
  { balloon = "17in @ 15in", share = 2 },
  { balloon = "11in @ 10in", share = 6 },
  { balloon = "5in @ 4.5in", share = 5 },
]
shades  = { white = 4, sand = 2, gold = 1 }
""",
)
