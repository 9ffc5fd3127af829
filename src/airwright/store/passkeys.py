"""Passkeys of people, and the challenges that browsers are asked to sign."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from airwright.store.door_tables import Challenge, Passkey
from airwright.store.errors import Missing, StoreError
from airwright.store.tables import Person
from airwright.store.types import digest, now

CHALLENGE_LASTS = dt.timedelta(minutes=5)

MOST = 20
"""Passkeys of one person."""


class Passkeys:
    """Passkeys, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def of(self, person: Person) -> list[Passkey]:
        """A person's passkeys, oldest first."""
        query = select(Passkey).where(Passkey.person_id == person.id)
        return list(self.session.scalars(query.order_by(Passkey.made)))

    def any(self) -> bool:
        """Whether anybody has one."""
        return self.session.scalar(select(Passkey.id).limit(1)) is not None

    def add(
        self, person: Person, credential: str, public_key: bytes, signatures: int, name: str
    ) -> Passkey:
        """Keep a new one. Raises StoreError for one that is known, or one too many."""
        if self.find(credential) is not None:
            raise StoreError("This passkey is known already.", "Sign in with it.")
        if len(self.of(person)) >= MOST:
            raise StoreError("That is one passkey too many.", "Remove one you no longer use.")
        row = Passkey(
            person_id=person.id,
            credential=credential,
            public_key=public_key,
            signatures=signatures,
            name=name[:80],
        )
        self.session.add(row)
        self.session.flush()
        return row

    def find(self, credential: str) -> Passkey | None:
        """The passkey of a credential's id, as browsers write it (base64url)."""
        query = select(Passkey).where(Passkey.credential == credential[:1400])
        return self.session.scalar(query.with_for_update())

    def remove(self, person: Person, passkey_id: str) -> Passkey:
        """Forget one of a person's. Raises Missing."""
        row = self.session.get(Passkey, passkey_id)
        if row is None or row.person_id != person.id:
            raise Missing("passkey")
        self.session.delete(row)
        return row

    def ask(self, session_token: str, challenge: bytes) -> None:
        """Remember what a browser is asked to sign; only the latest counts."""
        self.session.execute(delete(Challenge).where(Challenge.ends < now()))
        self.session.merge(
            Challenge(
                seat_digest=digest(session_token), challenge=challenge, ends=now() + CHALLENGE_LASTS
            )
        )

    def take(self, session_token: str) -> bytes | None:
        """What that browser was asked, once; None when it was not, or long ago."""
        row = self.session.get(Challenge, digest(session_token), with_for_update=True)
        if row is None:
            return None
        self.session.delete(row)
        return row.challenge if row.ends >= now() else None
