"""The chart of a wall: every balloon where it is seen from the front, clusters marked off.

A layer of a wall holds many clusters side by side, so it is not unrolled but shown as it stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from airwright.decor.assembly import Assembly, Floats, Ints
from airwright.pictures.drawing.text import ink_on, short_names

LEAST_CELL_MM: Final = 7.0
"""Width of a cluster's cell on paper at the least, so that its shades can be named."""
LARGEST_CELL_MM: Final = 16.0


@dataclass(frozen=True, slots=True)
class GridDisc:
    """A balloon: middle and radius on the chart [mm], y downwards; `label` is its shade, short.

    `row` is its row in the Assembly.
    """

    x: float
    y: float
    r: float
    colour: str
    ink: str
    label: str
    row: int


@dataclass(frozen=True, slots=True)
class GridPart:
    """A part of a wall that fits on a page.

    Attributes:
        columns, rows: clusters in it, first and last, counted from 1 (left, and floor).
        cell_mm: width and height of a cluster's cell.
        width_mm, height_mm: of the chart, numbers not counted.
        discs: its balloons.
        cells: upper left corners of the clusters' cells [mm].
        row_at, column_at: where the numbers stand, middles [mm].
    """

    columns: tuple[int, int]
    rows: tuple[int, int]
    cell_mm: float
    width_mm: float
    height_mm: float
    discs: tuple[GridDisc, ...]
    row_at: tuple[tuple[int, float], ...]
    column_at: tuple[tuple[int, float], ...]


def is_grid(assembly: Assembly) -> bool:
    """Whether the layers hold several clusters each."""
    layers = assembly.layer[assembly.layer >= 0]
    clusters = assembly.cluster[assembly.layer >= 0]
    return len(layers) > 0 and len(np.unique(clusters)) > 1.5 * len(np.unique(layers))


def grid_parts(assembly: Assembly, wide_mm: float, high_mm: float) -> tuple[GridPart, ...]:
    """The wall in parts that each fit into a box, the left lower one first.

    Args:
        assembly: a piece for which `is_grid` holds.
        wide_mm, high_mm: the box [mm], numbers not counted.
    """
    ties = np.array([made.at for made in assembly.clusters], dtype=float)
    rows = _rows(assembly)
    step = _step(ties, rows)
    left = float(ties[:, 0].min()) - step / 2
    columns = np.floor((ties[:, 0] - left) / step + 1e-6).astype(int)
    across, up = int(columns.max()) + 1, int(rows.max()) + 1
    most_across = max(1, min(across, int(wide_mm / LEAST_CELL_MM - 0.5)))
    parts_across = -(-across // most_across)
    most_across = -(-across // parts_across)
    cell = min(LARGEST_CELL_MM, wide_mm / (most_across + 0.5))
    most_up = max(1, int(high_mm // cell))
    parts_up = -(-up // most_up)
    most_up = -(-up // parts_up)
    labels = short_names([shade.name for shade in assembly.shades])
    parts = []
    for low in range(0, up, most_up):
        for first in range(0, across, most_across):
            span = (first, min(first + most_across, across), low, min(low + most_up, up))
            inside = (columns >= span[0]) & (columns < span[1])
            inside &= (rows >= span[2]) & (rows < span[3])
            if inside.any():
                parts.append(_part(assembly, ties, (rows, columns), inside, step, cell, labels))
    return tuple(parts)


def _rows(assembly: Assembly) -> Ints:
    """Row of each cluster, counted from 0 at the floor."""
    rows = np.zeros(len(assembly.clusters), dtype=np.int32)
    rows[assembly.cluster[assembly.cluster >= 0]] = assembly.layer[assembly.cluster >= 0]
    return rows


def _step(ties: Floats, rows: Ints) -> float:
    """Distance of neighbours in a row [m]."""
    steps = [
        np.diff(np.sort(ties[rows == row, 0])) for row in np.unique(rows) if (rows == row).sum() > 1
    ]
    found = np.concatenate(steps) if steps else np.zeros(0)
    found = found[found > 1e-3]
    return float(np.median(found)) if len(found) else 0.3


def _part(
    assembly: Assembly,
    ties: Floats,
    places: tuple[Ints, Ints],
    inside: np.ndarray,
    step: float,
    cell: float,
    labels: dict[str, str],
) -> GridPart:
    rows, columns = places
    scale = cell / step
    keep = np.flatnonzero(np.isin(assembly.cluster, np.flatnonzero(inside)))
    x, z, r = assembly.centre[keep, 0], assembly.centre[keep, 2], assembly.radius[keep]
    left, top = float((x - r).min()), float((z + r).max())
    discs = []
    for row, across, up, radius in zip(keep, x, z, _apart(x, z, r), strict=True):
        shade = assembly.shades[assembly.shade[row]]
        discs.append(
            GridDisc(
                (float(across) - left) * scale,
                (top - float(up)) * scale,
                0.97 * float(radius) * scale,
                shade.colour,
                ink_on(shade.colour),
                labels[shade.name],
                int(row),
            )
        )
    return GridPart(
        (int(columns[inside].min()) + 1, int(columns[inside].max()) + 1),
        (int(rows[inside].min()) + 1, int(rows[inside].max()) + 1),
        cell,
        (float((x + r).max()) - left) * scale,
        (top - float((z - r).min())) * scale,
        tuple(discs),
        _numbers(rows, inside, (top - ties[:, 2]) * scale),
        _numbers(columns, inside, (ties[:, 0] - left) * scale),
    )


def _apart(x: Floats, z: Floats, radius: Floats) -> Floats:
    """Radii (N,) [m] at which pressed balloons stand side by side, so that no name is hidden."""
    from scipy.spatial import cKDTree

    if len(x) < 2:
        return radius
    nearest = cKDTree(np.column_stack([x, z])).query(np.column_stack([x, z]), k=2)[0][:, 1]
    return np.asarray(np.minimum(radius, nearest.min() / 2))


def _numbers(index: Ints, inside: np.ndarray, at: Floats) -> tuple[tuple[int, float], ...]:
    """Each row's or column's number and where it stands, by its clusters' mean."""
    return tuple(
        (int(k) + 1, float(at[inside & (index == k)].mean())) for k in np.unique(index[inside])
    )


def shades_in(assembly: Assembly) -> Sequence[tuple[str, str, str]]:
    """Short label, name and colour of each shade in the order of its first use."""
    labels = short_names([shade.name for shade in assembly.shades])
    used = dict.fromkeys(assembly.shade.tolist())
    return [
        (labels[assembly.shades[k].name], assembly.shades[k].name, assembly.shades[k].colour)
        for k in used
    ]
