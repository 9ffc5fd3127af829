"""A drawing as a value: what it shows, how large it is, and what may be asked of it.

Inside a drawing one user unit is one millimetre of the real thing (of the paper, for charts),
x to the right and y downwards, as SVG has it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from airwright.units import System

Bools = NDArray[np.bool_]

MM: Final = 1000.0
"""User units per metre."""

PREFIX_MARK: Final = "\x1f"
"""Stands before every id until the drawing is written; XML forbids it, so no name can hold it."""

PAPER_SCALE: Final = 0.1
"""Paper over world for pieces: 1:10 unless asked otherwise."""


class DrawingError(ValueError):
    """A drawing that cannot be made: `what` is wrong, and how to `mend` it."""

    def __init__(self, what: str, mend: str) -> None:
        self.what = what
        self.mend = mend
        super().__init__(f"{what} {mend}")


class View(StrEnum):
    """Where the viewer stands."""

    FRONT = "front"
    SIDE = "side"
    TOP = "top"
    CORNER = "three-quarter"


@dataclass(frozen=True, slots=True)
class Sight:
    """A direction of looking, for views that have no name.

    Attributes:
        azimuth_rad: how far the viewer has walked round, from the front to the viewer's right.
        elevation_rad: how far above the horizontal the viewer looks from.
    """

    azimuth_rad: float = 0.0
    elevation_rad: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.azimuth_rad) and abs(self.elevation_rad) <= math.pi / 2):
            raise DrawingError(
                "The direction to look from is not a direction.",
                "Give an azimuth in radians and an elevation from -pi/2 to pi/2.",
            )


@dataclass(frozen=True, slots=True)
class Options:
    """What to show around the piece.

    Attributes:
        margin_m: paper left free on every side [m of the world].
        floor: a soft contact shadow where the piece meets the floor.
        dimensions: width and height lines, in both systems of units.
        person: outline of a person 1.70 m tall beside the piece.
        door: outline of a door leaf 0.90 m by 2.03 m beside the piece.
        background: "#rrggbb" behind everything, None for none.
        scale: paper over world; None takes 1:10.
        system: which units stand first on dimension lines.
    """

    margin_m: float = 0.06
    floor: bool = True
    dimensions: bool = False
    person: bool = False
    door: bool = False
    background: str | None = None
    scale: float | None = None
    system: System = System.FEET

    def __post_init__(self) -> None:
        if not (math.isfinite(self.margin_m) and 0.0 <= self.margin_m <= 100.0):
            raise DrawingError(
                f"A margin of {self.margin_m} m cannot be drawn.", "Give 0 to 100 m."
            )
        if self.scale is not None and not (math.isfinite(self.scale) and self.scale > 0.0):
            raise DrawingError(
                f"A scale of {self.scale} cannot be drawn.", "Give paper over world, 0.1 for 1:10."
            )


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in user units, y downwards."""

    left: float = 0.0
    top: float = 0.0
    right: float = 0.0
    bottom: float = 0.0

    @property
    def width(self) -> float:
        """Right minus left."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Bottom minus top."""
        return self.bottom - self.top

    def grown(self, left: float, top: float, right: float, bottom: float) -> Box:
        """This box with so much more on each side."""
        return Box(self.left - left, self.top - top, self.right + right, self.bottom + bottom)

    def union(self, other: Box) -> Box:
        """The smallest box that holds both."""
        return Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )


@dataclass(frozen=True, slots=True)
class Element:
    """One part of a drawing, in painting order.

    Attributes:
        kind: what it is: "balloon", "strand", "hardware", "fabric", "shadow", "label", …
        markup: SVG; ids in it begin with PREFIX_MARK.
        row: the row or index in the Assembly it was drawn from, if any.
    """

    kind: str
    markup: str
    row: int | None = None


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished drawing.

    Attributes:
        title: what a screen reader says.
        canvas: all of it [user units].
        body: the piece itself, without shadow, margin, person and lines [user units].
        elements: parts in painting order.
        defs: gradients and shared shapes, id to SVG.
        scale: paper over world when written without asking for another size.
    """

    title: str
    canvas: Box
    body: Box
    elements: tuple[Element, ...] = ()
    defs: tuple[tuple[str, str], ...] = ()
    scale: float = PAPER_SCALE

    @property
    def width_m(self) -> float:
        """Width of the canvas [m of the world; of the paper for charts]."""
        return self.canvas.width / MM

    @property
    def height_m(self) -> float:
        """Height of the canvas [m of the world; of the paper for charts]."""
        return self.canvas.height / MM

    @property
    def paper_mm(self) -> tuple[float, float]:
        """Width and height on paper at this drawing's scale [mm]."""
        return self.canvas.width * self.scale, self.canvas.height * self.scale

    def of_kind(self, kind: str) -> tuple[Element, ...]:
        """Elements of one kind, in painting order."""
        return tuple(element for element in self.elements if element.kind == kind)
