"""Pictures of a pack, each drawn once however many documents show it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import RLock
from typing import Final

from airwright.papers.common.fonts import TEXT
from airwright.pictures.drawing import (
    Drawing,
    Options,
    Standing,
    View,
    draw,
    draw_chart,
    draw_scene,
    person_beside,
    to_svg,
)
from airwright.pictures.drawing.text import FONTS
from airwright.pictures.drawing.values import MM
from airwright.plan.values import OptionPlan, PiecePlan
from airwright.units import System

MOST_COPIES: Final = 6
"""Copies of one piece shown in an option's picture; the words say how many there are."""
MOST_SHOWN: Final = 12
"""Pieces shown in an option's picture."""
SVG_FONTS: Final = ", ".join(f"'{name}'" for name in TEXT)
"""What stands for a drawing's own fonts on paper: those that are bundled, or words vanish."""


@dataclass(frozen=True)
class Picture:
    """A picture ready for paper.

    Attributes:
        file: name it goes by in the template.
        data: SVG; a photograph is wrapped in one.
        aspect: width over height.
        alt: what it shows, for those who cannot see it.
        photograph: whether it is one; else it is a drawing.
        width_m, height_m: size of the canvas in the world [m]; 0 for a photograph.
        parts: pictures it is composed of, later ones on top; it has no data of its own then.
    """

    file: str
    data: bytes
    aspect: float
    alt: str
    photograph: bool = False
    width_m: float = 0.0
    height_m: float = 0.0
    parts: tuple[PicturePart, ...] = ()


@dataclass(frozen=True)
class PicturePart:
    """A picture on another one: its left upper corner and size as shares of the whole."""

    picture: Picture
    left: float
    top: float
    width: float
    height: float


@dataclass
class Pictures:
    """Drawings by what they show; filled as documents ask for them, several at once if they like.

    One lock is enough: drawing is plain Python, which runs one thread at a time anyway.
    """

    system: System
    _drawn: dict[tuple[str, ...], Drawing] = field(default_factory=dict)
    _written: dict[tuple[str, ...], str] = field(default_factory=dict)
    _lock: RLock = field(default_factory=RLock)

    def drawing(self, piece: PiecePlan, view: View = View.FRONT, *, sizes: bool = False) -> Drawing:
        """One piece, with dimension lines where asked."""
        options = Options(dimensions=sizes, system=self.system)
        key = ("piece", piece.name, view.value, str(sizes))
        return self._once(key, lambda: draw(piece.assembly, view, options=options))

    def chart(self, piece: PiecePlan) -> Drawing:
        """Its layers unrolled, or its clusters in order."""
        key = ("chart", piece.name)
        return self._once(key, lambda: draw_chart(piece.assembly, system=self.system))

    def scene(self, option: OptionPlan, view: View = View.FRONT) -> Drawing:
        """One option: its pieces side by side at one scale."""
        options = Options(system=self.system)
        key = ("option", option.name, *option.option.pieces, view.value)
        return self._once(
            key,
            lambda: draw_scene(shown(option), view, name=option.name, options=options),
        )

    def svg(self, drawing: Drawing) -> str:
        """A drawing as text, written once."""
        with self._lock:
            for key, known in self._drawn.items():
                if known is drawing:
                    if key not in self._written:
                        self._written[key] = to_svg(drawing)
                    return self._written[key]
        return to_svg(drawing)

    def picture(self, drawing: Drawing, file: str, alt: str) -> Picture:
        """A drawing ready for a template."""
        wide, high = drawing.paper_mm
        aspect = wide / high if high else 1.0
        data = self.svg(drawing).replace(FONTS, SVG_FONTS).encode()
        return Picture(file, data, aspect, alt, False, drawing.width_m, drawing.height_m)

    def to_scale(self, drawing: Drawing, shown: Picture, file: str, alt: str) -> Picture:
        """A drawing from the front with a person beside it, composed of `shown` and the person.

        Args:
            drawing: of the piece or the option, without a person.
            shown: the same, ready for paper.
            file: name of the person's own picture.
            alt: what the whole shows.
        """
        person, canvas = person_beside(drawing, Options().margin_m)
        figure = self.picture(person, file, person.title)
        parts = tuple(
            PicturePart(
                picture,
                (box.left - canvas.left) / canvas.width,
                (box.top - canvas.top) / canvas.height,
                box.width / canvas.width,
                box.height / canvas.height,
            )
            for picture, box in ((figure, person.canvas), (shown, drawing.canvas))
        )
        wide, high = canvas.width / MM, canvas.height / MM
        return Picture("", b"", canvas.width / canvas.height, alt, False, wide, high, parts)

    def _once(self, key: tuple[str, ...], make: Callable[[], Drawing]) -> Drawing:
        with self._lock:
            if key not in self._drawn:
                self._drawn[key] = make()
            return self._drawn[key]


def shown(option: OptionPlan) -> tuple[Standing, ...]:
    """What a picture of an option shows, and how many copies of each; the venue's door last.

    Everything up to MOST_COPIES of a piece and MOST_SHOWN in all; each piece once before any
    comes twice.
    """
    pieces = option.pieces
    left = MOST_SHOWN
    counts = [0] * len(pieces)
    for copy in range(MOST_COPIES):
        for at, piece in enumerate(pieces):
            if copy < piece.count and left > 0:
                counts[at] += 1
                left -= 1
    standing = [
        Standing(piece.assembly, count, spec=piece.spec)
        for piece, count in zip(pieces, counts, strict=True)
        if count
    ]
    return (*standing, *([] if option.door is None else [Standing.at(option.door)]))


def fitted(aspect: float, wide_mm: float, high_mm: float) -> tuple[float, float]:
    """Width and height [mm] of a picture as large as fits into a box."""
    if not (math.isfinite(aspect) and aspect > 0):
        aspect = 1.0
    width = min(wide_mm, high_mm * aspect)
    return width, width / aspect
