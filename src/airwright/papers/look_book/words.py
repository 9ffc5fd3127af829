"""A look's figures as words, the same in the PDFs and on the page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from airwright.language.figures import said_money
from airwright.papers.common.words import listed, plural
from airwright.papers.look_book.model import LookBook, LookOffer, SizeOffer
from airwright.units import LENGTH, System, show


def look_words(look: LookOffer, system: System) -> dict[str, Any]:
    """Everything said about a look, as texts."""
    return {
        "name": look.name,
        "note": look.note,
        "pieces": [
            {
                "name": piece.name if piece.count == 1 else f"{piece.count} × {piece.name}",
                "contents": list(piece.contents),
            }
            for piece in look.pieces
        ],
        "each": "each" if look.each else "",
        "swatches": [
            {"name": s.name, "colour": s.colour, "finish": s.finish} for s in look.swatches
        ],
        "sizes": [size_words(size, look, system) for size in look.sizes],
        "from": price_words(look, look.lowest),
        "days": f"{look.days} days",
    }


def size_words(size: SizeOffer, look: LookOffer, system: System) -> dict[str, Any]:
    """One size as texts."""
    return {
        "name": size.name,
        "tall": show(size.height_m, LENGTH, system, 0),
        "wide": show(size.width_m, LENGTH, system, 0),
        "floor": _floor(size, system),
        "measures": _measures(size, look, system),
        "balloons": plural(size.balloons, "balloon"),
        "price": price_words(look, size.price),
        "usual": size.name == look.usual,
        "days": f"{size.days} days",
    }


def _floor(size: SizeOffer, system: System) -> str:
    """Width × depth of the floor it takes."""
    wide, deep = (show(side, LENGTH, system, 0) for side in (size.width_m, size.depth_m))
    return f"{wide} × {deep}"


def _measures(size: SizeOffer, look: LookOffer, system: System) -> str:
    """Height × width for a narrow column; balloons where sizes differ in number only."""
    both = {(round(s.height_m, 2), round(s.width_m, 2)) for s in look.sizes}
    if len(both) < len(look.sizes):
        return plural(size.balloons, "balloon")
    wide = show(size.width_m, LENGTH, system, 0)
    return f"{show(size.height_m, LENGTH, system, 0)} × {wide}"


def price_words(look: LookOffer, amount: Any) -> str:
    """A price for people, without needless cents: "$375"."""
    text = said_money(amount, look.currency)
    return text.removesuffix(".00")


def _beside(names: Sequence[str]) -> str:
    """What comes on top of a menu's prices."""
    if not names:
        return "Prices hold delivery, set-up and take-down."
    said = listed(names)
    verb = "comes" if len(names) == 1 else "come"
    return (
        f"Prices are for the decor itself. {said[0].upper()}{said[1:]} {verb} on top, by distance "
        "and time; your proposal says how much."
    )


def small_print(book: LookBook) -> list[str]:
    """What a reader must know about the prices."""
    lines = [
        _beside(book.beside),
        f"Lead time is the notice we need: {book.supply_days} days until supplies arrive, and "
        "the making.",
        "Heights and widths are of one piece as built, topper and base counted. Every look can be "
        "had in other shades and sizes.",
        "Balloons are natural rubber latex, and pieces of burst ones are a choking hazard: keep "
        "them from children under eight.",
    ]
    if book.tax_rate:
        rate = f"{(book.tax_rate * 100).normalize():f}"
        said = "is included" if book.tax_included else "comes on top"
        lines.insert(1, f"{book.tax_name} of {rate} % {said}.")
    return lines


INVENTED_WORDS = "Invented examples: Saltmarsh, its ferry line and these offers do not exist."
