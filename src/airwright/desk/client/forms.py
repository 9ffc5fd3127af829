"""What a client may send: one of the options, and a few words."""

from __future__ import annotations

from collections.abc import Collection

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError


def choice_of(context: RequestContext, names: Collection[str]) -> tuple[str, str]:
    """The option chosen and a note. Raises EditError."""
    name = context.text("choice", 80)
    if name not in names:
        raise EditError("This option is not offered any more.", "Load the page again.")
    return name, context.text("note", 1000)
