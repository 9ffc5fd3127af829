"""Collects balloons, hardware and steps while a piece is built, then freezes the Assembly."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from airwright.decor.assembly import (
    NO_CLUSTER,
    Assembly,
    ClusterMade,
    Fabric,
    Floats,
    HardwarePlaced,
    Operations,
    Residual,
    Role,
    Shade,
    Step,
    Stock,
    Strand,
)


@dataclass(slots=True)
class Draft:
    """A piece under construction; `finish` makes the frozen Assembly of it."""

    name: str
    kind: str
    pitch_m: float | None = None
    pitch_range_m: tuple[float, float] | None = None
    layers: int = 0
    layers_range: tuple[int, int] | None = None
    reserve: tuple[tuple[str, str, int], ...] = ()
    on_table: bool = False
    _centre: list[Floats] = field(default_factory=list)
    _axis: list[Floats] = field(default_factory=list)
    _rows: list[tuple[int, int, int, int, int, int]] = field(default_factory=list)
    _stocks: dict[Stock, int] = field(default_factory=dict)
    _shades: dict[Shade, int] = field(default_factory=dict)
    _clusters: list[ClusterMade] = field(default_factory=list)
    _hardware: list[HardwarePlaced] = field(default_factory=list)
    _strands: list[Strand] = field(default_factory=list)
    _fabrics: list[Fabric] = field(default_factory=list)
    _steps: list[Step] = field(default_factory=list)
    _operations: dict[str, float] = field(default_factory=dict)
    _supplies: dict[str, float] = field(default_factory=dict)
    _residuals: list[Residual] = field(default_factory=list)

    def balloon(
        self,
        centre: Floats,
        axis: Floats,
        stock: Stock,
        shade: Shade,
        role: Role,
        *,
        cluster: int = NO_CLUSTER,
        layer: int = NO_CLUSTER,
        slot: int = NO_CLUSTER,
    ) -> int:
        """Place one balloon; returns its row."""
        length = float(np.linalg.norm(axis))
        self._centre.append(np.asarray(centre, dtype=float))
        self._axis.append(
            np.asarray(axis, dtype=float) / length if length else np.array([0.0, 0, 1])
        )
        self._rows.append(
            (
                self._stocks.setdefault(stock, len(self._stocks)),
                self._shades.setdefault(shade, len(self._shades)),
                cluster,
                layer,
                slot,
                int(role),
            )
        )
        return len(self._rows) - 1

    def cluster(
        self,
        recipe: str,
        centres: Floats,
        axes: Floats,
        stocks: Sequence[Stock],
        shades: Sequence[Shade],
        at: Floats,
        role: Role,
        layer: int = NO_CLUSTER,
    ) -> tuple[int, ...]:
        """Place one cluster, slot by slot; returns its rows."""
        index = len(self._clusters)
        self._clusters.append(
            ClusterMade(
                recipe,
                tuple(shade.name for shade in shades),
                tuple(stock.size for stock in stocks),
                _point(at),
            )
        )
        return tuple(
            self.balloon(
                centres[slot],
                axes[slot],
                stocks[slot],
                shades[slot],
                role,
                cluster=index,
                layer=layer,
                slot=slot,
            )
            for slot in range(len(stocks))
        )

    def hardware(self, part: HardwarePlaced) -> int:
        """Place hardware; returns its index."""
        self._hardware.append(part)
        return len(self._hardware) - 1

    def strand(self, part: Strand) -> int:
        """Place a ribbon, tie or loop; returns its index."""
        self._strands.append(part)
        return len(self._strands) - 1

    def fabric(self, part: Fabric) -> int:
        """Place a sleeve; returns its index."""
        self._fabrics.append(part)
        return len(self._fabrics) - 1

    def step(
        self,
        title: str,
        text: str,
        *,
        balloons: Iterable[int] = (),
        hardware: Iterable[int] = (),
        strands: Iterable[int] = (),
        fabrics: Iterable[int] = (),
        measures: Mapping[str, float] | None = None,
    ) -> None:
        """Add a building step; `measures` are the quantities its text names (SI, unit in name)."""
        self._steps.append(
            Step(
                title,
                text,
                tuple(balloons),
                tuple(hardware),
                tuple(strands),
                tuple(fabrics),
                tuple((measures or {}).items()),
            )
        )

    def hardware_at(self, index: int) -> tuple[float, float, float]:
        """First point (x, y, z) of a part placed [m]."""
        return self._hardware[index].path[0]

    def strand_at(self, index: int) -> Strand:
        """A strand placed."""
        return self._strands[index]

    def clusters_of(self, rows: Iterable[int]) -> int:
        """How many clusters and single balloons some rows make up."""
        keys = [(self._rows[row][2], row if self._rows[row][2] < 0 else 0) for row in rows]
        return len(set(keys))

    def whole_clusters(self, rows: Sequence[int], share: float) -> int:
        """How many of some rows, in order, are about a share of them and end with a cluster."""
        at = round(share * len(rows))
        while 0 < at < len(rows) and self._rows[rows[at]][2] == self._rows[rows[at - 1]][2] >= 0:
            at += 1
        return at

    def cluster_numbers(self, rows: Sequence[int]) -> tuple[int, int]:
        """First and last cluster of some rows as a list in order counts them, from 1."""
        numbers = [self._rows[row][2] + 1 for row in rows]
        return min(numbers), max(numbers)

    def look(self, row: int) -> tuple[str, str]:
        """Catalogue size and shade name of a balloon placed."""
        stock, shade = self._rows[row][:2]
        return list(self._stocks)[stock].size, list(self._shades)[shade].name

    def supply(self, item: str, quantity: float) -> None:
        """Something used up that has no place of its own in the piece, by its catalogue name."""
        self._supplies[item] = self._supplies.get(item, 0.0) + quantity

    def work(self, operation: str, quantity: float) -> None:
        """Add labour beyond inflating and tying."""
        self._operations[operation] = self._operations.get(operation, 0.0) + quantity

    def doubt(self, residual: Residual) -> None:
        """Record what one packing left unbalanced; the worst one is kept."""
        self._residuals.append(residual)

    @property
    def centres(self) -> Floats:
        """(N, 3) centres placed so far [m]."""
        return np.array(self._centre).reshape(-1, 3)

    @property
    def stocks(self) -> list[Stock]:
        """What each balloon placed so far is."""
        stocks = list(self._stocks)
        return [stocks[row[0]] for row in self._rows]

    @property
    def radii(self) -> Floats:
        """(N,) radii placed so far [m]."""
        return np.array([stock.inflated_m / 2 for stock in self.stocks], dtype=float)

    def finish(self) -> Assembly:
        """The frozen Assembly."""
        rows = np.array(self._rows, dtype=np.int32).reshape(-1, 6)
        worst = max(
            self._residuals, key=lambda r: (not r.converged, r.relative), default=Residual()
        )
        return Assembly(
            name=self.name,
            kind=self.kind,
            centre=self.centres,
            radius=self.radii,
            axis=np.array(self._axis).reshape(-1, 3),
            stock=rows[:, 0].copy(),
            shade=rows[:, 1].copy(),
            cluster=rows[:, 2].copy(),
            layer=rows[:, 3].copy(),
            slot=rows[:, 4].copy(),
            role=rows[:, 5].copy(),
            stocks=tuple(self._stocks),
            shades=tuple(self._shades),
            clusters=tuple(self._clusters),
            hardware=tuple(self._hardware),
            strands=tuple(self._strands),
            fabrics=tuple(self._fabrics),
            steps=tuple(self._steps),
            operations=tuple(Operations(name, n) for name, n in self._operations.items()),
            supplies=tuple(self._supplies.items()),
            pitch_m=self.pitch_m,
            pitch_range_m=self.pitch_range_m,
            layers=self.layers,
            layers_range=self.layers_range,
            reserve=self.reserve,
            residual=worst,
            on_table=self.on_table,
        )


def _point(at: Floats) -> tuple[float, float, float]:
    x, y, z = (float(value) for value in at)
    return x, y, z


def path(points: Iterable[Sequence[float] | Floats]) -> tuple[tuple[float, float, float], ...]:
    """Points as plain tuples, for strands and hardware."""
    return tuple(_point(np.asarray(point, dtype=float)) for point in points)
