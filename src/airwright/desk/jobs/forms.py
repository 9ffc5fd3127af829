"""What the book's forms may say."""

from __future__ import annotations

import datetime as dt

from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.store.jobs import STAGES, Stage

ARCHIVE = "archive"
"""Stands among the stages to look for: jobs put away."""


def stage_named(text: str) -> Stage:
    """A stage by name. Raises EditError."""
    for stage in STAGES:
        if stage == text:
            return stage
    raise EditError(
        message("There is no such stage."),
        message("Use one of: {stages}.", stages=", ".join(STAGES)),
    )


def stage_or_none(text: str) -> Stage | None:
    """A stage to look for; anything else means all of them."""
    return next((stage for stage in STAGES if stage == text), None)


def date_or_none(text: str, today: dt.date) -> dt.date | None:
    """A day to come; None for an empty field. Raises EditError."""
    if not text:
        return None
    try:
        date = dt.date.fromisoformat(text)
    except ValueError as problem:
        raise EditError(
            message('"{text}" is no date.', text=text), message("Write it like 2027-05-22.")
        ) from problem
    if date < today:
        raise EditError(message("That day is past."), message("Pick a day to come."))
    return date
