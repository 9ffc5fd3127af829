"""Frames in the shape of letters: rim, bars, and the feet they stand on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from airwright.decor.assembly import HardwarePlaced
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.parts.bold_glyphs import Glyph
from airwright.decor.parts.stand import add_stand, choose_pole

if TYPE_CHECKING:
    from shapely import LinearRing, MultiPolygon

RIM_DEEP_M: Final = 0.10
RIM_FRONT_M: Final = 0.035
"""Depth of the rim, and how much of it lies before the balloons' middles [m]."""

RIM_ACROSS_M: Final = 0.006
BAR_EVERY_M: Final = 0.22
"""Most distance from bar to bar: a pair of balloons reaches either side [m]."""

TWO_FEET_M: Final = 0.6
"""A frame whose outer strokes stand further apart than this gets a plate under each [m]."""

LIFTED_M: Final = 0.08
"""A sign that ends higher over the floor than this stands on a pole [m]."""


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """One letter where it stands: its glyph, and the left end of its baseline [m]."""

    glyph: Glyph
    left: float
    height: float

    def placed(self, base: float) -> MultiPolygon:
        """Its outline in x and z, the baseline at `base` [m]."""
        from shapely.affinity import affine_transform

        h = self.height
        placed: MultiPolygon = affine_transform(self.glyph.shape, [h, 0, 0, h, self.left, base])
        return placed


def add_frame(draft: Draft, ctx: Context, shape: MultiPolygon) -> list[int]:
    """Rim along every ring, bars across behind."""
    rim, bar = ctx.catalog.item("letter frame rim"), ctx.catalog.item("letter frame bar")
    made = []
    for ring in _rings(shape):
        points = [(x, RIM_DEEP_M / 2 - RIM_FRONT_M, z) for x, z in ring.coords]
        made.append(
            draft.hardware(
                HardwarePlaced(
                    rim.item,
                    "frame",
                    float(ring.length),
                    "m",
                    path(points),
                    RIM_ACROSS_M,
                    RIM_DEEP_M,
                )
            )
        )
    behind = RIM_DEEP_M - RIM_FRONT_M
    for left, right, z in _bars(shape):
        made.append(
            draft.hardware(
                HardwarePlaced(
                    bar.item,
                    "frame",
                    right - left,
                    "m",
                    path([(left, behind, z), (right, behind, z)]),
                    bar.diameter_m or 0.008,
                )
            )
        )
    return made


def _rings(shape: MultiPolygon) -> list[LinearRing]:
    return [ring for part in shape.geoms for ring in (part.exterior, *part.interiors)]


def _bars(shape: MultiPolygon) -> list[tuple[float, float, float]]:
    """Level bars (left, right, height) across the strokes of a frame [m]."""
    from shapely import LineString

    x0, z0, x1, z1 = shape.bounds
    many = max(1, int(np.ceil((z1 - z0) / BAR_EVERY_M)))
    bars = []
    for z in z0 + (np.arange(many) + 0.5) * (z1 - z0) / many:
        cut = shape.intersection(LineString([(x0 - 1, z), (x1 + 1, z)]))
        for piece in getattr(cut, "geoms", [cut]):
            if piece.length > 0.02:
                left, _, right, _ = piece.bounds
                bars.append((left, right, float(z)))
    return bars


def add_feet(draft: Draft, ctx: Context, shape: MultiPolygon) -> list[int]:
    """Plates under a frame that comes down to them, a pole under one that does not."""
    from shapely import box

    plate = ctx.catalog.item("arch foot plate")
    high, across = plate.height_m or 0.03, plate.width_m or 0.45
    x0, z0, x1, _ = shape.bounds
    if z0 > high + LIFTED_M:
        return _on_pole(draft, ctx, (x0 + x1) / 2, shape.bounds[3])
    low = shape.intersection(box(x0 - 1, z0 - 1, x1 + 1, z0 + LIFTED_M))
    parts = sorted(part.centroid.x for part in getattr(low, "geoms", [low]))
    wide = low.bounds[2] - low.bounds[0]
    if parts[-1] - parts[0] > TWO_FEET_M:
        spots = [parts[0], parts[-1]]
    elif wide > 2 * across:
        spots = [low.bounds[0] + across / 2, low.bounds[2] - across / 2]
    else:
        spots = [(low.bounds[0] + low.bounds[2]) / 2]
    return [
        draft.hardware(
            HardwarePlaced(plate.item, "base", 1, "each", path([(x, 0.0, 0.0)]), across, high)
        )
        for x in spots
    ]


def _on_pole(draft: Draft, ctx: Context, x: float, top: float) -> list[int]:
    """A pole on its base under a sign that hangs in the air, such as a dash."""
    made = Draft("", "")
    add_stand(made, ctx, choose_pole(ctx, top), top)
    behind = (x, RIM_DEEP_M - RIM_FRONT_M, 0.0)
    return [draft.hardware(part) for part in made.finish().moved(behind).hardware]
