"""Soft packing: where balloons come to rest when they hang, touch and are pushed."""

from airwright.decor.packing.model import (
    GAUGE_PRESSURE_PA,
    NECK_PER_DIAMETER,
    Contacts,
    Packed,
    PackingError,
    SoftPacking,
    Tolerance,
)
from airwright.decor.packing.rail import Rail, StraightRail
from airwright.decor.packing.relaxation import crushed, relax
from airwright.decor.packing.stacks import (
    PushFit,
    Settled,
    extent,
    fit_push,
    loose_length,
    mean_rise,
    pitch,
    settle,
)
from airwright.decor.packing.starts import Start, cluster_start, neck_for, ring_start

__all__ = [
    "GAUGE_PRESSURE_PA",
    "NECK_PER_DIAMETER",
    "Contacts",
    "Packed",
    "PackingError",
    "PushFit",
    "Rail",
    "Settled",
    "SoftPacking",
    "Start",
    "StraightRail",
    "Tolerance",
    "cluster_start",
    "crushed",
    "extent",
    "fit_push",
    "loose_length",
    "mean_rise",
    "neck_for",
    "pitch",
    "relax",
    "ring_start",
    "settle",
]
