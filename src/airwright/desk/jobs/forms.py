"""What the book's forms may say."""

from __future__ import annotations

from airwright.desk.editing.edits import EditError
from airwright.store.jobs import STAGES, Stage

STAGE_WORDS: dict[str, str] = {
    "call": "Call",
    "drawn": "Drawn",
    "offered": "Offered",
    "accepted": "Accepted",
    "booked": "Booked",
    "built": "Built",
    "settled": "Settled",
}


def stage_named(text: str) -> Stage:
    """A stage by name. Raises EditError."""
    for stage in STAGES:
        if stage == text:
            return stage
    raise EditError("There is no such stage.", f"Use one of: {', '.join(STAGES)}.")


def stage_or_none(text: str) -> Stage | None:
    """A stage to look for; anything else means all of them."""
    return next((stage for stage in STAGES if stage == text), None)
