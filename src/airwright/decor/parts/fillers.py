"""Small clusters hung on loops or bands where gaps show."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airwright.decor.assembly import Floats, Role, Strand
from airwright.decor.colouring import deal
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.parts.cloud import CloudShape, settle_cloud
from airwright.decor.parts.facing import bearing, directions
from airwright.decor.parts.stack import layer_of
from airwright.job.pieces import Fillers
from airwright.language import Text, counted, message, sentences

LOOPS_PER_260 = 4
"""Loops cut from one modelling balloon (common practice)."""

PRESSED = 0.80
"""Centre distance to its neighbours, of the sum of radii: a filler is pushed into its gap."""

DEEPEST = 0.15
"""How deep a filler's balloon may be pressed, of the smaller diameter."""

FRONT_MERIT = 0.6
"""How much farther from its tie a filler may hang to face the front, in its own sizes."""

_WAYS = 96
_TRIED = 16
_SLIDES = 400


def add_fillers(
    draft: Draft, spec: Fillers, ctx: Context, ties: Sequence[Floats], reach_m: float
) -> None:
    """Hang fillers round the ties, each in the widest gap that is left, front ones first.

    Args:
        draft: the piece so far; its balloons are what gaps are measured against.
        spec: the cluster, how many, on what, and their shades.
        ctx: catalogue and shades.
        ties: points (3,) [m] they may hang on, taken in turn.
        reach_m: how far out from the pole a filler may hang at the most [m].
    """
    layer = layer_of(spec.cluster, ctx)
    shape = settle_cloud(layer, ctx.pressure_pa, 0.0)
    names = deal(spec.shades, spec.cluster)
    stocks = [ctx.stock(balloon) for balloon in spec.cluster.slots]
    size = float((np.linalg.norm(shape.centre, axis=1) + shape.radius).max())
    balloons: list[int] = []
    strands: list[int] = []
    hung: list[tuple[int, Floats]] = []
    for at in range(spec.count):
        tie = ties[at % len(ties)]
        centres, at_point = _seat(draft, shape, tie, size, reach_m)
        balloons += draft.cluster(
            str(spec.cluster),
            centres,
            centres - at_point,
            stocks,
            [ctx.shade(name) for name in names],
            at_point,
            Role.FILLER,
        )
        hung.append((at % len(ties), at_point))
        strands.append(draft.strand(_loop(spec, ctx, tie, at_point)))
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
    draft: Draft, shape: CloudShape, tie: Floats, size: float, reach_m: float
) -> tuple[Floats, Floats]:
    """Centres (n, 3) [m] of a filler in the best gap round a tie, and the point it hangs from.

    The likeliest gaps are tried out: the best is where the filler, once it has slid free of
    what it runs into, has stayed closest to the tie and to the front.
    """
    body, body_radius = draft.centres, draft.radii
    best: tuple[float, Floats, Floats] | None = None
    for way, out in _gaps(body, body_radius, tie, size, reach_m)[:_TRIED]:
        hung = tie + out * way
        placed = hung + shape.centre @ _facing(way).T
        centres = _nestled(placed, shape.radius, body, body_radius, way)
        hung = hung + (centres - placed).mean(axis=0)
        cost = float(np.linalg.norm(hung - tie)) + FRONT_MERIT * size * float(way[1])
        if best is None or cost < best[0] - 1e-9:
            best = (cost, centres, hung)
    assert best is not None
    return best[1], best[2]


def _gaps(
    centres: Floats, radii: Floats, tie: Floats, size: float, reach_m: float
) -> list[tuple[Floats, float]]:
    """Directions, and how far out a ball of `size` fits in each [m], closest and front first."""
    found: list[tuple[float, int, Floats, float]] = []
    for index, way in enumerate(_ways()):
        offset = tie - centres
        along = offset @ way
        room = (PRESSED * (radii + size * 0.8)) ** 2 - ((offset**2).sum(axis=1) - along**2)
        ahead = -along + np.sqrt(np.maximum(room, 0.0))
        blocked = (room > 0) & (ahead > 0)
        out = float(np.where(blocked, ahead, size * 0.5).max(initial=size * 0.5))
        cost = out + FRONT_MERIT * size * float(way[1]) + 1e-6 * abs(float(way[0]))
        cost += 10.0 * max(size - float((tie + out * way)[2]), 0.0)  # not into the floor
        cost += 10.0 * max(out - reach_m, 0.0)
        found.append((cost, index, way, out))
    found.sort(key=lambda row: (round(row[0], 9), row[1]))
    return [(way, out) for _, _, way, out in found]


def _nestled(
    centre: Floats, radius: Floats, body: Floats, body_radius: Floats, way: Floats
) -> Floats:
    """The filler's balloons (n, 3) [m] slid out of the body until none is pressed too deep.

    Each gives way to what it runs into, and all of them move outwards a little as long as any
    has to: hands do the same, and let go where the filler holds.
    """
    at = centre.copy()
    reach = float(radius.max() + body_radius.max()) + float(np.ptp(centre, axis=0).max())
    near = np.linalg.norm(body - centre.mean(axis=0), axis=1) < reach
    other, other_radius = body[near], body_radius[near]
    for _ in range(_SLIDES):
        push = np.zeros_like(at)
        for who, size, share in ((other, other_radius, 1.0), (at, radius, 0.5)):
            apart = at[:, None] - who[None]
            far = np.linalg.norm(apart, axis=2) + 1e-12
            smaller = np.minimum(radius[:, None], size[None])
            deep = radius[:, None] + size[None] - far - DEEPEST * 2 * smaller
            deep = np.where(far > 1e-9, np.maximum(deep, 0.0), 0.0)  # none against itself
            push += share * (deep[:, :, None] * apart / far[:, :, None]).sum(axis=1)
        push[:, 2] += np.maximum(radius - at[:, 2], 0.0)  # the floor
        if float(np.abs(push).max()) < 1e-4:
            break
        at += 0.5 * push + 0.02 * radius.mean() * way
    return at


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
