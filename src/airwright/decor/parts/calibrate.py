"""The push of the hands, fitted to a stack the studio measured."""

from __future__ import annotations

from functools import lru_cache

from airwright.catalog import Catalog
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
    across = balloon.diameter_m or catalog.balloon(balloon.size).usual_in * INCH_M
    return _fit(row.cluster, row.clusters, row.height, across)


@lru_cache(maxsize=64)
def _fit(cluster: Cluster, clusters: int, height_m: float, across_m: float) -> float:
    return fit_push(cluster.count, across_m / 2, clusters, height_m).push_n
