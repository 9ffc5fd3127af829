"""The organic fill: mixed sizes tied along a line, small accents tucked into the gaps.

As hands do it: two equal balloons make a duplet, two duplets twisted together a quad, quads sit
close on a line, each turned another way, large ones spread evenly; when the line is full, small
clusters are tucked in wherever the line or a gap shows.

    line   ---x-----x-----x-----x---     quads, each turned and tilted its own way
              OO    oO    OO    oO
    gaps         ..    ..    ..          accents, on the outside, between two or three others
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats, Residual
from airwright.decor.packing import Rail, SoftPacking, Tolerance
from airwright.decor.packing.gradient import relax_loosely
from airwright.decor.packing.rail import frames
from airwright.decor.parts.accents import tuck_in
from airwright.decor.parts.nestle import Balls
from airwright.decor.parts.stack import residual_of

Ints = NDArray[np.int64]

ACCENT_M = 0.18
"""Balloons up to this size are accents, tucked in last (common practice: the 5 in ones)."""

JUMBO_M = 0.50
"""From this size on balloons are tied in one by one, not as duplets."""

LINE_PER_DIAMETER = 0.225
"""Line that one balloon takes up, of its diameter, at usual density: a quad of like ones takes
0.90 diameters, a little more than a packed quad (0.84), for it is turned at random."""

MOST_TILT_RAD = 0.45
"""How far a neck may lean along the line at the start."""

MOST_ACCENTS = 2.0
"""Accents for each balloon on the line that find a gap; more of them are tied on the line."""

GOLDEN_RAD = np.pi * (3.0 - 5.0**0.5)

TOLERANCE = Tolerance(relative=0.2, max_iterations=500)
"""Imbalance left on any balloon, of a typical contact force. A heap of unlike balloons creeps on
for long where rubber on rubber, with a friction of about one, holds it long before; the mean is
ten times smaller."""


@dataclass(frozen=True, slots=True)
class Size:
    """One size of a mix: inflated diameter and neck [m], how many of it, and its pressure [Pa]."""

    across_m: float
    neck_m: float
    count: int
    pressure_pa: float


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """How a mix that is not alike all along its line is spread over it.

    Attributes:
        on_line: (K, M) balloons of each size tied on the line, in M equal parts of it.
        tucked: (K, M) accents tucked in, likewise; numbers need not be whole.
    """

    on_line: Floats
    tucked: Floats

    def places(self, many: Floats) -> Floats:
        """Shares of the line (M + 1,) that hold 0, 1/M, … 1 of what `many` (M,) counts."""
        parts = len(many)
        held = np.concatenate([[0.0], np.cumsum(many + 1e-9 * many.mean() + 1e-12)])
        even = np.linspace(0.0, 1.0, parts + 1)
        places: Floats = np.interp(even, held / held[-1], even)
        return places

    def at(self, many: Floats, shares: Floats) -> Floats:
        """Shares of the line by which `shares` of what `many` (M,) counts are passed."""
        places = self.places(many)
        found: Floats = np.interp(shares, np.linspace(0.0, 1.0, len(places)), places)
        return found


@dataclass(frozen=True, slots=True)
class Tied:
    """One cluster on the line: index into the sizes for each balloon, and where it is tied [m]."""

    sizes: tuple[int, ...]
    s: float


@dataclass(frozen=True, slots=True, eq=False)
class OrganicShape:
    """A settled organic fill of N balloons in M clusters.

    Attributes:
        centre, axis: (N, 3) [m] and unit vectors, neck to crown.
        size: (N,) index into the sizes of the mix.
        cluster: (N,) cluster of each balloon; core clusters come first, along the line.
        tie: (M, 3) where each cluster is tied or tucked in [m].
        cores: how many of the clusters sit on the line.
        residual: what the packing left unbalanced.
    """

    centre: Floats
    axis: Floats
    size: Ints
    cluster: Ints
    tie: Floats
    cores: int
    residual: Residual


def core_sizes(across_m: Sequence[float]) -> list[bool]:
    """Which sizes sit on the line: all but the accents; the largest when all are small."""
    core = [size > ACCENT_M for size in across_m]
    if not any(core):
        return [size == max(across_m) for size in across_m]
    return core


def counts_for(
    length_m: float, across_m: Sequence[float], shares: Sequence[float], density: float
) -> list[int]:
    """How many balloons of each size a line takes.

    Args:
        length_m: of the line [m].
        across_m: inflated diameters [m].
        shares: of the number of balloons, in any measure, none negative, some above zero.
        density: 1 is usual, more is denser.

    Returns:
        Whole numbers whose proportions come as near to the shares as whole balloons can.
    """
    on_line = on_line_of(across_m, shares)
    need = LINE_PER_DIAMETER * sum(a * b for a, b in zip(on_line, across_m, strict=True))
    total = max(1, round(length_m * density * sum(shares) / need))
    return share_out(total, shares)


def on_line_of(across_m: Sequence[float], many: Sequence[float]) -> list[float]:
    """How many of each size are tied on the line: all but the accents that find a gap."""
    core = core_sizes(across_m)
    inner = sum(n for n, on in zip(many, core, strict=True) if on)
    small = sum(many) - inner
    if inner <= 0.0:  # nothing but accents asked for: they sit on the line themselves
        return list(many)
    left = max(0.0, 1.0 - MOST_ACCENTS * inner / small) if small else 0.0
    return [n if on else n * left for n, on in zip(many, core, strict=True)]


def share_out(total: int, shares: Sequence[float]) -> list[int]:
    """Whole numbers that add up to `total` in the given proportions (largest remainders)."""
    wanted = [total * share / sum(shares) for share in shares]
    counts = [int(part) for part in wanted]
    short = total - sum(counts)
    by_rest = sorted(range(len(shares)), key=lambda k: (counts[k] - wanted[k], k))
    for index in by_rest[:short]:
        counts[index] += 1
    return counts


def fill(
    line: Rail,
    sizes: Sequence[Size],
    *,
    seed: int,
    floor: bool = True,
    grip: float = 1.0,
    behind_m: float | None = None,
    spread: Spread | None = None,
) -> OrganicShape:
    """Tie the balloons along the line, let them settle, tuck the accents in, settle again.

    Args:
        line: the curve they are tied to.
        sizes: the mix with its counts.
        seed: fixes how clusters are turned and where accents go.
        floor: whether z = 0 holds balloons up.
        grip: how stiffly clusters sit on the line; 1 for wrapped round it, less for tied to each
            other.
        behind_m: face of a wall behind that they stay in front of, y = behind_m [m].
        spread: where along the line the sizes go; evenly if left out.
    """
    chance = np.random.default_rng(seed)
    across = [size.across_m for size in sizes]
    on_line = _tied_on(sizes, across, spread)
    tied = _along(line, sizes, on_line, chance, spread)
    size = np.array([k for cluster in tied for k in cluster.sizes], dtype=np.int64)
    tie = np.repeat(np.arange(len(tied)), [len(cluster.sizes) for cluster in tied])
    tie_s = np.array([cluster.s for cluster in tied])
    radius = np.array([sizes[k].across_m / 2 for k in size])
    neck = np.array([sizes[k].neck_m for k in size])
    pressure = np.array([sizes[k].pressure_pa for k in size])
    problem = SoftPacking(
        centre0=_fanned(line, tie_s, tie, neck, chance),
        radius=radius,
        tie=tie,
        tie_s0=tie_s,
        neck_m=neck,
        neck_stiffness_n_m=grip * 2 * np.pi * radius * pressure,
        pressure_pa=pressure,
        tie_free=_sliding(len(tied), knotted=spread is not None),
        rail=line,
        floor=floor,
        behind_m=behind_m,
    )
    packed = relax_loosely(problem, TOLERANCE)
    small = [k for k, size in enumerate(sizes) for _ in range(size.count - on_line[k])]
    shape = OrganicShape(
        packed.centre, packed.axis, size, tie, packed.tie_point, len(tied), residual_of(packed)
    )
    if not small:
        return shape
    return _with_accents(shape, problem, sizes, small, chance, spread)


def _tied_on(sizes: Sequence[Size], across: Sequence[float], spread: Spread | None) -> list[int]:
    """How many of each size are tied on the line, at least one in all."""
    counts = [size.count for size in sizes]
    if spread is None:
        return [int(n) for n in on_line_of(across, counts)]
    return [min(n, round(float(row.sum()))) for n, row in zip(counts, spread.on_line, strict=True)]


# ---- along the line ---------------------------------------------------------------------------


def _along(
    line: Rail,
    sizes: Sequence[Size],
    counts: Sequence[int],
    chance: np.random.Generator,
    spread: Spread | None,
) -> list[Tied]:
    """Clusters in order along the line, each size spread evenly over it or as `spread` says."""
    bunches: list[tuple[float, tuple[int, ...]]] = []
    for k, size in enumerate(sizes):
        hand = 1 if size.across_m >= JUMBO_M else 2
        groups = -(-counts[k] // hand)
        for group in range(groups):
            many = min(hand, counts[k] - group * hand)
            at = (group + 0.5 + chance.uniform(-0.3, 0.3)) / groups
            if spread is not None:
                at = float(spread.at(spread.on_line[k], np.array([at]))[0])
            bunches.append((at, (k,) * many))
    bunches.sort()
    clusters = [
        sum((sizes_ for _, sizes_ in bunches[at : at + 2]), ()) for at in range(0, len(bunches), 2)
    ]
    clusters = [tuple(sorted(made, key=lambda k: -sizes[k].across_m)) for made in clusters]
    need = np.array([sum(sizes[k].across_m for k in made) for made in clusters])
    ends = np.concatenate([[0.0], np.cumsum(need)]) / need.sum()
    wobble = chance.uniform(-0.12, 0.12, len(clusters)) * np.diff(ends)
    shares = (ends[:-1] + ends[1:]) / 2 + wobble
    if spread is not None:
        shares = spread.at(np.array([s.across_m for s in sizes]) @ spread.on_line, shares)
    places = shares * line.length_m
    return [Tied(made, float(s)) for made, s in zip(clusters, places, strict=True)]


def _sliding(clusters: int, *, knotted: bool) -> NDArray[np.bool_]:
    """Clusters slide along the line until they sit equally tight; those at its ends are knotted.

    Where one place is to be denser than another, each is knotted where it was put.
    """
    free = np.full(clusters, not knotted, dtype=np.bool_)
    free[[0, -1]] = False
    return free


def _fanned(
    line: Rail, tie_s: Floats, tie: Ints, neck: Floats, chance: np.random.Generator
) -> Floats:
    """Starting centres (N, 3): each cluster a ring, turned by the golden angle and tilted."""
    point, tangent, front, right = frames(line, tie_s)
    slot = np.arange(len(tie)) - np.searchsorted(tie, tie)
    many = np.bincount(tie)[tie]
    turn = GOLDEN_RAD * tie + 2 * np.pi * slot / many + chance.uniform(-0.3, 0.3, len(tie))
    tilt = chance.uniform(-MOST_TILT_RAD, MOST_TILT_RAD, len(tie))
    across = np.cos(turn)[:, None] * front[tie] + np.sin(turn)[:, None] * right[tie]
    way = np.cos(tilt)[:, None] * across + np.sin(tilt)[:, None] * tangent[tie]
    centre: Floats = point[tie] + neck[:, None] * way
    return centre


# ---- accents ----------------------------------------------------------------------------------


def _with_accents(
    shape: OrganicShape,
    problem: SoftPacking,
    sizes: Sequence[Size],
    small: Sequence[int],
    chance: np.random.Generator,
    spread: Spread | None,
) -> OrganicShape:
    """The accents drawn into the gaps of the settled core."""
    core_radius = np.asarray(problem.radius)
    order = chance.permutation(len(small))
    small_size = np.asarray(small, dtype=np.int64)[order]
    radius = np.array([sizes[k].across_m / 2 for k in small_size])
    pressure = np.array([sizes[k].pressure_pa for k in small_size])
    body = Balls(shape.centre, core_radius, 2 * np.pi * core_radius * problem.pressure_pa)
    balls = Balls(np.zeros((len(radius), 3)), radius, 2 * np.pi * radius * pressure)
    places = None if spread is None else spread.places(spread.tucked.sum(axis=0)).tolist()
    rest, bunch = tuck_in(
        body, problem.rail, balls, chance, floor=problem.floor, behind_m=problem.behind_m,
        places=places,
    )  # fmt: skip
    hang = rest.centre - rest.tie[bunch]
    return OrganicShape(
        np.concatenate([shape.centre, rest.centre]),
        np.concatenate([shape.axis, hang / np.linalg.norm(hang, axis=1)[:, None]]),
        np.concatenate([shape.size, small_size]),
        np.concatenate([shape.cluster, shape.cores + bunch]),
        np.concatenate([shape.tie, rest.tie]),
        shape.cores,
        shape.residual,
    )
