"""The layer chart made fit for the page: as large as it can be, split where it must be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly
from airwright.pictures.drawing import Drawing, Style, draw_chart
from airwright.units import System

LEAST_CHART_MM: Final = 30.0
FEWEST_LAYERS: Final = 3
"""Pieces with fewer layers have no chart: their clusters are listed in order."""
SCALES: Final = (1.4, 1.3, 1.2, 1.05, 0.95)
"""How much the chart is enlarged on a page of its own, the largest that fits wins."""
BESIDE_SCALES: Final = (1.1, 1.0, 0.92, 0.84, 0.77, 0.7, 0.65)
"""Likewise for a chart that stands beside the lists of its piece."""


@dataclass(frozen=True, slots=True)
class ChartPart:
    """One picture of the chart: its layers counted from 1, and its size on paper [mm]."""

    first: int
    last: int
    drawing: Drawing
    width_mm: float
    height_mm: float


def has_chart(assembly: Assembly) -> bool:
    """Whether there is a stack of layers to unroll."""
    return assembly.layers >= FEWEST_LAYERS and bool((assembly.layer >= 0).any())


def chart_parts(
    assembly: Assembly, wide_mm: float, high_mm: float, system: System
) -> tuple[ChartPart, ...]:
    """The chart in pictures that each fit into a box.

    Args:
        assembly: the piece.
        wide_mm, high_mm: the box [mm].
        system: units of the sizes below it.
    """
    for scale in SCALES:
        drawing = _drawn(assembly, wide_mm, high_mm, scale, system)
        if _fits(drawing, wide_mm, high_mm, scale):
            return (_part(drawing, _layers(assembly), scale),)
    return _split(assembly, wide_mm, high_mm, system)


def chart_beside(
    assembly: Assembly, wide_mm: float, high_mm: float, system: System
) -> ChartPart | None:
    """The whole chart small enough to stand beside the lists; None where it does not fit."""
    for scale in BESIDE_SCALES:
        if wide_mm / scale < LEAST_CHART_MM:
            continue
        drawing = _drawn(assembly, wide_mm, high_mm, scale, system)
        if _fits(drawing, wide_mm, high_mm, scale):
            return _part(drawing, _layers(assembly), scale)
    return None


def _split(
    assembly: Assembly, wide_mm: float, high_mm: float, system: System
) -> tuple[ChartPart, ...]:
    """Equal runs of layers, each small enough."""
    layers, scale = _layers(assembly), SCALES[-2]
    repeat = _repeat(assembly, layers)
    for count in range(2, len(layers) + 1):
        size = -(-len(layers) // count)
        size = -(-size // repeat) * repeat
        runs = [layers[at : at + size] for at in range(0, len(layers), size)]
        parts = []
        for run in runs:
            drawing = _drawn(only_layers(assembly, run), wide_mm, high_mm, scale, system)
            if not _fits(drawing, wide_mm, high_mm, scale) and size > repeat:
                break
            parts.append(_part(drawing, run, scale))
        if len(parts) == len(runs):
            return tuple(parts)
    raise AssertionError("one layer always fits")


def _repeat(assembly: Assembly, layers: Sequence[int]) -> int:
    """Recipes that alternate are cut at whole repeats, so that their letters stay the same."""
    recipes = set()
    for layer in layers[:24]:
        row = int(np.flatnonzero(assembly.layer == layer)[0])
        recipes.add(assembly.clusters[assembly.cluster[row]].recipe)
    return len(recipes)


def _drawn(
    assembly: Assembly, wide_mm: float, high_mm: float, scale: float, system: System
) -> Drawing:
    style = Style(sizes=False)  # the list of balloons tells them
    rows = int((high_mm / scale - 45.0) // style.cell)
    count = len(_layers(assembly))
    # Blocks of like height look better than one full and one short.
    blocks = -(-count // max(rows, 1))
    rows = -(-count // blocks)
    return draw_chart(
        assembly, style=replace(style, rows=max(rows, 1), width=wide_mm / scale), system=system
    )


def _fits(drawing: Drawing, wide_mm: float, high_mm: float, scale: float) -> bool:
    return (
        drawing.canvas.width * scale <= wide_mm + 0.5 and drawing.canvas.height * scale <= high_mm
    )


def _part(drawing: Drawing, layers: Sequence[int], scale: float) -> ChartPart:
    return ChartPart(
        layers[0] + 1,
        layers[-1] + 1,
        drawing,
        drawing.canvas.width * scale,
        drawing.canvas.height * scale,
    )


def _layers(assembly: Assembly) -> list[int]:
    return [int(v) for v in np.unique(assembly.layer) if v >= 0]


def only_layers(assembly: Assembly, layers: Sequence[int]) -> Assembly:
    """The balloons of some layers, and nothing else."""
    return rows_of(assembly, np.isin(assembly.layer, np.asarray(layers)))


def rows_of(assembly: Assembly, keep: NDArray[np.bool_]) -> Assembly:
    """Some balloons of an Assembly; its tables stay, so that names and numbers do too."""
    return replace(
        assembly,
        centre=assembly.centre[keep],
        radius=assembly.radius[keep],
        axis=assembly.axis[keep],
        stock=assembly.stock[keep],
        shade=assembly.shade[keep],
        cluster=assembly.cluster[keep],
        layer=assembly.layer[keep],
        slot=assembly.slot[keep],
        role=assembly.role[keep],
        hardware=(),
        strands=(),
        fabrics=(),
        steps=(),
        operations=(),
    )
