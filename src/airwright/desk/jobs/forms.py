"""What the book's forms may say."""

from __future__ import annotations

import datetime as dt

from airwright.desk.editing.edits import EditError
from airwright.store.jobs import STAGES, Stage

ARCHIVE = "archive"
"""Stands among the stages to look for: jobs put away."""


def stage_named(text: str) -> Stage:
    """A stage by name. Raises EditError."""
    for stage in STAGES:
        if stage == text:
            return stage
    raise EditError("There is no such stage.", f"Use one of: {', '.join(STAGES)}.")


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
        raise EditError(f'"{text}" is no date.', "Write it like 2027-05-22.") from problem
    if date < today:
        raise EditError("That day is past.", "Pick a day to come.")
    return date
