"""How finely a thing is meshed: one record per purpose."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Detail:
    """Level of detail of a mesh.

    Attributes:
        name: its name in messages.
        points: points of a balloon's outline from lip to crown (24 at least).
        segments: sides round a balloon's axis.
        sides: sides round a tube or ribbon.
        foil_points: points along a foil's outline.
    """

    name: str
    points: int
    segments: int
    sides: int
    foil_points: int


WEB = Detail("web", 24, 20, 8, 72)
"""A page or phone turns hundreds of them: about 900 triangles a balloon."""

DRAFT = Detail("draft", 32, 32, 10, 120)

SCREEN = Detail("screen", 44, 48, 12, 180)
"""A picture of a thousand pixels: outlines true to a third of a pixel even on a jumbo."""

FINE = Detail("fine", 56, 64, 16, 240)
"""No facet visible on a printed page."""
