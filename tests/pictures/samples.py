"""Synthetic assemblies for the picture tests, laid out by hand instead of packed."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from airwright.build.assembly import (
    NO_CLUSTER,
    Assembly,
    ClusterMade,
    Fabric,
    HardwarePlaced,
    Role,
    Shade,
    Step,
    Stock,
    Strand,
)
from airwright.catalog import Family

INCH = 0.0254
CORAL = Shade("coral", "#f0705a")
SAND = Shade("sand", "#e8d5b7")
TEAL = Shade("teal", "#1f7a7a")
WHITE = Shade("white", "#f7f5f0")
GOLD = Shade("gold", "#c9a227", "metallic")
PEARL = Shade("pearl rose", "#e9b7bd", "pearl")
CLEAR = Shade("clear", "#eef3f5", "clear")
SWIRL = (CORAL, SAND, TEAL, WHITE)


def round_stock(size_in: float, inflated_in: float, **more: object) -> Stock:
    return Stock(
        f"{size_in:g}in",
        Family.ROUND,
        size_in * INCH,
        inflated_in * INCH,
        **more,  # type: ignore[arg-type]
    )


class Maker:
    """Collects balloons one by one; `done` makes the Assembly."""

    def __init__(self, name: str, kind: str) -> None:
        self.name, self.kind = name, kind
        self.rows: list[tuple[object, ...]] = []
        self.stocks: list[Stock] = []
        self.shades: list[Shade] = []
        self.clusters: list[ClusterMade] = []
        self.hardware: list[HardwarePlaced] = []
        self.strands: list[Strand] = []
        self.fabrics: list[Fabric] = []
        self.steps: list[Step] = []
        self.layers = 0
        self.pitch: float | None = None

    def balloon(
        self,
        centre: Sequence[float],
        axis: Sequence[float],
        stock: Stock,
        shade: Shade,
        *,
        cluster: int = NO_CLUSTER,
        layer: int = NO_CLUSTER,
        slot: int = NO_CLUSTER,
        role: Role = Role.BODY,
    ) -> int:
        if stock not in self.stocks:
            self.stocks.append(stock)
        if shade not in self.shades:
            self.shades.append(shade)
        unit = np.asarray(axis, dtype=float) / np.linalg.norm(axis)
        self.rows.append(
            (
                tuple(centre),
                stock.inflated_m / 2,
                tuple(unit),
                self.stocks.index(stock),
                self.shades.index(shade),
                cluster,
                layer,
                slot,
                int(role),
            )
        )
        return len(self.rows) - 1

    def ring(
        self,
        tie: Sequence[float],
        stocks: Sequence[Stock],
        shades: Sequence[Shade],
        turn: float,
        layer: int,
        *,
        spread: float = 0.66,
        role: Role = Role.BODY,
        lift: Sequence[float] | None = None,
        drop: float = 0.1,
    ) -> list[int]:
        count = len(stocks)
        cluster = len(self.clusters)
        sizes = [s.size for s in stocks]
        recipe = " + ".join(
            f"{sizes.count(size)} x {size} @ {wide / INCH:g}in"
            for size, wide in {s.size: s.inflated_m for s in stocks}.items()
        )
        self.clusters.append(
            ClusterMade(recipe, tuple(s.name for s in shades), tuple(sizes), tuple(tie))  # type: ignore[arg-type]
        )
        made = []
        for k, (stock, shade) in enumerate(zip(stocks, shades, strict=True)):
            angle = turn + 2 * math.pi * k / count
            arm = spread * stock.inflated_m
            way = np.array([math.cos(angle), math.sin(angle), -drop if lift is None else lift[k]])
            made.append(
                self.balloon(
                    np.asarray(tie) + arm * way,
                    way,
                    stock,
                    shade,
                    cluster=cluster,
                    layer=layer,
                    slot=k,
                    role=role,
                )
            )
        return made

    def stand(self, height: float) -> None:
        self.hardware += [
            HardwarePlaced("column base plate", "base", 1, "each", ((0, 0, 0),), 0.40, 0.03),
            HardwarePlaced(
                "column pole, sectional", "pole", 1, "each", ((0, 0, 0.03), (0, 0, height)), 0.025
            ),
        ]

    def topper(self, z: float, stock: Stock, shade: Shade, lean: float = 0.0) -> int:
        row = self.balloon(
            (lean, 0, z + 1.2 * stock.inflated_m / 2),
            (lean * 1.2, 0, 1),
            stock,
            shade,
            role=Role.TOPPER,
        )
        turn = np.linspace(0, 5 * math.pi, 40)
        wrap = [(0.045 * math.cos(t), 0.045 * math.sin(t), z - 0.18 + 0.012 * t) for t in turn]
        path = [(0, 0, z + 0.02), (-0.05, -0.09, z - 0.06), (-0.03, -0.14, z - 0.13), *wrap]
        self.strands.append(
            Strand("topper tie", tuple(path), 0.022, shade, stock_size="260", balloons=1.0)  # type: ignore[arg-type]
        )
        return row

    def done(self) -> Assembly:
        columns = list(zip(*self.rows, strict=True)) if self.rows else [()] * 9

        def ints(k: int) -> np.ndarray:
            return np.asarray(columns[k], dtype=np.int32)

        return Assembly(
            self.name,
            self.kind,
            np.asarray(columns[0], dtype=float).reshape(-1, 3),
            np.asarray(columns[1], dtype=float),
            np.asarray(columns[2], dtype=float).reshape(-1, 3),
            ints(3),
            ints(4),
            ints(5),
            ints(6),
            ints(7),
            ints(8),
            tuple(self.stocks),
            tuple(self.shades),
            tuple(self.clusters),
            tuple(self.hardware),
            tuple(self.strands),
            tuple(self.fabrics),
            tuple(self.steps),
            pitch_m=self.pitch,
            layers=self.layers,
        )


def swirl_column(
    layers: int = 10, shades: Sequence[Shade] = SWIRL, name: str = "Swirl column"
) -> Assembly:
    """Quads of 11 in balloons, four shades in a swirl, a 24 in topper on a 260."""
    make = Maker(name, "column")
    stock = round_stock(11, 9.5)
    pitch = 0.79 * stock.inflated_m
    make.stand(layers * pitch + 0.1)
    make.layers, make.pitch = layers, pitch
    make.steps.append(Step("Base and pole", "Screw the pole into the base plate.", hardware=(0, 1)))
    for layer in range(layers):
        colours = [shades[k % len(shades)] for k in range(4)]
        turn = layer * math.pi / 4 - math.pi / 4
        z = 0.03 + stock.inflated_m / 2 + layer * pitch
        rows = make.ring((0, 0, z), [stock] * 4, colours, turn, layer)
        make.steps.append(Step(f"Quad {layer + 1}", "Push the next quad down.", tuple(rows)))
    top = 0.03 + stock.inflated_m / 2 + (layers - 1) * pitch + 0.55 * stock.inflated_m
    row = make.topper(top, round_stock(24, 22), shades[0])
    make.steps.append(
        Step(
            "Topper",
            "Thread its 260 between the top quads and wrap it round the pole.",
            (row,),
            strands=(0,),
        )
    )
    return make.done()
