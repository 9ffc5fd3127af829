"""Balloon drops: a net full of loose balloons under the ceiling, opened by a cord."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.catalog import Family
from airwright.decor import checks
from airwright.decor.assembly import Assembly, Floats, HardwarePlaced, Role, Shade, Strand
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.kinds import PieceKind, grown
from airwright.decor.parts.edges import cornered
from airwright.decor.parts.heap import LOOSE, capsule_volume, pour
from airwright.decor.parts.mix import BlendedShades, MixRow, SizeMix, check_mix, mixed_shades, used
from airwright.decor.parts.organic import share_out
from airwright.job.cluster import Inflated
from airwright.job.findings import Finding, error, has_errors, hint
from airwright.job.pieces import PieceSpec
from airwright.language import counted, message, sentences
from airwright.params import Param

HOOP_EVERY_M = 0.45
"""Distance of the drawn rings of the net."""

RIG_EVERY_M = 1.5
"""Most distance between two points a net is rigged at (common practice)."""

RIG_DROP_M = 0.12
"""Line from a rigging point down to the net."""

LEAST_NET = 2.6
"""A net narrower than this many of its largest balloons holds them in single file."""


def _usual_mix() -> list[MixRow]:
    return [MixRow(balloon=Inflated.parse("9in @ 8in"), share=1)]


class DropSpec(PieceSpec):
    """Keys of a balloon drop."""

    kind: Annotated[Literal["drop"], Param(message("A net of balloons that opens."))] = "drop"
    height: Annotated[
        float,
        Param(
            message("Ceiling, or what the net is rigged to, above the floor."),
            units.LENGTH,
            "8 ft",
            "100 ft",
        ),
    ]
    length: Annotated[
        float | None,
        Param(
            message("Length of the filled net; left out, it follows from the number."),
            units.LENGTH,
            "3 ft",
            "300 ft",
        ),
    ] = None
    across: Annotated[
        float, Param(message("How thick the filled net is."), units.LENGTH, "1 ft", "8 ft")
    ] = 0.75
    balloons: Annotated[
        int | None,
        Param(
            message("How many balloons; left out, as many as the net holds."), low=10, high=100_000
        ),
    ] = None
    mix: SizeMix = Field(default_factory=_usual_mix, min_length=1)
    shades: BlendedShades
    seed: Annotated[
        int,
        Param(
            message("Another number pours them another way; counts stay."),
            low=0,
            high=999_999,
            rare=True,
        ),
    ] = 1


def _one_volume(spec: DropSpec, ctx: Context) -> float:
    """Mean volume of a balloon as a ball [m³]."""
    rows = used(spec)
    across = np.array([ctx.stock(row.balloon).inflated_m for row in rows])
    return float(np.average(np.pi / 6 * across**3, weights=[row.share for row in rows]))


def net_size(spec: DropSpec, ctx: Context) -> tuple[int, float]:
    """Number of balloons and length of the filled net [m], each from the other where left out."""
    one = _one_volume(spec, ctx)
    if spec.length is not None:
        room = int(LOOSE * capsule_volume(spec.length, spec.across) / one)
        return (room if spec.balloons is None else spec.balloons), spec.length
    count = spec.balloons or 0
    ball = capsule_volume(spec.across, spec.across)
    straight = max(count * one / LOOSE - ball, 0.0) / (np.pi * spec.across**2 / 4)
    return count, spec.across + float(straight)


def build(spec: DropSpec, ctx: Context) -> Assembly:
    """A net along x, its top a hand below the height."""
    draft = Draft(spec.name, spec.kind)
    rows = used(spec)
    count, length = net_size(spec, ctx)
    counts = share_out(count, [row.share for row in rows])
    size = np.repeat(np.arange(len(rows)), counts)
    size = np.random.default_rng(spec.seed).permutation(size)
    stocks = [ctx.stock(row.balloon) for row in rows]
    radius = np.array([stocks[k].inflated_m / 2 for k in size])
    centre, doubt = pour(radius, length, spec.across, spec.seed)
    middle = spec.height - RIG_DROP_M - spec.across / 2
    centre[:, 2] += middle
    names = mixed_shades(spec, centre, radius, size)
    ways = np.random.default_rng(spec.seed + 1).normal(size=(len(size), 3))
    balloons = [
        draft.balloon(centre[at], ways[at], stocks[size[at]], ctx.shade(names[at]), Role.BODY)
        for at in range(len(size))
    ]
    draft.doubt(doubt)
    draft.work("net", length)
    parts = _net(draft, spec, ctx, length, middle)
    _steps(draft, spec, ctx, (length, middle), balloons, parts)
    return draft.finish()


def _net(
    draft: Draft, spec: DropSpec, ctx: Context, length: float, middle: float
) -> tuple[list[int], list[int], list[int]]:
    """The net, its rigging and its cord: indices of net hardware, hooks and strands."""
    net, hook = ctx.catalog.of_use("net")[0], ctx.catalog.item("garland hook")
    half, radius = length / 2, spec.across / 2
    spine = ((-half, 0.0, middle + radius), (half, 0.0, middle + radius))
    nets = [draft.hardware(HardwarePlaced(net.item, "net", length, "m", spine, 0.004))]
    mesh = Shade("net", "#c9ccd1", "clear")
    strands = [
        draft.strand(Strand("net mesh", path(ring), 0.0015, mesh))
        for ring in _mesh(half, radius, middle)
    ]
    points = np.linspace(-half * 0.9, half * 0.9, max(2, int(np.ceil(length / RIG_EVERY_M)) + 1))
    hooks = []
    for x in points:
        top = (float(x), 0.0, spec.height)
        hooks.append(
            draft.hardware(HardwarePlaced(hook.item, "anchor", 1, "each", (top,), 0.02, 0.02))
        )
        line = path([top, (float(x), 0.0, middle + radius)])
        strands.append(draft.strand(Strand("rigging line", line, 0.003, mesh, item="garland line")))
    low = middle - radius - 0.01
    cord = cornered([(-half, 0.0, low), (half, 0.0, low), (half + 0.02, 0.0, 1.6)])
    red = Shade("rip cord", "#b3362b")
    strands.append(draft.strand(Strand("rip cord", cord, 0.004, red, item="garland line")))
    return nets, hooks, strands


def _mesh(half: float, radius: float, middle: float) -> list[Floats]:
    """Rings and long lines that show the net (n, 3) [m]."""
    straight = max(half - radius, 0.0)
    turn = np.linspace(0, 2 * np.pi, 33)
    y, z = radius * np.cos(turn), middle + radius * np.sin(turn)
    spots = np.linspace(-straight, straight, max(2, round(2 * straight / HOOP_EVERY_M) + 1))
    rings: list[Floats] = [np.column_stack([np.full_like(turn, x), y, z]) for x in spots]
    cap = np.linspace(-np.pi / 2, 0.0, 9)
    along = np.concatenate([radius * np.sin(cap) - straight, straight - radius * np.sin(cap[::-1])])
    out = radius * np.concatenate([np.cos(cap), np.cos(cap[::-1])])
    ways = np.linspace(0, 2 * np.pi, 8, endpoint=False)
    return rings + [
        np.column_stack([along, out * np.cos(way), middle + out * np.sin(way)]) for way in ways
    ]


def _steps(
    draft: Draft,
    spec: DropSpec,
    ctx: Context,
    net: tuple[float, float],
    balloons: Sequence[int],
    parts: tuple[list[int], list[int], list[int]],
) -> None:
    length, middle = net
    nets, hooks, strands = parts
    draft.step(
        message("Lay out the net"),
        sentences(
            message(
                "Lay the net out on a clean floor below its place; it is {long} long.",
                long=ctx.length(length),
            ),
            message("Thread the rip cord along the lower seam in long even stitches."),
            message("Pull it out once while the net is empty: one steady pull must free it."),
        ),
        hardware=nets,
        strands=strands,
        measures={"net_m": length},
    )
    draft.step(
        counted("Fill it with {n} balloon", "Fill it with {n} balloons", len(balloons)),
        sentences(
            message("Pour the balloons in loosely from the open side, shades mixed."),
            message(
                "Do not press them down: the filled net comes to {across} across.",
                across=ctx.length(spec.across),
            ),
            message("Close the last side and tie the free end of the cord up out of reach."),
        ),
        balloons=balloons,
        measures={"across_m": spec.across},
    )
    draft.step(
        counted("Hang it at {n} point", "Hang it at {n} points", len(hooks)),
        sentences(
            message(
                "Raise it level, all points at once, until its middle hangs {middle} above "
                "the floor.",
                middle=ctx.length(middle),
            ),
            message("A qualified rigger chooses and loads points above people."),
            message(
                "Keep everybody off the floor below. One person who sees all of it holds the cord."
            ),
        ),
        hardware=hooks,
        measures={"middle_m": middle},
    )


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: DropSpec, ctx: Context) -> int:
    """How many balloons it takes."""
    return net_size(spec, ctx)[0]


def check(spec: DropSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = check_mix(
        spec,
        ctx,
        place,
        (Family.ROUND,),
        "cannot-drop",
        lambda size: message("A {size} does not fall like a balloon.", size=size),
    )
    if spec.length is None and spec.balloons is None:
        what = message("A drop needs the length of its net or the number of its balloons.")
        mend = message('Add length = "12 ft" or balloons = 300.')
        found.append(error("missing", f"{place}.length", what, mend))
    return found if has_errors(found) else found + _check_net(spec, ctx, place)


def _check_net(spec: DropSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether the balloons fit the net and the net fits the room."""
    found = checks.too_many(estimate(spec, ctx), place)
    largest = max(ctx.stock(row.balloon).inflated_m for row in used(spec))
    if spec.across < LEAST_NET * largest:
        what = message(
            "A net {across} across is too thin for these balloons.",
            across=ctx.length(spec.across),
        )
        mend = message("Make it {value} across at least.", value=ctx.length(LEAST_NET * largest))
        found.append(error("net-too-thin", f"{place}.across", what, mend))
    if spec.length is not None and spec.length < spec.across:
        what = message("This net is shorter than it is thick.")
        found.append(
            error("net-too-short", f"{place}.length", what, message("Make it longer or thinner."))
        )
    if has_errors(found):
        return found
    if spec.length is not None and spec.balloons is not None:
        room = LOOSE * capsule_volume(spec.length, spec.across) / _one_volume(spec, ctx)
        if spec.balloons > 1.05 * room:
            what = message(
                "About {room} of these balloons fit loosely, not {balloons}.",
                room=f"{room:.0f}",
                balloons=spec.balloons,
            )
            mend = message("Take a longer net, or leave one of the two out.")
            found.append(error("net-too-small", f"{place}.balloons", what, mend))
        elif spec.balloons < 0.6 * room:
            what = message(
                "The net would hold about {room} of these balloons; it hangs slack.",
                room=f"{room:.0f}",
            )
            found.append(
                hint("net-slack", f"{place}.balloons", what, message("Take a shorter net."))
            )
    if spec.height - RIG_DROP_M - spec.across < 2.1:
        what = message("The net would hang lower than a door is high.")
        found.append(
            error("too-low", f"{place}.height", what, message("Rig it higher, or thinner."))
        )
    return found


def _counted(values: Mapping[str, Any], factor: float) -> dict[str, Any]:
    """Balloons that were counted out; else the net says how many."""
    balloons = values.get("balloons")
    return {} if balloons is None else {"balloons": grown(balloons, factor)}


KIND = PieceKind(
    name="drop",
    summary=message("A net full of loose balloons under the ceiling, opened by a cord."),
    spec=DropSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("length",),
    counted=_counted,
    overhead=lambda spec: True,
    lets_fall=True,
    example="""\
name     = "Midnight drop"
kind     = "drop"
height   = "14 ft"
length   = "12 ft"
across   = "30 in"
mix      = [{ balloon = "9in @ 8in", share = 3 }, { balloon = "11in @ 10in", share = 1 }]
shades   = { white = 3, gold = 2, teal = 1 }
""",
)
