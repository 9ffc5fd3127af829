"""What the forms of accounts may say, and the words of the log."""

from __future__ import annotations

from airwright.desk.editing.edits import EditError
from airwright.language import Text, message
from airwright.store.people import ROLES, Role

LOG_WORDS: dict[str, Text] = {
    "signed in": message("Signed in"),
    "sign-in failed": message("Wrong password"),
    "signed out": message("Signed out"),
    "session ended": message("Session ended"),
    "account made": message("Account made"),
    "role changed": message("Role changed"),
    "password changed": message("Password changed"),
    "invited": message("Invited"),
    "invitation withdrawn": message("Invitation withdrawn"),
    "passkey added": message("Passkey added"),
    "passkey removed": message("Passkey removed"),
    "settings changed": message("Settings changed"),
    "offer sent": message("Offer sent"),
    "link made": message("Link for a client made"),
    "link withdrawn": message("Link withdrawn"),
    "offer withdrawn": message("Offer withdrawn"),
    "offer accepted": message("Offer accepted"),
    "exported": message("Exported"),
    "deleted": message("Deleted"),
    "erased": message("A client’s data erased"),
    "backed up": message("Backed up"),
    "tidied": message("Tidied"),
}


def role_named(text: str) -> Role:
    """A role by name. Raises EditError."""
    for role in ROLES:
        if role == text:
            return role
    raise EditError(
        message("There is no such role."), message("Use one of: {roles}.", roles=", ".join(ROLES))
    )
