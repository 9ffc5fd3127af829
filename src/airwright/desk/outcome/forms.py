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


def entry_of(context: RequestContext) -> tuple[Kind, str, Decimal]:
    """An entry of the form. Raises EditError."""
    kind = next((kind for kind in KINDS if kind == context.text("kind")), None)
    if kind is None:
        raise EditError(
            message("It is not said what this is."),
            message("Pick hours, bought, spent or received."),
        )
    text = context.text("amount", 40)
    amount = read_amount(text)
    if amount is None or amount >= MOST:
        raise EditError(
            message('"{text}" is no amount.', text=text[:20]),
            message('Write a plain number, like "12.50".'),
        )
    return kind, context.text("what", 200) or KIND_WORDS[kind], amount.quantize(Decimal("0.01"))


def receipt_of(context: RequestContext, currency: str) -> tuple[Kind, str, Decimal]:
    """Something paid for on the day. Raises EditError."""
    kind: Kind = "bought" if context.text("kind") == "bought" else "spent"
    try:
        amount = read_money(context.text("amount", 40), currency, least=Decimal("0.01"))
    except MoneyError as problem:
        raise EditError(problem.what, problem.mend) from problem
    if amount.number >= MOST:
        raise EditError(message("That is more than a receipt says."), message("Check the amount."))
    return kind, context.text("what", 200) or KIND_WORDS[kind], amount.number
