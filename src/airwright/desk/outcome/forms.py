"""What is saved after a job."""

from __future__ import annotations

from decimal import Decimal

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.money.amount import MoneyError
from airwright.money.reading import read_amount, read_money
from airwright.store.actuals import KINDS, Kind

MOST = 10_000_000
KIND_WORDS = {
    "hours": message("Hours worked"),
    "bought": message("Balloons and hardware bought"),
    "spent": message("Other spending"),
    "received": message("Money received"),
}


MOST_HOURS = 1_000
"""More than a whole crew works on one job."""


def kinds(agreed: bool) -> dict[str, str]:
    """What can be entered; what came in for an agreed offer is booked under Money, once."""
    return {kind: word for kind, word in KIND_WORDS.items() if kind != "received" or not agreed}


def entry_of(context: RequestContext, currency: str, agreed: bool) -> tuple[Kind, str, Decimal]:
    """An entry of the form. Raises EditError."""
    kind = next((kind for kind in KINDS if kind == context.text("kind")), None)
    if kind is None:
        raise EditError(
            message("It is not said what this is."),
            message("Pick hours, bought, spent or received."),
        )
    if kind == "received" and agreed:
        raise EditError(
            message("Money for what was agreed is booked under Money."),
            message("Book it there; it counts here by itself."),
        )
    what, text = context.text("what", 200) or KIND_WORDS[kind], context.text("amount", 40)
    if kind != "hours":
        return kind, what, _sum(text, currency)
    hours = read_amount(text.removesuffix("h").strip())
    if hours is None or hours > MOST_HOURS:
        raise EditError(
            message('"{text}" is no number of hours.', text=text[:20]),
            message('Write a plain number, like "1.5".'),
        )
    return kind, what, hours.quantize(Decimal("0.01"))


def receipt_of(context: RequestContext, currency: str) -> tuple[Kind, str, Decimal]:
    """Something paid for on the day. Raises EditError."""
    kind: Kind = "bought" if context.text("kind") == "bought" else "spent"
    amount = _sum(context.text("amount", 40), currency)
    return kind, context.text("what", 200) or KIND_WORDS[kind], amount


def _sum(text: str, currency: str) -> Decimal:
    try:
        amount = read_money(text, currency, least=Decimal("0.01"))
    except MoneyError as problem:
        raise EditError(problem.what, problem.mend) from problem
    if amount.number >= MOST:
        raise EditError(message("That is more than a receipt says."), message("Check the amount."))
    return amount.number
