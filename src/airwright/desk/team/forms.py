"""What the forms of accounts may say."""

from __future__ import annotations

from airwright.desk.editing.edits import EditError
from airwright.store.people import ROLES, Role

ROLE_WORDS = {
    "owner": "Owner: everything, cost and margin too",
    "designer": "Designer: jobs and prices, no cost",
    "crew": "Crew: the day and its papers, no money",
}


def role_named(text: str) -> Role:
    """A role by name. Raises EditError."""
    for role in ROLES:
        if role == text:
            return role
    raise EditError("There is no such role.", f"Use one of: {', '.join(ROLES)}.")
