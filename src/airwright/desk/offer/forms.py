"""What the offer's forms may say."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.money.amount import MoneyError
from airwright.money.reading import read_amount, read_money

LINK_DAYS = (7, 14, 30, 60)
MOST_OF_ONE = 500


def link_days(text: str) -> int:
    """How long a client link holds."""
    return int(text) if text.isdecimal() and int(text) in LINK_DAYS else 14


def new_option(context: RequestContext) -> dict[str, Any]:
    """An option from the form. Raises EditError."""
    name = context.text("name", 80)
    pieces = [value for value in context.form.getlist("pieces") if isinstance(value, str)]
    if not name:
        raise EditError(
            message("The option has no name."), message("Name it as you would to the client.")
        )
    if not pieces:
        raise EditError(message("The option has no pieces."), message("Tick at least one."))
    table: dict[str, Any] = {"name": name, "pieces": [piece[:120] for piece in pieces]}
    note = context.text("note", 300)
    return {**table, "note": note} if note else table


def option_terms(context: RequestContext, currency: str) -> dict[str, Any]:
    """How many of each, discount and price by hand of an option. Raises EditError.

    Money is kept out of the form of those who do not see it; what the form has not is not changed.
    """
    found: dict[str, Any] = {"counts": _counts(context)}
    if not context.actor.sees_cost:
        return found
    off = context.text("discount", 20)
    return {
        **found,
        "package_price": _price(context, "package_price", currency),
        "discount": _share(off) if off else None,
        "price_reason": context.text("reason", 300) or None,
    }


def piece_price_terms(context: RequestContext, currency: str) -> dict[str, Any]:
    """The price of one piece by hand and why; an empty one gives it back to the rules.

    Raises:
        EditError: no amount, or one that no price can have.
    """
    price = _price(context, "price", currency)
    reason = context.text("reason", 300) or None
    return {"price": price, "price_reason": None if price is None else reason}


def _price(context: RequestContext, name: str, currency: str) -> int | float | None:
    text = context.text(name, 40)
    try:
        amount = read_money(text, currency, least=Decimal("0.001")) if text else None
    except MoneyError as problem:
        raise EditError(problem.what, problem.mend) from problem
    return None if amount is None else _plain(amount.number)


def _plain(number: Decimal) -> int | float:
    """A number as a job file holds it."""
    return int(number) if number == number.to_integral_value() else float(number)


def _counts(context: RequestContext) -> dict[str, int]:
    found = {}
    for name, value in context.form.multi_items():
        if not name.startswith("count:") or not isinstance(value, str) or not value.strip():
            continue
        said = value.strip()
        if not said.isdecimal() or len(said) > 6 or not 1 <= int(said) <= MOST_OF_ONE:
            raise EditError(
                message('"{said}" is no number of pieces.', said=said[:20]),
                message("Use 1 to 500."),
            )
        found[name.removeprefix("count:")[:120]] = int(said)
    return found


def _share(text: str) -> float:
    number = read_amount(text.strip().removesuffix("%").strip())
    if number is None or not 0 <= number <= 90:
        raise EditError(
            message('"{text}" is no discount.', text=text[:20]),
            message("Write it in percent, 90 at the most."),
        )
    return float(number / 100)
