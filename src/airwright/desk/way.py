"""The way of a piece in the front view, as a drawing whose points can be dragged."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from airwright import units
from airwright.decor.armatures import ArmatureError, through
from airwright.job.records import FieldSpec

MARGIN_CM = 45.0
LEAST_CM = 200.0
"""Room round the points, and least width and height of the drawing."""

SAMPLES = 80


@dataclass(frozen=True, slots=True)
class WayPoint:
    """One point: right and down in the drawing [cm], and its key in the file as JSON."""

    x: float
    y: float
    path: str
    told: str


@dataclass(frozen=True, slots=True)
class Way:
    """The drawing: its box "left top width height" [cm], floor at 0, the curve and its points."""

    box: str
    left: float
    wide: float
    curve: str
    points: tuple[WayPoint, ...]
    next_point: str


def way_of(rows: Sequence[FieldSpec], value: Any, path: tuple[str | int, ...]) -> Way | None:
    """The drawing of a list of points, None where they are no points of a front view.

    Args:
        rows: records of one entry's keys.
        value: the raw list in the file.
        path: of the list.
    """
    if {"x", "z"} - {row.name for row in rows} or not isinstance(value, list):
        return None
    try:
        spots = [_spot(table) for table in value]
        line = through([(x, 0.0, z) for x, z in spots])
    except (units.UnitError, ArmatureError, TypeError):
        return None
    flat = 100 * line.position(np.linspace(0.0, line.length_m, SAMPLES))[:, [0, 2]]
    low, high = flat.min(axis=0) - MARGIN_CM, flat.max(axis=0) + MARGIN_CM
    short = np.maximum(LEAST_CM - (high - low), 0.0)
    left, right = float(low[0] - short[0] / 2), float(high[0] + short[0] / 2)
    top = max(float(high[1]), LEAST_CM)
    points = tuple(
        WayPoint(
            round(100 * x, 1),
            round(-100 * z, 1),
            json.dumps((*path, at)),
            f"{units.write(round(x, 2), units.LENGTH)}, {units.write(round(z, 2), units.LENGTH)}",
        )
        for at, (x, z) in enumerate(spots)
    )
    return Way(
        box=f"{left:.1f} {-top:.1f} {right - left:.1f} {top + 12:.1f}",
        left=round(left, 1),
        wide=round(right - left, 1),
        curve="M" + "L".join(f"{x:.1f} {-z:.1f}" for x, z in flat),
        points=points,
        next_point=_next(spots),
    )


def _spot(table: Any) -> tuple[float, float]:
    if not isinstance(table, Mapping):
        raise TypeError
    x, z = (units.parse(table.get(key, "0 m"), units.LENGTH) for key in ("x", "z"))
    return x, z


def _next(spots: Sequence[tuple[float, float]]) -> str:
    """A point half a leg on, as JSON for a button that adds one."""
    (x0, z0), (x1, z1) = spots[-2:]
    x, z = x1 + (x1 - x0) / 2, max(z1 + (z1 - z0) / 2, 0.0)
    return json.dumps(
        {
            "x": units.write(round(x, 2), units.LENGTH),
            "z": units.write(round(z, 2), units.LENGTH),
        }
    )
