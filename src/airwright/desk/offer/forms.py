"""What the offer's forms may say."""

from __future__ import annotations

from typing import Any

from airwright.desk.access import Visit
from airwright.desk.live.edits import EditError

LINK_DAYS = (7, 14, 30, 60)


def link_days(text: str) -> int:
    """How long a client link holds."""
    return int(text) if text.isdigit() and int(text) in LINK_DAYS else 14


def new_option(visit: Visit) -> dict[str, Any]:
    """An option from the form. Raises EditError."""
    name = visit.text("name", 80)
    pieces = [value for value in visit.form.getlist("pieces") if isinstance(value, str)]
    if not name:
        raise EditError("The option has no name.", "Name it as you would to the client.")
    if not pieces:
        raise EditError("The option has no pieces.", "Tick at least one.")
    table: dict[str, Any] = {"name": name, "pieces": [piece[:120] for piece in pieces]}
    note = visit.text("note", 300)
    return {**table, "note": note} if note else table
