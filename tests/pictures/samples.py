"""Synthetic assemblies for the picture tests, laid out by hand instead of packed."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from airwright.catalog import Family
from airwright.decor.assembly import (
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


def cloud_column() -> Assembly:
    """Clouds at foot and head, a fringe sleeve, fillers on loops, a topper that leans."""
    make = Maker("Cloud column", "column")
    large, small, tiny = round_stock(17, 15), round_stock(11, 10), round_stock(5, 4.5)
    make.stand(1.75)
    make.fabrics.append(Fabric("fringe", 0.09, 0.40, 1.45, 2, 1.3, 1.05, GOLD))
    for layer, z in enumerate((0.42, 1.42)):
        stocks = [large, small, small, large, small, small]
        shades = [TEAL, WHITE, WHITE, TEAL, WHITE, TEAL]
        make.ring((0, 0, z), stocks, shades, 0.0, layer, lift=[0, -0.35, 0.4, 0, 0.35, -0.4])
    for k, (x, z) in enumerate(((-0.2, 0.66), (0.22, 0.62), (-0.2, 1.2), (0.2, 1.66))):
        tie = (x, -0.22, z)
        make.ring(tie, [tiny] * 4, [CORAL] * 4, 0.3 * k, NO_CLUSTER, role=Role.FILLER)
        make.strands.append(
            Strand("loop", ((x * 0.3, 0, z), tie), 0.006, CORAL, stock_size="260", balloons=0.25)
        )
    make.layers = 2
    make.topper(1.72, round_stock(24, 22), WHITE, lean=0.22)
    return make.done()


def textured_column() -> Assembly:
    """Quads of 5 in, then two 11 in and two 5 in, all small ones to the front."""
    make = Maker("Pebble column", "column")
    large, tiny = round_stock(11, 9.5), round_stock(5, 4.5)
    make.stand(1.8)
    z = 0.1
    for layer in range(16):
        if layer % 2:
            stocks, shades = [tiny, large, tiny, large], [WHITE, SAND, WHITE, CORAL]
            make.ring((0, 0, z), stocks, shades, -math.pi / 2, layer, drop=0.0)
            z += 0.085
        else:
            make.ring((0, -0.06, z), [tiny] * 4, [WHITE] * 4, -math.pi / 4, layer, drop=0.0)
            z += 0.12
    make.layers = 16
    make.topper(z + 0.05, round_stock(24, 22), PEARL)
    return make.done()


def packed_arch(width: float = 3.0, quads: int = 30) -> Assembly:
    """Quads along a half circle on a rod, in four shades."""
    make = Maker("Packed arch", "arch")
    stock = round_stock(11, 9.5)
    rise = width / 2
    turn = np.linspace(0, math.pi, 60)
    rod = tuple((-rise * math.cos(t), 0.0, 0.12 + rise * math.sin(t)) for t in turn)
    make.hardware += [
        HardwarePlaced("arch frame rod", "frame", 5.0, "m", rod, 0.012),
        HardwarePlaced("arch foot plate", "base", 1, "each", ((-rise, 0, 0),), 0.45, 0.03),
        HardwarePlaced("arch foot plate", "base", 1, "each", ((rise, 0, 0),), 0.45, 0.03),
    ]
    for layer in range(quads):
        t = math.pi * (layer + 0.5) / quads
        along = np.array([math.sin(t), 0.0, math.cos(t)])
        out = np.array([-math.cos(t), 0.0, math.sin(t)])
        tie = np.array([-rise * math.cos(t), 0.0, 0.12 + rise * math.sin(t)])
        cluster = len(make.clusters)
        names = tuple(s.name for s in SWIRL)
        at = (float(tie[0]), 0.0, float(tie[2]))
        make.clusters.append(ClusterMade("4 x 11in @ 9.5in", names, ("11in",) * 4, at))
        for k in range(4):
            a = layer * math.pi / 4 + k * math.pi / 2 + math.pi / 4
            way = math.cos(a) * out + math.sin(a) * np.array([0.0, -1.0, 0.0]) - 0.05 * along
            centre = tie + 0.66 * stock.inflated_m * way
            make.balloon(centre, way, stock, SWIRL[k], cluster=cluster, layer=layer, slot=k)
    make.layers = quads
    return make.done()


FOIL = Stock("18in foil round", Family.FOIL, 18 * INCH, 14.5 * INCH, outline="round", helium=True)
STAR = Stock("19in foil star", Family.FOIL, 19 * INCH, 15.5 * INCH, outline="star", helium=True)
BURST = Stock("26in foil starburst", Family.FOIL, 26 * INCH, 24 * INCH, outline="starburst")


def bouquet() -> Assembly:
    """Seven balloons on ribbons from one weight: latex, clear with one inside, foils."""
    make = Maker("Bouquet", "bouquet")
    weight = HardwarePlaced("bouquet weight 170 g", "weight", 1, "each", ((0, 0, 0),), 0.07, 0.07)
    make.hardware.append(weight)
    stock = round_stock(11, 10.5, helium=True)
    double = Shade("clear over rose", "#eef3f5", "clear", "#e7a1ad")
    plan = [
        (stock, CORAL, -0.20, 0.06, 1.48),
        (stock, PEARL, 0.19, 0.08, 1.53),
        (STAR, GOLD, 0.0, 0.02, 2.12),
        (stock, double, -0.22, -0.1, 1.82),
        (stock, GOLD, 0.24, -0.06, 1.87),
        (FOIL, PEARL, 0.02, -0.18, 1.45),
        (stock, CLEAR, 0.0, 0.12, 1.72),
    ]
    for kind, shade, x, y, z in plan:
        row = make.balloon((x, y, z), (x * 0.25, y * 0.2, 1), kind, shade, role=Role.FLOATER)
        low = z - 1.35 * kind.inflated_m / 2
        bend = ((0.3 * x, 0.3 * y, 0.5), (0.75 * x, 0.75 * y, 1.0))
        path = ((0, 0, 0.07), *bend, (x * 0.98, y, low))
        make.strands.append(Strand(f"ribbon {row}", path, 0.005, WHITE, item="curling ribbon"))
    return make.done()


def garland(count: int = 90, seed: int = 3) -> Assembly:
    """A random mix along a swag, each balloon where it presses least on the others."""
    make = Maker("Organic garland", "garland")
    rng = np.random.default_rng(seed)
    sizes = [round_stock(5, 4.5), round_stock(11, 9), round_stock(11, 10.5), round_stock(17, 15)]
    shades = [CORAL, SAND, TEAL, WHITE, PEARL, GOLD]
    centres, radii = np.zeros((0, 3)), np.zeros(0)
    for _ in range(count):
        stock = sizes[rng.choice(4, p=[0.35, 0.25, 0.28, 0.12])]
        r = stock.inflated_m / 2
        t = rng.uniform(-1, 1, 24)
        line = np.column_stack([1.5 * t, 0 * t, 2.1 - 0.75 * (1 - t * t)])
        way = rng.normal(size=(24, 3)) * [0.5, 1, 1]
        way /= np.linalg.norm(way, axis=1, keepdims=True)
        spot = line + way * rng.uniform(0.05, 0.2, (24, 1))
        gap = np.linalg.norm(spot[:, None] - centres[None], axis=2)
        press = (np.maximum(0.0, r + radii[None] - gap) ** 2).sum(axis=1)
        k = int(press.argmin())
        centres, radii = np.concatenate([centres, spot[k : k + 1]]), np.append(radii, r)
        make.balloon(spot[k], way[k], stock, shades[rng.integers(len(shades))])
    return make.done()
