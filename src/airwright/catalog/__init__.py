"""Balloons, hardware, shades and labour standards: data files with sources, and their readers."""

from airwright.catalog.fonts import FONT_FOLDER, OWN_FONTS, own_font
from airwright.catalog.models import (
    Balloon,
    Family,
    Hardware,
    HardwareUse,
    Operation,
    Pack,
    StockShade,
)
from airwright.catalog.reader import (
    ANY_FIGURE,
    Catalog,
    StartingRate,
    UnknownName,
    default_catalog,
    starting_rates,
)

__all__ = [
    "ANY_FIGURE",
    "FONT_FOLDER",
    "OWN_FONTS",
    "Balloon",
    "Catalog",
    "Family",
    "Hardware",
    "HardwareUse",
    "Operation",
    "Pack",
    "StartingRate",
    "StockShade",
    "UnknownName",
    "default_catalog",
    "own_font",
    "starting_rates",
]
