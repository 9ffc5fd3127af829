"""Fields of the shelf's forms, read and refused in words."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Final

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.money.reading import read_amount
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import Kind

MOST: Final = 1_000_000
MOVES: Final = (
    (Kind.TAKEN, message("taken for a job")),
    (Kind.BROUGHT_BACK, message("brought back")),
    (Kind.POPPED, "popped"),
    (Kind.THROWN_AWAY, message("thrown away")),
)
"""What may be saved by hand, and how it is said."""


def whole(context: RequestContext, name: str, least: int = 1) -> int:
    """A whole number. Raises EditError."""
    text = context.text(name, 12).replace(",", "").replace(" ", "")
    if not text.isdecimal() or not least <= int(text) <= MOST:
        raise EditError(
            message('"{text}" is no number of pieces.', text=text[:12]),
            message("Write {least} to {most}.", least=least, most=MOST),
        )
    return int(text)


def brought_back(context: RequestContext) -> dict[str, int]:
    """How many came back of each lot. Raises EditError."""
    names = [name for name in context.form if name.startswith("back-")]
    found = {
        name.removeprefix("back-"): whole(context, name, 0)
        for name in names
        if context.text(name, 12)
    }
    kept = {lot: count for lot, count in found.items() if count}
    if not kept:
        raise EditError(
            message("Nothing came back by this."),
            message("Write how many came back of each line; what is left empty was used."),
        )
    return kept


def goods_named(context: RequestContext) -> Goods:
    """Item and shade. Raises EditError."""
    item = context.text("item", 120)
    if not item:
        raise EditError(
            message("The item is missing."), message('Write what it is: "11in round balloon".')
        )
    return Goods.named(item, context.text("shade", 60))


def day_or_none(context: RequestContext, name: str) -> dt.date | None:
    """A date, or None for an empty field. Raises EditError."""
    text = context.text(name, 12)
    if not text:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise EditError(
            message('"{text}" is no date.', text=text), message("Write it as 2027-05-22.")
        ) from None


def paid_or_none(context: RequestContext) -> Decimal | None:
    """An amount, or None for an empty field. Raises EditError."""
    text = context.text("paid", 24)
    if not text:
        return None
    amount = read_amount(text)
    if amount is None:
        raise EditError(
            message('"{text}" is no amount.', text=text), message('Write it like "16.50".')
        )
    return amount


def kind_named(context: RequestContext) -> Kind:
    """What happened. Raises EditError."""
    word = context.text("kind", 20)
    for kind, _ in MOVES:
        if kind.value == word:
            return kind
    raise EditError(message("It is not said what happened."), message("Choose it from the list."))
