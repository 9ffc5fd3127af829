"""Colours of hardware in drawings and 3D files; a piece's shades belong to its balloons."""

from __future__ import annotations

from typing import Final

HARDWARE_COLOURS: Final = {
    "pole": "#d6d7d8",
    "base": "#77787a",
    "stand": "#8d8f92",
    "frame": "#bcbdbf",
    "panel": "#c9ccce",
    "line": "#c8c4bd",
    "ribbon": "#e6e1d8",
    "weight": "#c2c4c8",
    "band": "#d8c39a",
    "net": "#cfd3d6",
    "cylinder": "#7d8b99",
    "anchor": "#8d8f92",
    "board": "#eceae4",
    "sign": "#f4f2ec",
    "foliage": "#8a9a74",
    "table": "#efece6",
}
"""By what part it plays. A weight is silver, as the photographs show it."""

OTHER_COLOUR: Final = "#9b9da0"
