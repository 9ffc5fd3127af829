"""Page geometry: paper sizes and margins."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from airwright.job.studio import House
from airwright.units import System

MM_PER_INCH: Final = 25.4


@dataclass(frozen=True, slots=True)
class Page:
    """A page of paper [mm].

    Attributes:
        name: "A4" or "Letter".
        width_mm, height_mm: upright.
        margin_mm: left and right margin.
        top_mm, bottom_mm: the other two; the footer stands in the bottom one.
    """

    name: str
    width_mm: float
    height_mm: float
    margin_mm: float = 20.0
    top_mm: float = 18.0
    bottom_mm: float = 20.0

    @property
    def body_width_mm(self) -> float:
        """Width between the margins [mm]."""
        return self.width_mm - 2 * self.margin_mm

    @property
    def body_height_mm(self) -> float:
        """Height between the margins [mm]."""
        return self.height_mm - self.top_mm - self.bottom_mm


A4: Final = Page("A4", 210.0, 297.0)
"""ISO 216."""
LETTER: Final = Page("Letter", 8.5 * MM_PER_INCH, 11 * MM_PER_INCH)
"""ANSI/ASME Y14.1 size A."""
PAPERS: Final = {page.name: page for page in (A4, LETTER)}


def page_for(house: House) -> Page:
    """The studio's paper: as set, else Letter where feet come first and A4 where metres do."""
    if house.paper in PAPERS:
        return PAPERS[house.paper]
    return LETTER if house.units is System.FEET else A4
