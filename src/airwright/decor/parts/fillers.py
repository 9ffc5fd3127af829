"""Small clusters hung on loops or bands where gaps show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from airwright.decor.assembly import Floats, Role, Strand
from airwright.decor.colouring import deal
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.parts.cloud import CloudShape, settle_cloud
from airwright.decor.parts.facing import bearing, directions
from airwright.decor.parts.mirror import in_mirror
from airwright.decor.parts.nestle import Balls, Nestled, nestle
from airwright.decor.parts.stack import layer_of
from airwright.job.pieces import Fillers
from airwright.language import Text, counted, message, sentences

LOOPS_PER_260 = 4
"""Loops cut from one modelling balloon (common practice)."""

PRESSED = 0.80
"""Where a filler is tried from: centre distance to its neighbours, of the sum of radii."""

HELD_BY = 3
"""So many balloons of the body hold a filler that sits in a gap."""

UNHELD = 0.5
"""What each one missing costs, in sizes of the filler, when gaps are compared."""

FRONT_MERIT = 0.6
"""How much farther from its tie a filler may hang to face the front, in its own sizes."""

_WAYS = 96
_TRIED = 8


def add_fillers(
    draft: Draft,
    spec: Fillers,
    ctx: Context,
    ties: Sequence[Floats],
    reach_m: float,
    *,
    mirrored: bool = False,
) -> None:
    """Hang fillers round the ties, each in the widest gap that is left, front ones first.

    Args:
        draft: the piece so far; its balloons are what gaps are measured against.
        spec: the cluster, how many, on what, and their shades.
        ctx: catalogue and shades.
        ties: points (3,) [m] they may hang on, taken in turn.
        reach_m: how far out from the pole a filler may hang at the most [m].
        mirrored: whether the body is the mirror image of another, so that they are hung in it.
    """
    layer = layer_of(spec.cluster, ctx)
    shape = settle_cloud(layer, 0.0)
    wall = 2 * np.pi * shape.radius * np.array(layer.pressure)
    names = deal(spec.shades, spec.cluster)
    stocks = [ctx.stock(balloon) for balloon in spec.cluster.slots]
    size = float((np.linalg.norm(shape.centre, axis=1) + shape.radius).max())
    balloons: list[int] = []
    strands: list[int] = []
    hung: list[tuple[int, Floats]] = []
    for at in range(spec.count):
        tie = ties[at % len(ties)]
        body = Balls.of(draft, ctx)
        body = replace(body, centre=in_mirror(body.centre, mirrored))
        rest = _seat(body, shape, wall, in_mirror(tie, mirrored), size, reach_m)
        centre, knot = in_mirror(rest.centre, mirrored), in_mirror(rest.tie[0], mirrored)
        balloons += draft.cluster(
            str(spec.cluster),
            centre,
            centre - knot,
            stocks,
            [ctx.shade(name) for name in names],
            knot,
            Role.FILLER,
        )
        hung.append((at % len(ties), knot))
        strands.append(draft.strand(_loop(spec, ctx, tie, knot)))
    draft.work("filler", spec.count)
    draft.step(_title(spec), _text(spec, ties, hung), balloons=balloons, strands=strands)


def _title(spec: Fillers) -> Text:
    if spec.tie == "loop":
        return counted("Hang a filler on a loop", "Hang {n} fillers on loops", spec.count)
    return counted("Hang a filler on a band", "Hang {n} fillers on bands", spec.count)


def _text(spec: Fillers, ties: Sequence[Floats], hung: Sequence[tuple[int, Floats]]) -> Text:
    """How they are tied, and where they hang."""
    if spec.tie == "loop":
        how = sentences(
            message("Cut a flat 260 into {n} pieces and knot each into a loop.", n=LOOPS_PER_260),
            message("Knot the necks of a filler into the loop."),
            message(
                "Put the loop over the neck of a large balloon and pull the filler into the gap."
            ),
        )
    else:
        how = sentences(
            message("Catch the necks of a filler in a rubber band."),
            message(
                "Hook the band over the neck of a large balloon and pull the filler into the gap."
            ),
        )
    return sentences(how, *_places(ties, hung))


def _places(ties: Sequence[Floats], hung: Sequence[tuple[int, Floats]]) -> list[Text]:
    """Where they go: at each cloud of a column, else to the front first."""
    if len(ties) > 2:
        return [message("Fill the gaps at the front first, evenly from end to end.")]
    names = {
        1: (message("On the column"),),
        2: (message("At the upper cloud"), message("At the lower cloud")),
    }[len(ties)]
    if len(ties) == 2 and ties[0][2] < ties[1][2]:
        names = names[::-1]
    told = []
    for at, where in enumerate(names):
        ways = [bearing((point - ties[at])[:2]) for tie, point in hung if tie == at]
        if ways:
            told.append(
                message(
                    "{where}: {many}, {ways}.",
                    where=where,
                    many=_fillers(len(ways)),
                    ways=directions(ways),
                )
            )
    return told


def _fillers(count: int) -> Text:
    return counted("{n} filler", "{n} fillers", count)


def _seat(
    body: Balls, shape: CloudShape, wall: Floats, tie: Floats, size: float, reach_m: float
) -> Nestled:
    """A filler at rest in the best gap round a tie.

    The likeliest gaps are tried out: the best is where the filler is held by most of the body,
    closest to the tie and to the front.
    """
    best: tuple[float, Nestled] | None = None
    for way, out in _gaps(body, tie, size, reach_m)[:_TRIED]:
        hung = tie + out * way
        start = Balls(hung + shape.centre @ _facing(way).T, shape.radius, wall)
        rest = nestle(start, hung, tie, body.near(hung, reach_m + 2 * size))
        turn = rest.tie[0] - tie
        far = float(np.linalg.norm(turn))
        cost = far + FRONT_MERIT * size * float(turn[1]) / (far or 1.0)
        cost += UNHELD * size * max(HELD_BY - int(rest.held_by[0]), 0)
        cost += 10.0 * max(far - reach_m, 0.0)
        if best is None or cost < best[0] - 1e-9:
            best = (cost, rest)
    assert best is not None
    return best[1]


def _gaps(body: Balls, tie: Floats, size: float, reach_m: float) -> list[tuple[Floats, float]]:
    """Directions, and how far out a ball of `size` fits in each [m], closest and front first."""
    found: list[tuple[float, int, Floats, float]] = []
    for index, way in enumerate(_ways()):
        offset = tie - body.centre
        along = offset @ way
        room = (PRESSED * (body.radius + size * 0.8)) ** 2 - ((offset**2).sum(axis=1) - along**2)
        ahead = -along + np.sqrt(np.maximum(room, 0.0))
        blocked = (room > 0) & (ahead > 0)
        out = float(np.where(blocked, ahead, size * 0.5).max(initial=size * 0.5))
        cost = out + FRONT_MERIT * size * float(way[1]) + 1e-6 * abs(float(way[0]))
        cost += 10.0 * max(size - float((tie + out * way)[2]), 0.0)  # not into the floor
        cost += 10.0 * max(out - reach_m, 0.0)
        found.append((cost, index, way, out))
    found.sort(key=lambda row: (round(row[0], 9), row[1]))
    return [(way, out) for _, _, way, out in found]


def _ways() -> Floats:
    """Directions spread over the sphere, without the steep ones along the pole."""
    k = np.arange(_WAYS) + 0.5
    z = (1 - 2 * k / _WAYS) * 0.75
    turn = np.pi * (1 + 5**0.5) * k
    flat = np.sqrt(1 - z**2)
    ways: Floats = np.column_stack([flat * np.cos(turn), flat * np.sin(turn), z])
    return ways


def _facing(way: Floats) -> Floats:
    """A rotation that turns the cluster's z axis towards `way`."""
    up = np.array([0.0, 0.0, 1.0])
    side = np.cross(up, way)
    side /= np.linalg.norm(side) or 1.0
    return np.column_stack([side, np.cross(way, side), way])


def _loop(spec: Fillers, ctx: Context, tie: Floats, at: Floats) -> Strand:
    shade = ctx.shade(spec.shades[0])
    if spec.tie == "band":
        return Strand("rubber band", path([tie, at]), 0.003, shade, item="rubber band")
    return Strand(
        "260 loop",
        path([tie, at]),
        0.006,
        shade,
        stock_size="260",
        balloons=1.0 / LOOPS_PER_260,
    )
