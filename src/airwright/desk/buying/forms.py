"""Fields of buying's forms."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.money.amount import MoneyError
from airwright.money.reading import read_money
from airwright.store.purchases import State

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
