"""The push of the hands, fitted to a stack the studio measured."""

from __future__ import annotations

from functools import lru_cache

from airwright.catalog import Catalog
from airwright.decor.context import excess_pressure
from airwright.decor.packing import fit_push
from airwright.job.cluster import Cluster
from airwright.job.studio import Measured
from airwright.units import INCH_M


def fitted_push(row: Measured, catalog: Catalog) -> float:
    """Push force [N] at which the packing gives the measured height.

    Raises:
        ValueError: the cluster is mixed, or no force in a sensible range fits.
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
) -> float:
    fit = fit_push(cluster.count, across_m / 2, clusters, height_m, pressure_pa=pressure_pa)
    return fit.push_n
