"""Counts read off an Assembly: balloons, clusters, hardware, mass and room."""

from __future__ import annotations

from collections import Counter, defaultdict

import numpy as np

from airwright.catalog import Catalog
from airwright.decor.assembly import Assembly, Role
from airwright.plan.piece_values import BalloonLine, ClusterLine, HardwareLine
from airwright.plan.silhouette import SLEEVE_ITEMS
from airwright.units import INCH_M

Ring = tuple[tuple[str, str], ...]
"""Size and shade of each balloon of a cluster, in order."""


def balloon_lines(assembly: Assembly) -> tuple[BalloonLine, ...]:
    """Inflated balloons by size, diameter, shade and role, largest first."""
    rows = Counter(
        zip(assembly.stock.tolist(), assembly.shade.tolist(), assembly.role.tolist(), strict=True)
    )
    lines = []
    for (stock_at, shade_at, role), count in rows.items():
        stock = assembly.stocks[stock_at]
        lines.append(
            BalloonLine(
                size=stock.size,
                size_in=round(stock.nominal_m / INCH_M, 3),
                inflated_in=round(stock.inflated_m / INCH_M, 3),
                shade=assembly.shades[shade_at].name,
                role=Role(role).label,
                count=count,
                helium=stock.helium,
                bags=assembly.shades[shade_at].bags,
            )
        )
    return tuple(sorted(lines, key=lambda r: (-r.inflated_in, r.size, r.role, r.shade)))


def tie_lines(assembly: Assembly, catalog: Catalog) -> tuple[BalloonLine, ...]:
    """Modelling balloons used flat as ties and loops; a part of one counts as a whole one."""
    parts: dict[tuple[str, str], float] = defaultdict(float)
    for strand in assembly.strands:
        if strand.stock_size is not None:
            parts[strand.stock_size, strand.shade.bags[0]] += strand.balloons
    return tuple(
        BalloonLine(
            size=size,
            size_in=catalog.balloon(size).nominal_in,
            inflated_in=0.0,
            shade=shade,
            role=Role.TIE.label,
            count=int(np.ceil(count - 1e-9)),
        )
        for (size, shade), count in sorted(parts.items())
    )


def cluster_lines(assembly: Assembly) -> tuple[ClusterLine, ...]:
    """Clusters by recipe and shades, each kind that hands can tell apart once."""
    counts: Counter[tuple[str, tuple[str, ...], tuple[str, ...], str]] = Counter()
    role_of = {
        int(cluster): Role(int(role)).label
        for cluster, role in zip(assembly.cluster, assembly.role, strict=True)
    }
    for at, made in enumerate(assembly.clusters):
        pairs = same_cluster(tuple(zip(made.sizes, made.shades, strict=True)))
        sizes, shades = zip(*pairs, strict=True)
        counts[made.recipe, sizes, shades, role_of.get(at, Role.BODY.label)] += 1
    return tuple(
        ClusterLine(recipe, sizes, shades, count, role)
        for (recipe, sizes, shades, role), count in counts.items()
    )


def same_cluster(ring: Ring) -> Ring:
    """One spelling for all clusters that hands cannot tell apart.

    A tied cluster can be turned, and turned over; in a mixed one each size is tied by itself,
    so only the order within a size counts, largest size first as the recipe has it.
    """
    by_size: dict[str, Ring] = {}
    for size, shade in ring:
        by_size[size] = (*by_size.get(size, ()), (size, shade))
    return tuple(pair for same in by_size.values() for pair in _least(same))


def _least(ring: Ring) -> Ring:
    """The first in order of all turns of a ring and of its mirror image."""
    mirrored = ring[::-1]
    return min(way[at:] + way[:at] for way in (ring, mirrored) for at in range(len(ring)))


def hardware_lines(assembly: Assembly, catalog: Catalog) -> tuple[HardwareLine, ...]:
    """Hardware, sleeves, lines and ribbons by the metre, and bands, summed by item."""
    sums: dict[tuple[str, str, str, str | None, float | None], float] = defaultdict(float)
    for part in assembly.hardware:
        sums[part.item, part.use, part.unit, None, None] += part.quantity
    for fabric in assembly.fabrics:
        item = SLEEVE_ITEMS.get(fabric.material, fabric.material)
        depth_m = round(fabric.drop_m, 4)
        sums[item, fabric.material, "m", fabric.shade.name, depth_m] += fabric.strip_m
    for item, count in assembly.supplies:
        sums[item, catalog.item(item).use, "each", None, None] += count
    for strand in assembly.strands:
        if strand.item is None:
            continue
        use = catalog.item(strand.item).use
        if use == "band":
            sums[strand.item, use, "each", None, None] += 1
        else:
            sums[strand.item, use, "m", None, None] += strand.cut_m
    return tuple(
        HardwareLine(item, use, round(quantity, 3), unit, shade, depth_m)
        for (item, use, unit, shade, depth_m), quantity in sums.items()
    )


def cuts(assembly: Assembly) -> tuple[tuple[str, float, int], ...]:
    """Ribbons and lines to cut: item, length to the centimetre [m], how many; longest first."""
    counts: Counter[tuple[str, float]] = Counter()
    for strand in assembly.strands:
        if strand.item is not None and strand.item != "rubber band":
            counts[strand.item, round(strand.cut_m, 2)] += 1
    rows = sorted(counts.items(), key=lambda row: (row[0][0], -row[0][1]))
    return tuple((item, length, count) for (item, length), count in rows)


def mass(assembly: Assembly, hardware: tuple[HardwareLine, ...], catalog: Catalog) -> float:
    """Rubber, film, hardware and fabric [kg]; air in air weighs nothing."""
    grams = np.array([catalog.balloon(stock.size).mass_g for stock in assembly.stocks])
    rubber = float((grams[assembly.stock] * assembly.skins).sum()) / 1000 if len(assembly) else 0.0
    ties = sum(
        strand.balloons * catalog.balloon(strand.stock_size).mass_g / 1000
        for strand in assembly.strands
        if strand.stock_size is not None
    )
    return rubber + ties + sum(catalog.item(line.item).mass_kg * line.quantity for line in hardware)


def bulk(assembly: Assembly) -> float:
    """Room of the piece as it stands, its bounding box [m³]."""
    low, high = assembly.bounds
    return float(np.prod(high - low))
