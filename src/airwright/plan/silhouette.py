"""A piece as wind and weight see it: discs, masses and where it stands, read off its Assembly.

Poles and sleeves count as chains of discs, so that one union covers everything and nothing that
hides behind a balloon is counted twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from airwright.catalog import Catalog
from airwright.decor.assembly import Assembly, Floats, HardwarePlaced
from airwright.physics.overturning import Outline

SLEEVE_ITEMS: Final = {"fringe": "fringe strip", "fabric": "fabric sleeve strip"}
"""Catalogue item of a sleeve's material."""
STANDS: Final = frozenset({"base", "stand"})
"""Uses of hardware a piece stands on."""
BOARDS: Final = ("board", "sign")
"""Uses of hardware whose path is the outline of a flat face."""
FACE_DISC_M: Final = 0.06
"""Discs on a board are this far apart, and so wide that together they cover it."""
WIDENED: Final = 1.042
"""Discs along a pole or sleeve stand one radius apart and are this much wider, so that their
outline is as wide as the bar on the mean."""
THINNEST_M: Final = 0.004
"""Thinner bars are lines, which the wind hardly finds [m]."""


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """What wind and weight act on (discs (N,), masses (M,), base plates (B,)).

    Attributes:
        disc, disc_radius_m: centres (N, 3) and radii (N,) [m].
        mass_at: (M, 3) where masses act [m].
        mass_kg: (M,) masses; lift of helium counts as negative [kg].
        base: (B, 2) middle of each base plate on the floor [m].
        base_radius_m: (B,) half the side or diameter of each plate [m].
        ballast_room_kg: what all plates together can be filled with [kg].
        known: a silhouette given outright, alike from all sides, in place of discs.
    """

    disc: Floats
    disc_radius_m: Floats
    mass_at: Floats
    mass_kg: Floats
    base: Floats
    base_radius_m: Floats
    ballast_room_kg: float
    known: Outline | None = None

    @property
    def own_kg(self) -> float:
        """Weight on the floor without ballast, lift subtracted [kg]."""
        return float(self.mass_kg.sum())

    @property
    def stands(self) -> bool:
        """Whether it stands on a base at all."""
        return len(self.base) > 0

    @property
    def centre(self) -> Floats:
        """Centre of mass seen from above (x, y), unballasted [m]."""
        return np.asarray((self.mass_kg[:, None] * self.mass_at[:, :2]).sum(axis=0) / self.own_kg)

    @property
    def top_m(self) -> float:
        """Highest point the wind finds [m]."""
        if self.known is not None:
            return float(self.known.height_m[-1] + self.known.strip_m / 2)
        return float((self.disc[:, 2] + self.disc_radius_m).max()) if len(self.disc) else 0.0


def standing(assembly: Assembly, catalog: Catalog, lift_kg: Floats | None = None) -> Standing:
    """Read a piece.

    Args:
        assembly: the piece, standing over the floor z = 0.
        catalog: masses, and what bases may be filled with.
        lift_kg: (N,) gross lift of each balloon [kg]; None where all are filled with air.
    """
    plates = [part for part in assembly.hardware if part.use in STANDS]
    bars = [_chain(part.path, part.diameter_m / 2) for part in assembly.hardware if _bar(part)]
    bars += [_face(part.path) for part in assembly.hardware if part.use in BOARDS]
    for fabric in assembly.fabrics:
        x, y = fabric.at
        bars.append(_chain(((x, y, fabric.bottom_m), (x, y, fabric.top_m)), fabric.radius_m))
    at, kg = _masses(assembly, catalog, lift_kg)
    return Standing(
        disc=np.concatenate([assembly.centre, *(bar[0] for bar in bars)]),
        disc_radius_m=np.concatenate([assembly.radius, *(bar[1] for bar in bars)]),
        mass_at=at,
        mass_kg=kg,
        base=np.array([np.mean(part.path, axis=0)[:2] for part in plates]).reshape(-1, 2),
        base_radius_m=np.array([part.diameter_m / 2 for part in plates]),
        ballast_room_kg=sum(catalog.item(part.item).ballast_kg * part.quantity for part in plates),
    )


def _bar(part: HardwarePlaced) -> bool:
    return part.use == "pole" and len(part.path) > 1 and part.diameter_m > THINNEST_M


def _chain(path: Sequence[Sequence[float]], radius: float) -> tuple[Floats, Floats]:
    """Discs along a bar."""
    points = np.asarray(path, dtype=float)
    legs = np.linalg.norm(np.diff(points, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(legs)])
    count = max(2, int(np.ceil(along[-1] / radius)))
    # the bar ends at its ends: the outermost discs lie half a step inside
    s = (np.arange(count) + 0.5) * along[-1] / count
    centres = np.column_stack([np.interp(s, along, points[:, axis]) for axis in range(3)])
    return centres, np.full(count, WIDENED * radius)


def _face(path: Sequence[Sequence[float]]) -> tuple[Floats, Floats]:
    """Discs on a grid over a flat upright board; their outline is its face within a few percent."""
    from shapely import Polygon, points

    ring = np.asarray(path, dtype=float)
    face = Polygon(ring[:, [0, 2]])
    left, low, right, high = face.bounds
    xs = np.arange(left + FACE_DISC_M / 2, right, FACE_DISC_M)
    zs = np.arange(low + FACE_DISC_M / 2, high, FACE_DISC_M)
    grid = np.stack(np.meshgrid(xs, zs), axis=-1).reshape(-1, 2)
    grid = grid[np.asarray(face.contains(points(grid)), dtype=bool)]
    spots = np.column_stack([grid[:, 0], np.full(len(grid), ring[:, 1].mean()), grid[:, 1]])
    return spots, np.full(len(spots), FACE_DISC_M / np.sqrt(np.pi) * WIDENED)


def _masses(assembly: Assembly, catalog: Catalog, lift_kg: Floats | None) -> tuple[Floats, Floats]:
    each = np.array([catalog.balloon(stock.size).mass_g / 1000 for stock in assembly.stocks])
    rubber = each[assembly.stock] * assembly.skins if len(assembly) else np.zeros(0)
    places, masses = [assembly.centre], [rubber if lift_kg is None else rubber - lift_kg]
    for part in assembly.hardware:
        places.append(_middle(part.path))
        masses.append(np.array([catalog.item(part.item).mass_kg * part.quantity]))
    for fabric in assembly.fabrics:
        item = catalog.item(SLEEVE_ITEMS.get(fabric.material, fabric.material))
        places.append(np.array([[*fabric.at, (fabric.bottom_m + fabric.top_m) / 2]]))
        masses.append(np.array([item.mass_kg * fabric.strip_m]))
    for strand in assembly.strands:
        if strand.stock_size is not None:
            kg = catalog.balloon(strand.stock_size).mass_g / 1000 * strand.balloons
        elif strand.item is not None:
            per = 1.0 if strand.item == "rubber band" else strand.length_m
            kg = catalog.item(strand.item).mass_kg * per
        else:
            kg = 0.0
        places.append(_middle(strand.path))
        masses.append(np.array([kg]))
    return np.concatenate(places), np.concatenate(masses)


def _middle(path: Sequence[Sequence[float]]) -> Floats:
    """Middle of a path by length, as one row."""
    points = np.asarray(path, dtype=float).reshape(-1, 3)
    if len(points) < 2:
        return points[:1]
    legs = np.linalg.norm(np.diff(points, axis=0), axis=1)
    if legs.sum() <= 0:
        return points[:1]
    middles = (points[:-1] + points[1:]) / 2
    middle: Floats = (legs[:, None] * middles).sum(axis=0, keepdims=True) / legs.sum()
    return middle
