"""Vector drawings of an Assembly: views, building steps, scenes, charts and rings."""

from airwright.pictures.drawing.around import person_beside
from airwright.pictures.drawing.best_look import best_look
from airwright.pictures.drawing.chart import draw_chart
from airwright.pictures.drawing.draw import draw
from airwright.pictures.drawing.floor_plan import about, draw_floor_plan
from airwright.pictures.drawing.ring import draw_ring
from airwright.pictures.drawing.scene import Standing, arrange, draw_scene
from airwright.pictures.drawing.sheet import Style
from airwright.pictures.drawing.steps import draw_step
from airwright.pictures.drawing.strip import draw_turnaround
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
    "Standing",
    "Style",
    "View",
    "about",
    "arrange",
    "best_look",
    "draw",
    "draw_chart",
    "draw_floor_plan",
    "draw_ring",
    "draw_scene",
    "draw_step",
    "draw_turnaround",
    "person_beside",
    "to_svg",
]
