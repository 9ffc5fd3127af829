"""What a kind of piece is: one value that ties its job-file keys to its building.

A new kind is one new file in `decor/pieces/` that makes a `PieceKind`, plus one line in
`decor/pieces/__init__.py`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly
from airwright.decor.colouring import opposite_slots
from airwright.decor.context import Context
from airwright.job.cluster import Cluster, NotationError
from airwright.job.findings import Finding
from airwright.job.pieces import PieceSpec
from airwright.job.records import records
from airwright.params import MOST_ENTRIES

Spec = TypeVar("Spec", bound=PieceSpec)
Numbers = NDArray[np.int64]
Rows = Sequence[Sequence[str]]
"""Shades of a painted piece, row by row from the bottom up."""


class PaintError(ValueError):
    """A chart that cannot be painted so; `what` and `mend` are for the decorator."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what)
        self.what = what
        self.mend = mend


def _nothing(values: Mapping[str, Any], factor: float) -> dict[str, Any]:
    return {}


def _stays(table: Mapping[str, Any]) -> dict[str, Any]:
    return {}


def as_chart(table: Mapping[str, Any], rows: Rows) -> dict[str, Any]:
    """The keys of a piece made of layers that say how its rows were painted."""
    return {"pattern": "chart", "chart": [list(row) for row in rows]}


def _never(spec: Any) -> bool:
    return False


@cache
def _shade_keys(spec: type[PieceSpec]) -> frozenset[str]:
    return frozenset(row.name for row in records(spec) if row.shades)


def grown(count: int, factor: float) -> int:
    """A number of things that grows with its piece; never none."""
    return max(1, round(count * factor))


def swirl_mirrored(table: Mapping[str, Any]) -> dict[str, Any]:
    """Turn and chart of a piece made of layers round a line, as in a mirror."""
    if "shades" not in table and "chart" not in table:
        return {}
    changed: dict[str, Any] = {"turn": -int(table.get("turn", 1))}
    if changed["turn"] == 0:  # straight stripes, which only a turn tells left from right
        changed["turn"] = -1
        if table.get("pattern", "swirl") in ("swirl", "zigzag"):
            changed["pattern"] = "stripes"
    if "chart" in table:
        changed["chart"] = _chart_mirrored(table["chart"], table.get("body", ()))
    return changed


def _chart_mirrored(chart: Sequence[Sequence[str]], body: Sequence[Any]) -> list[list[str]]:
    """Rows of a painted chart with right and left changed, as often as layers repeat."""
    try:
        made = [Cluster.parse(cluster) for cluster in body]
    except NotationError:
        made = []
    if not chart or not made or any(not row for row in chart):
        return [list(row) for row in chart]
    layers = math.lcm(len(chart), len(made), 2)
    if layers > MOST_ENTRIES:
        layers = len(chart)
    rows = []
    for at in range(layers):
        row, cluster = chart[at % len(chart)], made[at % len(made)]
        rows.append([row[slot % len(row)] for slot in opposite_slots(cluster, at)])
    return rows


def negated(value: Any) -> Any:
    """A length as written, or a number, on the other side of nought."""
    if isinstance(value, str):
        return value[1:] if value.startswith("-") else f"-{value}"
    return value if value is None else -value


def points_grown(values: Mapping[str, Any], factor: float) -> dict[str, Any]:
    """Points of a path further apart on the floor, at the heights they have."""

    def further(point: Any) -> Any:
        there = [axis for axis in ("x", "y") if hasattr(point, axis)]
        return point.model_copy(update={axis: getattr(point, axis) * factor for axis in there})

    return {"points": [further(point) for point in values.get("points", [])]}


def points_mirrored(table: Mapping[str, Any]) -> dict[str, Any]:
    """Points of a path on the other side."""
    points = table.get("points")
    if not points:
        return {}
    return {"points": [{**p, "x": negated(p["x"])} if "x" in p else dict(p) for p in points]}


@dataclass(frozen=True, slots=True)
class PieceKind(Generic[Spec]):
    """One kind of piece.

    Attributes:
        name: what `kind = "…"` says.
        summary: one sentence for forms and docs.
        spec: its keys in the job file.
        build: spec and context → Assembly; called only when `check` found no error.
        estimate: about how many balloons one takes, cheaply, before anything is built.
        check: spec, context and place ("pieces[2]") → findings no single key can make.
        example: a TOML table body that runs, for forms and docs.
        walked_through: whether people walk through it, so that pairs of others flank it.
        grows: keys of the lengths that grow when a design is made larger; what the room gives
            (hooks, ceiling, steps) stays.
        counted: keys as read and a factor → keys whose numbers are counted out by hand and grow.
        mirrored: keys as written → those that change in a mirror, beside left and right.
        overhead: whether one may hang over people.
        under_ceiling: whether it floats loose under a ceiling, which holds it in place of weights.
        lets_fall: whether its balloons are let fall loose.
        painted: its table and the rows somebody painted → the keys that say so; may raise
            PaintError.
        cells: row from the floor and place from the left (N,) of each balloon, for a kind whose
            chart has a cell a balloon; None: a row of its chart is a layer, a cell is a slot.

    Which of its keys name shades is said at the key: `Param(shades=True)`.
    """

    name: str
    summary: str
    spec: type[Spec]
    build: Callable[[Spec, Context], Assembly]
    estimate: Callable[[Spec, Context], int]
    check: Callable[[Spec, Context, str], list[Finding]]
    example: str
    walked_through: bool = False
    grows: tuple[str, ...] = ("width", "height", "length")
    counted: Callable[[Mapping[str, Any], float], dict[str, Any]] = _nothing
    mirrored: Callable[[Mapping[str, Any]], dict[str, Any]] = _stays
    overhead: Callable[[Spec], bool] = _never
    under_ceiling: Callable[[Spec], bool] = _never
    lets_fall: bool = False
    painted: Callable[[Mapping[str, Any], Rows], dict[str, Any]] = as_chart
    cells: Callable[[Assembly], tuple[Numbers, Numbers]] | None = None

    @property
    def has_chart(self) -> bool:
        """Whether its balloons can be painted one by one."""
        return self.cells is not None or "chart" in self.spec.model_fields

    @property
    def shade_keys(self) -> frozenset[str]:
        """Names of the keys, at any depth, whose texts name shades."""
        return _shade_keys(self.spec)


class BuildError(ValueError):
    """A piece that cannot be built; carries the finding that says why."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.what)
        self.finding = finding
