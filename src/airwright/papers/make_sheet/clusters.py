"""Clusters to tie: each kind once, with how many of it, and the order in which they go on."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from airwright.decor.assembly import Assembly
from airwright.papers.common.parts import Swatch, swatch_of
from airwright.papers.common.trade_words import role_word
from airwright.pictures.drawing.ring import places, slots_of
from airwright.plan.tally import same_cluster
from airwright.plan.values import ClusterLine, PiecePlan


@dataclass(frozen=True, slots=True)
class Slot:
    """Balloons of one size, diameter [m] and shade in a cluster."""

    count: int
    size: str
    inflated_m: float
    shade: Swatch


@dataclass(frozen=True, slots=True)
class ClusterCard:
    """A kind of cluster.

    Attributes:
        index: one of its kind in the Assembly, for the drawing.
        one, together: for one piece, and for all copies.
    """

    recipe: str
    role: str
    one: int
    together: int
    slots: tuple[Slot, ...]
    index: int


@dataclass(frozen=True, slots=True)
class Disc:
    """A balloon of a small ring: centre and radius as shares of the ring's width, y downwards."""

    x: float
    y: float
    r: float
    colour: str


@dataclass(frozen=True, slots=True)
class Placed:
    """A run of equal clusters in building order, counted from 1."""

    first: int
    last: int
    recipe: str
    slots: tuple[Slot, ...]
    discs: tuple[Disc, ...]


def cluster_cards(piece: PiecePlan) -> tuple[ClusterCard, ...]:
    """One card a kind of cluster."""
    assembly = piece.assembly
    cards = []
    for line in piece.clusters:
        index = _like(assembly, line)
        slots = slots_of_cluster(assembly, index)
        many = line.count * piece.count
        cards.append(ClusterCard(line.recipe, role_word(line.role), line.count, many, slots, index))
    return tuple(cards)


def _like(assembly: Assembly, line: ClusterLine) -> int:
    """Index of a cluster that this line counts."""
    wanted = tuple(zip(line.sizes, line.shades, strict=True))
    for index, made in enumerate(assembly.clusters):
        ring = tuple(zip(made.sizes, made.shades, strict=True))
        if made.recipe == line.recipe and same_cluster(ring) == wanted:
            return index
    raise ValueError(f"{line.recipe} is counted but not in the piece")


def slots_of_cluster(assembly: Assembly, index: int) -> tuple[Slot, ...]:
    """What a cluster is tied of, equal balloons together, in slot order."""
    rows = np.flatnonzero(assembly.cluster == index)
    rows = rows[np.argsort(assembly.slot[rows], kind="stable")]
    counts: Counter[tuple[str, float, int]] = Counter()
    for row in rows:
        stock = assembly.stocks[assembly.stock[row]]
        counts[stock.size, stock.inflated_m, int(assembly.shade[row])] += 1
    out = []
    for (size, inflated, shade_at), count in counts.items():
        shade = assembly.shades[shade_at]
        out.append(Slot(count, size, inflated, swatch_of(shade)))
    return tuple(out)


def in_order(assembly: Assembly) -> tuple[Placed, ...]:
    """Clusters in the order in which they go on, equal neighbours joined."""
    reach = max((_reach(assembly, index) for index in range(len(assembly.clusters))), default=1.0)
    out: list[Placed] = []
    for index in range(len(assembly.clusters)):
        slots, recipe = slots_of_cluster(assembly, index), assembly.clusters[index].recipe
        if out and (out[-1].recipe, out[-1].slots) == (recipe, slots):
            out[-1] = replace(out[-1], last=index + 1)
        else:
            discs = _discs(assembly, index, reach)
            out.append(Placed(index + 1, index + 1, recipe, slots, discs))
    return tuple(out)


def _reach(assembly: Assembly, index: int) -> float:
    """Tie to the far side of the outermost balloon, laid flat [m]."""
    radii = [slot.stock.inflated_m / 2 for slot in slots_of(assembly, index)]
    return max(float(np.hypot(*at)) + r for at, r in zip(places(radii), radii, strict=True))


def _discs(assembly: Assembly, index: int, reach: float) -> tuple[Disc, ...]:
    """The ring; the piece's largest fills its frame, small ones are drawn a little larger."""
    slots = slots_of(assembly, index)
    radii = [slot.stock.inflated_m / 2 for slot in slots]
    reach = math.sqrt(reach * _reach(assembly, index))
    return tuple(
        Disc(
            0.5 + float(at[0]) / (2 * reach),
            0.5 - float(at[1]) / (2 * reach),
            r / (2 * reach),
            slot.shade.colour,
        )
        for at, r, slot in zip(places(radii), radii, slots, strict=True)
    )
