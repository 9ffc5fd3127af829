"""What a look book says, as plain values."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from airwright.job import Studio
from airwright.papers.common.parts import Masthead, Swatch, swatches
from airwright.papers.look_book.gather import Look, Sized, making_days
from airwright.papers.proposal.contents import contents
from airwright.papers.proposal.model import INVENTED
from airwright.units import System

SUPPLY_DAYS: Final = 7
"""Days until ordered balloons arrive, where nothing else is said. From memory."""
MOST_SWATCHES: Final = 8


@dataclass(frozen=True, slots=True)
class SizeOffer:
    """One size of a look.

    Attributes:
        name: "Small", "Medium" or "Large".
        height_m: of its tallest piece; width_m: of its widest; of one, not of all together.
        depth_m: floor it takes from front to back, of its deepest piece [m].
        price: of its pieces, as told; lines beside them (delivery and the like) are not in it.
        days: notice it needs, supplies and making [d].
    """

    name: str
    height_m: float
    width_m: float
    depth_m: float
    balloons: int
    price: Decimal
    days: int


@dataclass(frozen=True, slots=True)
class PieceLines:
    """One kind of piece in a look, and what it is made of."""

    name: str
    count: int
    contents: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LookOffer:
    """One look as offered.

    Attributes:
        note: one line about it, "" for none.
        each: whether its measures are of one of several like pieces.
        usual: name of the size that is photographed.
        invented: whether the design says that nothing in it is real.
    """

    name: str
    note: str
    pieces: tuple[PieceLines, ...]
    each: bool
    swatches: tuple[Swatch, ...]
    sizes: tuple[SizeOffer, ...]
    usual: str
    currency: str
    invented: bool

    @property
    def lowest(self) -> Decimal:
        """The "from" price."""
        return min(size.price for size in self.sizes)

    @property
    def days(self) -> int:
        """Notice its usual size needs [d]."""
        return next(size.days for size in self.sizes if size.name == self.usual)


@dataclass(frozen=True, slots=True)
class LookBook:
    """A whole look book.

    Attributes:
        made: the day it is made.
        supply_days: days until ordered balloons arrive.
        tax_name, tax_rate, tax_included: what comes on top of the prices or is in them.
        beside: charges that stand beside the prices, in words.
    """

    masthead: Masthead
    made: dt.date
    supply_days: int
    tax_name: str
    tax_rate: Decimal
    tax_included: bool
    beside: tuple[str, ...]
    looks: tuple[LookOffer, ...]

    @property
    def palette(self) -> tuple[str, ...]:
        """Colours of all looks, each look's own beside each other."""
        return tuple(dict.fromkeys(s.colour for look in self.looks for s in look.swatches[:4]))

    @property
    def invented(self) -> bool:
        """Whether any look is an invented example."""
        return any(look.invented for look in self.looks)


def book_of(
    looks: Sequence[Look], studio: Studio, today: dt.date, supply_days: int = SUPPLY_DAYS
) -> LookBook:
    """Read a look book off planned looks."""
    house = studio.studio
    return LookBook(
        masthead=Masthead(house.name, house.address, house.contact),
        made=today,
        supply_days=supply_days,
        tax_name=studio.pricing.tax_name,
        tax_rate=studio.pricing.tax,
        tax_included=studio.pricing.told == "with tax",
        beside=tuple(
            name
            for name, rule in (
                ("delivery", studio.delivery),
                ("set-up", studio.set_up),
                ("take-down", studio.take_down),
            )
            if rule.rule != "none" and rule.show == "as a line"
        ),
        looks=tuple(_look(look, supply_days, studio.studio.units) for look in looks),
    )


def _look(look: Look, supply_days: int, system: System) -> LookOffer:
    usual, head = look.usual.option, look.design.job.job
    return LookOffer(
        name=look.name,
        note=usual.option.note or _note(head.note),
        pieces=tuple(PieceLines(p.name, p.count, contents(p, system)) for p in usual.pieces),
        each=any(piece.count > 1 for piece in usual.pieces) or len(usual.pieces) > 1,
        swatches=swatches(usual.pieces)[:MOST_SWATCHES],
        sizes=tuple(_size(size, supply_days) for size in look.sizes),
        usual=look.usual.name,
        currency=head.currency,
        invented=INVENTED in head.note.lower(),
    )


def _note(note: str) -> str:
    """A design's note without the sentence that labels it as invented."""
    sentences = [part.strip() for part in note.replace("\n", " ").split(". ")]
    kept = [part.rstrip(".") for part in sentences if part and INVENTED not in part.lower()]
    return ". ".join(kept) + "." if kept else ""


def _size(size: Sized, supply_days: int) -> SizeOffer:
    pieces = size.option.pieces
    return SizeOffer(
        name=size.name,
        height_m=max(piece.assembly.height_m for piece in pieces),
        width_m=max(piece.assembly.width_m for piece in pieces),
        depth_m=max(piece.assembly.depth_m for piece in pieces),
        balloons=size.option.balloons,
        price=size.option.pieces_price,
        days=supply_days + making_days(size),
    )
