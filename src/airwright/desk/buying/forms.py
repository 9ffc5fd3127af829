"""Fields of buying's forms."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Final

from fastapi import Depends, Query

from airwright.desk.access import RequestContext
from airwright.desk.book_buying import HORIZON
from airwright.desk.editing.edits import EditError
from airwright.language import Text, message
from airwright.money.amount import MoneyError
from airwright.money.reading import read_amount, read_money
from airwright.operations.buying.values import Wish
from airwright.store.purchases import State

MOST_DAYS: Final = 365
MOST_KEEPING: Final = Decimal(100)
"""Percent of its price that keeping goods for a year may cost, at the most."""

WISH_WORDS: Final[dict[Wish, Text]] = {
    Wish.FEW_SUPPLIERS: message("as few suppliers as possible"),
    Wish.NO_HALF_BAGS: message("no new half bags"),
    Wish.SEASON: message("one order a supplier for the season"),
}


@dataclass(frozen=True, slots=True)
class View:
    """What a page of buying was asked for.

    Attributes:
        horizon: days ahead.
        wished: whether jobs that are only drawn or offered count too.
        keeping: percent of its price that keeping goods for a year costs.
        wishes: what goes before the price.
    """

    horizon: int = HORIZON
    wished: bool = False
    keeping: Decimal = Decimal(0)
    wishes: frozenset[Wish] = frozenset()

    @property
    def fields(self) -> dict[str, str]:
        """What a form or an address sends along to come back to it."""
        told = {"horizon": str(self.horizon), "wished": "yes" if self.wished else ""}
        told["wish"] = " ".join(sorted(self.wishes))
        return {**told, "keeping": f"{self.keeping.normalize():f}"}


def view_of(horizon: str, wished: str, keeping: str, wishes: Iterable[str] = ()) -> View:
    """A view as typed. Raises EditError."""
    if horizon and (not horizon.isdecimal() or int(horizon) > MOST_DAYS):
        raise EditError(
            message('"{text}" is no number of days.', text=horizon[:12]),
            message("Write {least} to {most}.", least=0, most=MOST_DAYS),
        )
    percent = read_amount(keeping.rstrip("% ")) if keeping else Decimal(0)
    if percent is None or percent > MOST_KEEPING:
        raise EditError(
            message('"{text}" is no share of a price.', text=keeping[:12]),
            message("Write it in percent, 0 to 100."),
        )
    days = int(horizon) if horizon else HORIZON
    return View(days, wished == "yes", percent, _wishes(wishes))


def _wishes(fields: Iterable[str]) -> frozenset[Wish]:
    """Wishes by name: a field for each tick, or all in one with blanks. Raises EditError."""
    words = {word for text in fields for word in text.split()}
    known = {wish.value: wish for wish in Wish}
    for word in sorted(words - known.keys()):
        raise EditError(
            message('"{text}" is no wish that orders are planned with.', text=word[:30]),
            message("Choose from: {words}.", words=", ".join(known)),
        )
    return frozenset(known[word] for word in words)


def _asked(
    horizon: Annotated[str, Query(max_length=12)] = "",
    wished: Annotated[str, Query(max_length=4)] = "",
    keeping: Annotated[str, Query(max_length=12)] = "",
    wish: Annotated[Sequence[str], Query()] = (),
) -> View:
    return view_of(horizon, wished, keeping, wish)


Asked = Annotated[View, Depends(_asked)]
"""The view in a page's address."""


def view_sent(context: RequestContext) -> View:
    """The view a form carries. Raises EditError."""
    horizon, wished = context.text("horizon", 12), context.text("wished", 4)
    return view_of(horizon, wished, context.text("keeping", 12), [context.text("wish", 200)])


STATE_WORDS: Final[dict[State, str]] = {
    "sent": message("sent"),
    "confirmed": message("confirmed"),
    "part": message("received in part"),
    "received": message("received"),
    "cancelled": "cancelled",
}


def state_named(word: str) -> State:
    """Confirmed or cancelled. Raises EditError."""
    for state in STATE_WORDS:
        if state == word and state in ("confirmed", "cancelled"):
            return state
    raise EditError(
        message("That is no state of an order."), message("Choose confirmed or canceled.")
    )


def packs_by_line(context: RequestContext) -> dict[str, int]:
    """Packs that came, by line. Raises EditError."""
    found = {}
    for name in context.form:
        if not name.startswith("packs-"):
            continue
        text = context.text(name, 8)
        if not text:
            continue
        if not text.isdecimal():
            raise EditError(
                message('"{text}" is no number of packs.', text=text),
                message("Write a whole number."),
            )
        found[name.removeprefix("packs-")] = int(text)
    if not any(found.values()):
        raise EditError(
            message("Nothing came by this."), message("Write how many packs came of each line.")
        )
    return found


def paid_by_line(context: RequestContext, currency: str) -> dict[str, Decimal]:
    """Price of a pack by the delivery note, by line; only of those who see prices.

    Raises:
        EditError: no amount, or one in another currency.
    """
    found = {}
    for name in context.form if context.actor.sees_price else ():
        text = context.text(name, 24) if name.startswith("paid-") else ""
        if text:
            try:
                amount = read_money(text, currency, least=Decimal("0.001"))
            except MoneyError as problem:
                raise EditError(problem.what, problem.mend) from problem
            found[name.removeprefix("paid-")] = amount.number
    return found
