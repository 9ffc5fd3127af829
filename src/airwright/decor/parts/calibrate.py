"""How a studio's hands pack, fitted to a stack it measured."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from airwright.catalog import Catalog
from airwright.decor.context import excess_pressure
from airwright.decor.packing import PackingError, fit_push, loose_length
from airwright.job.cluster import Cluster
from airwright.job.studio import Measured
from airwright.units import INCH_M

MOST_SPREAD = 1.25
"""Layers further apart than this do not hold each other any more (common practice: quads left
loose on a pole lie at 0.975 diameters, 1.16 times as far apart as touching ones)."""


@dataclass(frozen=True, slots=True)
class Hands:
    """Push force [N], and how much further apart than touching layers are left [-]."""

    push_n: float
    spread: float = 1.0


def fitted(row: Measured, catalog: Catalog) -> Hands:
    """The push, or the looseness, at which the packing gives the measured height.

    Raises:
        ValueError: the cluster is mixed, or nothing in a sensible range fits.
        UnknownName: the catalogue does not hold the size.
    """
    if len(row.cluster.parts) != 1:
        raise ValueError("a measured stack must be of equal balloons.")
    balloon = row.cluster.slots[0]
    stock = catalog.balloon(balloon.size)
    across = balloon.diameter_m or stock.usual_in * INCH_M
    firm = excess_pressure(stock, across)
    return _fit(row.cluster, row.clusters, row.height, across, firm)


@lru_cache(maxsize=64)
def _fit(
    cluster: Cluster, clusters: int, height_m: float, across_m: float, pressure_pa: float
) -> Hands:
    try:
        fit = fit_push(cluster.count, across_m / 2, clusters, height_m, pressure_pa=pressure_pa)
        return Hands(fit.push_n)
    except PackingError:
        touching = loose_length(cluster.count, across_m / 2, clusters, pressure_pa=pressure_pa)
        spread = (height_m - across_m) / (touching - across_m)
        if 1.0 < spread <= MOST_SPREAD:
            return Hands(0.0, spread)
        raise
