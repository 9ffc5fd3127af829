"""Organic bodies that change along their line: dense and large here, light and small there.

   .oO@@Oo.                o
 .oO@@@@@@Oo.              oO            the heavy place gets the large balloons and more
o.            .o           oO@.          of them, the light ends the small ones
 middle heavy              foot heavy
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated

import numpy as np

from airwright.decor import checks
from airwright.decor.assembly import Floats
from airwright.decor.context import Context
from airwright.decor.packing import Rail
from airwright.decor.packing.rail import nearest_s
from airwright.decor.parts.blend import blend, shares_of
from airwright.decor.parts.mix import BlendedShades, MixRow, Organic, fill_line, radii_of, used
from airwright.decor.parts.organic import (
    LINE_PER_DIAMETER,
    OrganicShape,
    Spread,
    on_line_of,
    share_out,
)
from airwright.job.findings import Finding, error
from airwright.language import message
from airwright.params import Param

PARTS = 48
"""Equal parts of a line that are reckoned one by one."""

STEER = 3.5
"""How strongly sizes part at full taper: the share of a size goes with this power of it at the
heavy place, and with the same power the other way round at the light one."""

MORE, LESS = 0.3, 0.1
"""Line filled above the usual at the heavy place and below it at the light one, at full taper."""

LEAST_DIAMETERS = 2.5
"""A shorter body, in inflated diameters of its largest balloon, is a cluster."""

OFF_WALL = 0.75
"""How far a line hangs off the wall or board behind it, in inflated diameters of the mean size."""

AT_WALL = 0.87
"""Line filled by a body with a wall or board behind it, of one that is round (common practice:
nothing is tied where nobody sees it)."""

GRIP = 0.2
"""Clusters of a dense body are tied to each other too and give way, see `organic.fill`."""

SHADE_BANDS = 9
"""Stretches of a line that get shares of shades of their own where these change along it."""

_SAMPLES, _ROUNDS = 400, 8


class Tapered(Organic):
    """An organic piece with a heavy place and light ends."""

    taper: Annotated[
        float,
        Param(
            message(
                "How far its sizes part: 0 is alike everywhere, 1 all large ones at the heavy "
                "place and small ones at the light end."
            ),
            low=0,
            high=1,
            group=message("Mix"),
        ),
    ] = 0.7
    shades_end: Annotated[
        BlendedShades | None,
        Param(
            message("Shades at the light end, where they change along the way."),
            example="{ white = 3, sand = 1 }",
            group=message("Color"),
            rare=True,
            shades=True,
        ),
    ] = None


def mean_size(spec: Organic, ctx: Context) -> float:
    """Mean inflated diameter of a mix [m]."""
    across = [ctx.stock(row.balloon).inflated_m for row in used(spec)]
    return float(np.average(across, weights=[row.share for row in used(spec)]))


def heavy_middle(shares: Floats) -> Floats:
    """Weight (M,), 0 to 1, at shares (M,) of a line that is heavy in its middle."""
    weight: Floats = np.sin(np.pi * shares) ** 1.5
    return weight


def heavy_start(shares: Floats) -> Floats:
    """Weight (M,), 1 to 0, at shares (M,) of a line that is heavy where it begins."""
    return 1.0 - shares


def parts() -> Floats:
    """Middles (M,) of the equal parts of a line, as shares of it."""
    return (np.arange(PARTS) + 0.5) / PARTS


def spread_of(
    spec: Tapered, ctx: Context, length_m: float, weight: Floats, *, wall: bool = False
) -> Spread:
    """How many of each size go where.

    Args:
        spec: mix, density and taper.
        ctx: catalogue.
        length_m: of the line [m].
        weight: (PARTS,) 1 where it is heavy, 0 where it is light.
        wall: whether a wall or board stands behind it.
    """
    rows = used(spec)
    across = np.array([ctx.stock(row.balloon).inflated_m for row in rows])
    shares = np.array([row.share for row in rows])
    usual = float(np.exp(np.average(np.log(across), weights=shares)))
    steer = (across[:, None] / usual) ** (STEER * spec.taper * (2.0 * weight - 1.0))
    filled = spec.density * (1.0 + spec.taper * (MORE * weight - LESS * (1.0 - weight)))
    filled = filled * (AT_WALL if wall else 1.0)
    wanted, asked = shares / shares.sum(), shares.copy()
    for _ in range(_ROUNDS):  # until all parts together hold the shares asked for
        spread = _filled(across, asked[:, None] * steer, filled * length_m / len(weight))
        many = (spread.on_line + spread.tucked).sum(axis=1)
        nearer = np.divide(wanted * many.sum(), many, out=np.ones_like(many), where=many > 0)
        asked = asked * nearer  # a share too small for a number stays nothing
    return spread


def _filled(across: Floats, mixed: Floats, line_m: Floats) -> Spread:
    """A mix (K, M) scaled so that what is tied on takes up `line_m` (M,) [m] of each part."""
    tied = np.array([on_line_of(across.tolist(), part.tolist()) for part in mixed.T]).T
    scale = line_m / (LINE_PER_DIAMETER * (across @ tied))
    return Spread(scale * tied, scale * (mixed - tied))


def tapered_counts(
    spec: Tapered, ctx: Context, length_m: float, weight: Floats, *, wall: bool = False
) -> list[int]:
    """How many of each row of `used` a line takes, in whole balloons."""
    spread = spread_of(spec, ctx, length_m, weight, wall=wall)
    many = (spread.on_line + spread.tucked).sum(axis=1)
    return share_out(max(1, round(float(many.sum()))), many.tolist())


def fill_tapered(
    spec: Tapered,
    ctx: Context,
    line: Rail,
    weight: Floats,
    *,
    floor: bool = True,
    behind_m: float | None = None,
) -> OrganicShape:
    """Where the mix comes to rest along a line, see `spread_of` and `organic.fill`."""
    wall = behind_m is not None
    counts = tapered_counts(spec, ctx, line.length_m, weight, wall=wall)
    spread = spread_of(spec, ctx, line.length_m, weight, wall=wall)
    return fill_line(
        spec, ctx, line, counts, grip=GRIP, floor=floor, behind_m=behind_m, spread=spread
    )


def tapered_shades(
    spec: Tapered, ctx: Context, line: Rail, shape: OrganicShape, weight: Floats
) -> list[str] | None:
    """A shade name for each balloon where shades change along the line, else None."""
    if spec.shades_end is None:
        return None
    s = np.linspace(0.0, line.length_m, _SAMPLES)
    from scipy.spatial import cKDTree

    _, near = cKDTree(line.position(s)).query(shape.tie[shape.cluster])
    along = nearest_s(line, shape.tie[shape.cluster], s[near]) / line.length_m
    heavy = np.interp(along, parts(), weight)
    band = np.clip(np.round(heavy * (SHADE_BANDS - 1)), 0, SHADE_BANDS - 1).astype(np.int64)
    shares = [
        _between(shares_of(row.shades or spec.shades), _end_shares(row, spec), at)
        for row in used(spec)
        for at in np.linspace(0.0, 1.0, SHADE_BANDS)
    ]
    index = shape.size * SHADE_BANDS + band
    return blend(shape.centre, radii_of(spec, ctx, shape), index, shares, spec.seed)


def _end_shares(row: MixRow, spec: Tapered) -> dict[str, float]:
    return shares_of(row.shades or spec.shades_end or spec.shades)


def _between(heavy: Mapping[str, float], light: Mapping[str, float], at: float) -> dict[str, float]:
    """Shares at a weight from 0, all `light`, to 1, all `heavy`."""
    names: Sequence[str] = list(dict.fromkeys([*heavy, *light]))
    one, other = sum(heavy.values()), sum(light.values())
    mixed = {n: at * heavy.get(n, 0.0) / one + (1 - at) * light.get(n, 0.0) / other for n in names}
    return {name: share for name, share in mixed.items() if share > 0}


def check_tapered(spec: Tapered, ctx: Context, place: str) -> list[Finding]:
    """The shades of the light end."""
    if spec.shades_end is None:
        return []
    found = checks.shades(list(spec.shades_end), ctx, f"{place}.shades_end")
    if not shares_of(spec.shades_end):
        what, mend = message("No shade has a share."), message("Give one of them a share above 0.")
        found.append(error("missing", f"{place}.shades_end", what, mend))
    return found
