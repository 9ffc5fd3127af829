"""Vector drawings of an Assembly: views, building steps, scenes, charts and rings."""

from airwright.pictures.drawing.draw import draw
from airwright.pictures.drawing.svg import to_svg
from airwright.pictures.drawing.values import (
    Box,
    Drawing,
    DrawingError,
    Element,
    Options,
    Sight,
    View,
)

__all__ = [
    "Box",
    "Drawing",
    "DrawingError",
    "Element",
    "Options",
    "Sight",
    "View",
    "draw",
    "to_svg",
]
