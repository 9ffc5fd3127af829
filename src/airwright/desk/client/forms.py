"""What a client may send: a question, or a yes with name and tick."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.language import message

FIELDS = ("choice", "note", "name", "mail", "agree")
MAIL = re.compile(r"[^@\s<>,;\"]+@[^@\s<>,;\"]+\.[^@\s<>,;\".]+")


@dataclass(frozen=True, slots=True)
class Answer:
    """What the client typed."""

    choice: str
    note: str
    name: str
    mail: str


def typed_in(context: RequestContext) -> dict[str, str]:
    """The fields as typed, to show them again."""
    return {name: context.text(name, 2000) for name in FIELDS}


def remark_of(context: RequestContext) -> Answer:
    """A question or a wish. Raises EditError."""
    note = context.text("note", 2000)
    if not note:
        raise EditError(
            message("Nothing is written yet."), message("Write your question, then send it.")
        )
    return Answer(context.text("choice", 80), note, context.text("name", 120), "")


def yes_of(context: RequestContext, names: Collection[str]) -> Answer:
    """A yes: an option of the page, a name, the tick. Raises EditError."""
    choice = context.text("choice", 80)
    if not choice and len(names) == 1:
        choice = next(iter(names))
    if choice not in names:
        raise EditError(
            message("No option is chosen."), message("Choose one of the options above.")
        )
    name = context.text("name", 120)
    if len(name) < 2:
        raise EditError(
            message("Your name is missing."), message("Write your first and last name.")
        )
    mail = context.text("mail", 254)
    if mail and not MAIL.fullmatch(mail):
        raise EditError(
            message('"{mail}" is no mail address.', mail=mail[:60]),
            message('Write it like "mara@example.org".'),
        )
    if context.text("agree") != "yes":
        raise EditError(
            message("The tick is missing."),
            message("Tick that you accept the offer and its terms, then send it."),
        )
    return Answer(choice, context.text("note", 1000), name, mail)
