"""The Assembly: one finished piece of decor, every balloon placed in space.

Everything downstream (counts, pictures, weight, wind, hours, price) is read off this value.

Axes: metres, right-handed, x to the viewer's right, y away from the viewer, z up; the front
face looks towards -y, the floor is z = 0, and a piece stands over the origin.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from airwright.catalog import Family

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

NO_CLUSTER = -1
"""Cluster, layer and slot of a balloon that belongs to none (a topper, say)."""


class Role(IntEnum):
    """What a balloon is there for."""

    BODY = 0
    FILLER = 1
    TOPPER = 2
    TIE = 3
    FLOATER = 4
    ACCENT = 5

    @property
    def label(self) -> str:
        """The word printed on sheets and in plan.json."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Stock:
    """A balloon as taken from the bag and inflated.

    Attributes:
        size: catalogue size, "11in".
        family: its shape.
        nominal_m: size it is sold as [m].
        inflated_m: diameter it is inflated to [m]; for a 260 the diameter, for foil the width.
        length_m: inflated length of a modelling balloon, 0 for one used flat as a tie [m].
        outline: outline of a foil, else None.
        helium: whether it is filled with helium instead of air.
        mark: print on it (a jumbo's text or "dots"), else None.
    """

    size: str
    family: Family
    nominal_m: float
    inflated_m: float
    length_m: float = 0.0
    outline: str | None = None
    helium: bool = False
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class Shade:
    """A named colour. `colour` is "#rrggbb" in sRGB; finish is matte, pearl, metallic or clear.

    `inner` is the shade of a second balloon seen inside a clear one, if any. A shade made of two
    balloons names the one outside and the one inside it; `colour` is what both together show.
    """

    name: str
    colour: str
    finish: Literal["matte", "pearl", "metallic", "clear"] = "matte"
    inner: str | None = None
    outside: str | None = None
    inside: str | None = None

    @property
    def bags(self) -> tuple[str, ...]:
        """Shades taken from the bags for one balloon of it: one, or two, the outer one first."""
        second = self.inside or self.inner
        return (
            (self.outside or self.name,) if second is None else (self.outside or self.name, second)
        )


@dataclass(frozen=True, slots=True)
class ClusterMade:
    """One cluster as tied by hand.

    Attributes:
        recipe: "4 x 11in @ 9.5in".
        shades: shade name per slot, in slot order.
        sizes: catalogue size per slot, in slot order.
        at: tie point (x, y, z) [m].
    """

    recipe: str
    shades: tuple[str, ...]
    sizes: tuple[str, ...]
    at: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class HardwarePlaced:
    """A thing that is not a balloon, where it stands.

    Attributes:
        item: catalogue item.
        use: its catalogue use ("pole", "base", …).
        quantity: in the item's unit (each, or metres).
        path: its centre line, points (x, y, z) [m]; one point for a thing without length; for a
            board or sign the closed outline of its face.
        diameter_m: across its centre line [m]; for a base plate its side or diameter; for a board
            or sign its thickness.
        height_m: height of a base or weight [m].
        shade: colour of a part that comes in colours (a board), else None.
        text: printed on a board or sign.
    """

    item: str
    use: str
    quantity: float
    unit: Literal["each", "m"]
    path: tuple[tuple[float, float, float], ...]
    diameter_m: float = 0.0
    height_m: float = 0.0
    shade: Shade | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Strand:
    """A thread-like part: ribbon, 260 used as a tie or loop, line, band.

    `stock_size` names the balloon it is made of (a 260), whose count is `balloons`;
    otherwise `item` names the hardware sold by the metre. `knots_m` is what is cut beyond its
    own length, for knots and loops [m].
    """

    name: str
    path: tuple[tuple[float, float, float], ...]
    diameter_m: float
    shade: Shade
    item: str | None = None
    stock_size: str | None = None
    balloons: float = 0.0
    knots_m: float = 0.0

    @property
    def cut_m(self) -> float:
        """Length to cut, knots included [m]."""
        return self.length_m + self.knots_m

    @property
    def length_m(self) -> float:
        """Length along the path [m]."""
        points = np.asarray(self.path, dtype=float)
        return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


@dataclass(frozen=True, slots=True)
class Fabric:
    """A sleeve round a pole.

    Attributes:
        material: "fringe" or a catalogue fabric.
        radius_m: of the sleeve's outside [m].
        bottom_m, top_m: heights it covers [m].
        layers: how often the strip goes round.
        strip_m: strip length = layers × circumference + overlap [m].
        drop_m: strip height [m].
        shade: its colour.
    """

    material: str
    radius_m: float
    bottom_m: float
    top_m: float
    layers: int
    strip_m: float
    drop_m: float
    shade: Shade
    at: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Residual:
    """How far the packing is from balance, so that a result carries its own doubt.

    Attributes:
        force_n: largest force left unbalanced on any balloon or tie [N].
        relative: the same over a typical contact force [-].
        converged: whether the solver reached its tolerance.
    """

    force_n: float = 0.0
    relative: float = 0.0
    converged: bool = True


@dataclass(frozen=True, slots=True)
class Step:
    """One step of building, in order: what to do, and which parts are new in its drawing.

    Attributes:
        title: short ("Push the next quad down").
        text: what the hands do.
        balloons: rows of the Assembly that appear in this step.
        hardware, strands, fabrics: indices of parts that appear.
        measures: quantities its text names: (name with its SI unit, value).
    """

    title: str
    text: str
    balloons: tuple[int, ...] = ()
    hardware: tuple[int, ...] = ()
    strands: tuple[int, ...] = ()
    fabrics: tuple[int, ...] = ()
    measures: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Operations:
    """How many of one labour standard a piece needs (quantity in the standard's own unit)."""

    operation: str
    quantity: float


@dataclass(frozen=True, slots=True, eq=False)
class Assembly:
    """Every balloon of one piece in space (N balloons, one row each).

    Attributes:
        name, kind: the piece's name and kind.
        centre: (N, 3) centre of the widest circle [m].
        radius: (N,) half the inflated diameter [m].
        axis: (N, 3) unit vectors, neck to crown.
        stock: (N,) index into `stocks`.
        shade: (N,) index into `shades`.
        cluster: (N,) index into `clusters`, or -1.
        layer: (N,) layer number from the bottom or start, or -1.
        slot: (N,) slot within the cluster, or -1.
        role: (N,) `Role` values.
        stocks, shades, clusters: the tables the indices point into.
        hardware, strands, fabrics: everything that is no balloon.
        steps: building order.
        operations: labour the piece needs beyond inflating and tying its balloons.
        supplies: (item, quantity) used up without a place of its own: glue dots.
        pitch_m: settled rise per layer [m], None where there are no layers.
        pitch_range_m, layers_range: tightest and loosest pitch [m], fewest and most layers that
            the studio's hands may come to; None where tightness decides nothing.
        reserve: size, shade and count of what the most layers take beyond those built.
        layers: number of layers, 0 where there are none.
        residual: what the packing left unbalanced.
        on_table: whether it stands on a table, whose top is its z = 0.
    """

    name: str
    kind: str
    centre: Floats
    radius: Floats
    axis: Floats
    stock: Ints
    shade: Ints
    cluster: Ints
    layer: Ints
    slot: Ints
    role: Ints
    stocks: tuple[Stock, ...] = ()
    shades: tuple[Shade, ...] = ()
    clusters: tuple[ClusterMade, ...] = ()
    hardware: tuple[HardwarePlaced, ...] = ()
    strands: tuple[Strand, ...] = ()
    fabrics: tuple[Fabric, ...] = ()
    steps: tuple[Step, ...] = ()
    operations: tuple[Operations, ...] = ()
    supplies: tuple[tuple[str, float], ...] = ()
    pitch_m: float | None = None
    pitch_range_m: tuple[float, float] | None = None
    layers: int = 0
    layers_range: tuple[int, int] | None = None
    reserve: tuple[tuple[str, str, int], ...] = ()
    residual: Residual = Residual()
    on_table: bool = False

    def __post_init__(self) -> None:
        count = len(self.radius)
        for label in ("stock", "shade", "cluster", "layer", "slot", "role"):
            if getattr(self, label).shape != (count,):
                raise ValueError(f"{label} must have one row a balloon")
        if self.centre.shape != (count, 3) or self.axis.shape != (count, 3):
            raise ValueError("centre and axis must be (N, 3)")
        for array in (self.centre, self.radius, self.axis, self.stock, self.shade):
            array.setflags(write=False)

    def __len__(self) -> int:
        return len(self.radius)

    @property
    def skins(self) -> Floats:
        """(N,) balloons that make up each: 2 where one is inside another, else 1."""
        return np.array([len(shade.bags) for shade in self.shades], dtype=float)[self.shade]

    @property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest corner (x, y, z) of all balloons, hardware and fabric [m]."""
        corners = [self.centre - self.radius[:, None], self.centre + self.radius[:, None]]
        for part in self.hardware:
            path = np.asarray(part.path, dtype=float).reshape(-1, 3)
            corners.append(path)
            if part.use in ("base", "weight", "table"):
                half = part.diameter_m / 2
                corners.append(path + np.array([half, half, part.height_m]))
                corners.append(path - np.array([half, half, 0.0]))
        corners += [np.asarray(strand.path, dtype=float) for strand in self.strands]
        for fabric in self.fabrics:
            x, y = fabric.at
            r = fabric.radius_m
            corners.append(
                np.array([[x - r, y - r, fabric.bottom_m], [x + r, y + r, fabric.top_m]])
            )
        points = np.concatenate(corners) if corners else np.zeros((0, 3))
        if len(points) == 0:
            return np.zeros(3), np.zeros(3)
        return points.min(axis=0), points.max(axis=0)

    @property
    def height_m(self) -> float:
        """Floor to the highest point [m]."""
        return float(self.bounds[1][2])

    @property
    def bottom_m(self) -> float:
        """Floor to the lowest point [m]; well above zero for what hangs or floats."""
        return max(float(self.bounds[0][2]), 0.0)

    @property
    def own_height_m(self) -> float:
        """Lowest to highest point [m]."""
        return self.height_m - self.bottom_m

    @property
    def width_m(self) -> float:
        """Left to right [m]."""
        low, high = self.bounds
        return float(high[0] - low[0])

    @property
    def depth_m(self) -> float:
        """Front to back [m]."""
        low, high = self.bounds
        return float(high[1] - low[1])

    def moved(self, offset: Sequence[float], turn_rad: float = 0.0) -> Assembly:
        """This piece turned anticlockwise (from above) by `turn_rad`, then moved [m]."""
        c, s = np.cos(turn_rad), np.sin(turn_rad)
        matrix = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
        shift = np.asarray(offset, dtype=float)

        def put(points: Iterable[Sequence[float]]) -> tuple[tuple[float, float, float], ...]:
            rows = np.asarray(list(points), dtype=float).reshape(-1, 3) @ matrix.T + shift
            return tuple((float(x), float(y), float(z)) for x, y, z in rows)

        def put_fabric(fabric: Fabric) -> Fabric:
            ((x, y, rise),) = put([(*fabric.at, 0.0)])
            return replace(
                fabric, at=(x, y), bottom_m=fabric.bottom_m + rise, top_m=fabric.top_m + rise
            )

        return replace(
            self,
            centre=self.centre @ matrix.T + shift,
            axis=self.axis @ matrix.T,
            clusters=tuple(replace(c, at=put([c.at])[0]) for c in self.clusters),
            hardware=tuple(replace(h, path=put(h.path)) for h in self.hardware),
            strands=tuple(replace(t, path=put(t.path)) for t in self.strands),
            fabrics=tuple(put_fabric(f) for f in self.fabrics),
        )


def merge(name: str, kind: str, parts: Sequence[Assembly]) -> Assembly:
    """Several assemblies as one scene (an option's picture); steps and operations are left out."""
    stocks = _table(part.stocks for part in parts)
    shades = _table(part.shades for part in parts)
    stock, shade, cluster = [], [], []
    clusters: list[ClusterMade] = []
    for part in parts:
        stock.append(_remap(part.stock, part.stocks, stocks))
        shade.append(_remap(part.shade, part.shades, shades))
        cluster.append(np.where(part.cluster >= 0, part.cluster + len(clusters), NO_CLUSTER))
        clusters.extend(part.clusters)
    return Assembly(
        name=name,
        kind=kind,
        centre=_stack([part.centre for part in parts], (0, 3)),
        radius=_stack([part.radius for part in parts], (0,)),
        axis=_stack([part.axis for part in parts], (0, 3)),
        stock=_ints(stock),
        shade=_ints(shade),
        cluster=_ints(cluster),
        layer=_ints([part.layer for part in parts]),
        slot=_ints([part.slot for part in parts]),
        role=_ints([part.role for part in parts]),
        stocks=tuple(stocks),
        shades=tuple(shades),
        clusters=tuple(clusters),
        hardware=tuple(item for part in parts for item in part.hardware),
        strands=tuple(item for part in parts for item in part.strands),
        fabrics=tuple(item for part in parts for item in part.fabrics),
        residual=Residual(
            max((part.residual.force_n for part in parts), default=0.0),
            max((part.residual.relative for part in parts), default=0.0),
            all(part.residual.converged for part in parts),
        ),
    )


def _table(tables: Iterable[tuple[object, ...]]) -> dict[Any, int]:
    """Distinct rows of several tables → index, in order of first appearance."""
    seen: dict[Any, int] = {}
    for table in tables:
        for row in table:
            seen.setdefault(row, len(seen))
    return seen


def _remap(index: Ints, old: Sequence[object], new: dict[Any, int]) -> Ints:
    lookup = np.array([new[row] for row in old], dtype=np.int32)
    return lookup[index] if len(index) else index


def _stack(arrays: Sequence[Floats], empty: tuple[int, ...]) -> Floats:
    return np.concatenate(arrays) if arrays else np.zeros(empty)


def _ints(arrays: Sequence[NDArray[np.integer]]) -> Ints:
    if not arrays:
        return np.zeros(0, dtype=np.int32)
    return np.concatenate(arrays).astype(np.int32)
