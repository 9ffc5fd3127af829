"""Which shade each slot of each layer takes.

Clusters of k equal balloons sit in the gaps of the layer below, so from layer to layer the
places move by half a slot. A swirl lets a shade move on to the next gap, always the same way:

    layer 2   |  B   C   D   A  |        turn = 1: each shade one gap to the right
    layer 1   |A   B   C   D    |        (half a slot, 45 degrees for quads) per layer
    layer 0   |  D   A   B   C  |

Places are counted in half slots to the viewer's right, so the arithmetic stays whole.
"""

from __future__ import annotations

from collections.abc import Sequence

from airwright.job.cluster import Cluster
from airwright.job.pieces import Coloured
from airwright.language import Text, counted, message, sentences


def shade_rows(spec: Coloured, layers: Sequence[Cluster]) -> list[tuple[str, ...]]:
    """Shade names, one row a layer in slot order.

    Args:
        spec: shades, pattern, turn, zig and chart.
        layers: the cluster of each layer, bottom up.

    Returns:
        For each layer one shade name a balloon.
    """
    if spec.pattern == "chart" and spec.chart:
        return [_painted(spec.chart[at % len(spec.chart)], made) for at, made in enumerate(layers)]
    if spec.turn < 0:
        right = shade_rows(spec.model_copy(update={"turn": -spec.turn}), layers)
        return [
            tuple(row[slot] for slot in opposite_slots(made, at))
            for at, (row, made) in enumerate(zip(right, layers, strict=True))
        ]
    if isinstance(spec.shades, dict):
        return _by_size(spec.shades, spec.turn, layers)
    moves = _moves(spec, len(layers))
    return [
        _row(spec, made, at, move)
        for at, (made, move) in enumerate(zip(layers, moves, strict=True))
    ]


def opposite_slots(made: Cluster, layer: int) -> tuple[int, ...]:
    """For each slot of a cluster the one opposite it in a mirror to the left or right.

    Equal balloons: slots run the other way round, from the front on even layers, from the gap at
    the front on odd ones. Unlike ones: those of one size change places, left for right.
    """
    if len(made.parts) == 1:
        first = -(layer % 2)
        return tuple((first - slot) % made.count for slot in range(made.count))
    out = [0] * made.count
    for size in {(balloon.size, balloon.diameter_m) for balloon in made.slots}:
        slots = [
            slot
            for slot, balloon in enumerate(made.slots)
            if (balloon.size, balloon.diameter_m) == size
        ]
        for slot, other in zip(slots, reversed(slots), strict=True):
            out[slot] = other
    return tuple(out)


def _painted(row: Sequence[str], made: Cluster) -> tuple[str, ...]:
    return tuple(row[slot % len(row)] for slot in range(made.count))


def _row(spec: Coloured, made: Cluster, at: int, halves: int) -> tuple[str, ...]:
    assert isinstance(spec.shades, list)
    names = spec.shades
    if spec.pattern == "rings":
        return (names[at % len(names)],) * made.count
    shift = (halves - at % 2) // 2
    return tuple(names[(slot - shift) % made.count % len(names)] for slot in range(made.count))


def _moves(spec: Coloured, layers: int) -> list[int]:
    """How far the shades have moved at each layer, in half slots to the right."""
    turn = 0 if spec.pattern == "stripes" else spec.turn
    step = 2 * abs(turn) - 1
    moves, at, way = [], 0, 1 if turn > 0 else -1
    for layer in range(layers):
        moves.append(layer % 2 if turn == 0 else at)
        if spec.pattern == "zigzag" and layer and layer % spec.zig == 0:
            way = -way
        at += way * step
    return moves


def _by_size(
    shades: dict[str, list[str]], turn: int, layers: Sequence[Cluster]
) -> list[tuple[str, ...]]:
    """A list for each size: dealt within the cluster, shifted each time that size comes again."""
    seen: dict[str, int] = {}
    rows = []
    for made in layers:
        dealt: dict[str, int] = {}
        row = []
        for balloon in made.slots:
            names = shades.get(balloon.size) or next(iter(shades.values()))
            at = dealt.get(balloon.size, 0)
            dealt[balloon.size] = at + 1
            row.append(names[(at + turn * seen.get(balloon.size, 0)) % len(names)])
        for size in dealt:
            seen[size] = seen.get(size, 0) + 1
        rows.append(tuple(row))
    return rows


def deal(names: Sequence[str], made: Cluster) -> tuple[str, ...]:
    """Shades dealt in turn within each size of one cluster, as a cloud is coloured."""
    dealt: dict[str, int] = {}
    row = []
    for balloon in made.slots:
        at = dealt.get(balloon.size, 0)
        dealt[balloon.size] = at + 1
        row.append(names[at % len(names)])
    return tuple(row)


def pattern_rule(spec: Coloured) -> Text:
    """What the hands must know to follow the colouring, one sentence."""
    if isinstance(spec.shades, dict):
        return message("The chart shows the shades of each cluster.")
    if spec.pattern == "chart" and spec.chart:
        return message("Follow the chart for the shades.")
    if spec.pattern == "rings":
        return message("Every cluster has one shade, in the order of the chart.")
    if spec.pattern == "stripes" or spec.turn == 0:
        return message("Keep each shade in line with itself, so that it makes a straight stripe.")
    places = 2 * abs(spec.turn) - 1
    if spec.pattern == "zigzag":
        if spec.turn > 0:
            way = counted(
                "Each shade moves half a balloon to the right from cluster to cluster,",
                "Each shade moves {n} half balloons to the right from cluster to cluster,",
                places,
            )
        else:
            way = counted(
                "Each shade moves half a balloon to the left from cluster to cluster,",
                "Each shade moves {n} half balloons to the left from cluster to cluster,",
                places,
            )
        back = message("and back again after {n} clusters.", n=spec.zig)
        return sentences(way, back)
    if spec.turn > 0:
        return counted(
            "Each shade moves half a balloon to the right from cluster to cluster.",
            "Each shade moves {n} half balloons to the right from cluster to cluster.",
            places,
        )
    return counted(
        "Each shade moves half a balloon to the left from cluster to cluster.",
        "Each shade moves {n} half balloons to the left from cluster to cluster.",
        places,
    )
