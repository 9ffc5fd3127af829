"""Invitations: a link that makes one account, once, and ends by itself."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.store.door_tables import Invitation
from airwright.store.errors import Missing, StoreError
from airwright.store.people import Role
from airwright.store.types import digest, new_token, now

LASTS = dt.timedelta(days=7)


class Invitations:
    """Invitations, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def make(self, name: str, role: Role, actor: str) -> str:
        """A new one; its token is shown once and kept nowhere."""
        token = new_token()
        self.session.add(
            Invitation(
                token_digest=digest(token),
                name=name.strip()[:120],
                role=role,
                made=now(),
                made_by=actor[:120],
                ends=now() + LASTS,
            )
        )
        return token

    def open(self) -> list[Invitation]:
        """Those that still open something, newest first."""
        query = select(Invitation).where(
            Invitation.used.is_(None), Invitation.withdrawn.is_(None), Invitation.ends > now()
        )
        return list(self.session.scalars(query.order_by(Invitation.made.desc())))

    def get(self, token: str, *, locked: bool = False) -> Invitation:
        """The invitation of a token, while it holds; `locked` keeps others from using it.

        Raises:
            StoreError: used, withdrawn, ended, or never made: all in the same words.
        """
        query = select(Invitation).where(Invitation.token_digest == digest(token))
        row = self.session.scalar(query.with_for_update() if locked else query)
        if row is None or row.used or row.withdrawn or row.ends < now():
            raise StoreError(
                "This invitation opens nothing (any more).", "Ask whoever sent it for a new one."
            )
        return row

    def withdraw(self, invitation_id: str) -> Invitation:
        """End one at once. Raises Missing."""
        row = self.session.get(Invitation, invitation_id)
        if row is None:
            raise Missing("invitation")
        row.withdrawn = row.withdrawn or now()
        return row
