"""What the offer's forms may say."""

from __future__ import annotations

from typing import Any

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError

LINK_DAYS = (7, 14, 30, 60)


def link_days(text: str) -> int:
    """How long a client link holds."""
    return int(text) if text.isdigit() and int(text) in LINK_DAYS else 14


def new_option(context: RequestContext) -> dict[str, Any]:
    """An option from the form. Raises EditError."""
    name = context.text("name", 80)
    pieces = [value for value in context.form.getlist("pieces") if isinstance(value, str)]
    if not name:
        raise EditError("The option has no name.", "Name it as you would to the client.")
    if not pieces:
        raise EditError("The option has no pieces.", "Tick at least one.")
    table: dict[str, Any] = {"name": name, "pieces": [piece[:120] for piece in pieces]}
    note = context.text("note", 300)
    return {**table, "note": note} if note else table
