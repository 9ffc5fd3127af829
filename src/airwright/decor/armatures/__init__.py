"""Armatures: the curves that decor is built along, each with its exact arc length."""

from airwright.decor.armatures.errors import ArmatureError
from airwright.decor.armatures.registry import ARCH_FORMS, ArchCurve, ArchForm, tightest_bend
from airwright.decor.armatures.smooth import Catenary, HalfEllipse, Parabola
from airwright.decor.armatures.straight import (
    Arc,
    Chain,
    Line,
    Moved,
    Point,
    chain,
    half_circle,
    hoop,
    polyline,
    rounded_square,
    staircase,
)
from airwright.decor.armatures.through import Through, crossing, meets_itself, through

__all__ = [
    "ARCH_FORMS",
    "Arc",
    "ArchCurve",
    "ArchForm",
    "ArmatureError",
    "Catenary",
    "Chain",
    "HalfEllipse",
    "Line",
    "Moved",
    "Parabola",
    "Point",
    "Through",
    "chain",
    "crossing",
    "half_circle",
    "hoop",
    "meets_itself",
    "polyline",
    "rounded_square",
    "staircase",
    "through",
    "tightest_bend",
]
