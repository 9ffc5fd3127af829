"""Fields of buying's forms."""

from __future__ import annotations

from typing import Final

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.store.purchases import State

STATE_WORDS: Final[dict[State, str]] = {
    "sent": "sent",
    "confirmed": "confirmed",
    "part": "received in part",
    "received": "received",
    "cancelled": "cancelled",
}


def state_named(word: str) -> State:
    """Confirmed or cancelled. Raises EditError."""
    for state in STATE_WORDS:
        if state == word and state in ("confirmed", "cancelled"):
            return state
    raise EditError("That is no state of an order.", "Choose confirmed or cancelled.")


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
            raise EditError(f'"{text}" is no number of packs.', "Write a whole number.")
        found[name.removeprefix("packs-")] = int(text)
    if not any(found.values()):
        raise EditError("Nothing came by this.", "Write how many packs came of each line.")
    return found
