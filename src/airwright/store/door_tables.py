"""Tables of the door: the lasting log, invitations, passkeys."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey, LargeBinary, String
from sqlalchemy.orm import Mapped, mapped_column

from airwright.store.tables import Base, Key
from airwright.store.types import new_id, now


class LogEntry(Base):
    """What somebody did that may be asked about later. Written once; holds no secrets.

    `job_id` points nowhere on purpose: the entry outlives its job.
    """

    __tablename__ = "log_entries"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    at: Mapped[dt.datetime] = mapped_column(default=now, index=True)
    kind: Mapped[str] = mapped_column(String(24), index=True)
    actor: Mapped[str] = mapped_column(String(120))
    address: Mapped[str] = mapped_column(String(64), default="")
    subject: Mapped[str] = mapped_column(String(200), default="")
    job_id: Mapped[str | None] = mapped_column(Key)


class Invitation(Base):
    """A link that makes one account, once; only its digest is kept."""

    __tablename__ = "invitations"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    token_digest: Mapped[str] = mapped_column(String(64), unique=True)
    name: Mapped[str] = mapped_column(String(120))
    role: Mapped[str] = mapped_column(String(12))
    made: Mapped[dt.datetime] = mapped_column(default=now)
    made_by: Mapped[str] = mapped_column(String(120))
    ends: Mapped[dt.datetime]
    used: Mapped[dt.datetime | None]
    withdrawn: Mapped[dt.datetime | None]


class Passkey(Base):
    """A key that a device keeps for somebody (WebAuthn); its private half never left the device."""

    __tablename__ = "passkeys"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    person_id: Mapped[str] = mapped_column(ForeignKey("people.id", ondelete="CASCADE"), index=True)
    credential: Mapped[str] = mapped_column(String(1400), unique=True)
    public_key: Mapped[bytes] = mapped_column(LargeBinary)
    signatures: Mapped[int] = mapped_column(default=0)
    name: Mapped[str] = mapped_column(String(80))
    made: Mapped[dt.datetime] = mapped_column(default=now)
    used: Mapped[dt.datetime | None]


class Challenge(Base):
    """What a browser was asked to sign; answered once, soon, by that very browser."""

    __tablename__ = "challenges"

    seat_digest: Mapped[str] = mapped_column(String(64), primary_key=True)
    challenge: Mapped[bytes] = mapped_column(LargeBinary)
    ends: Mapped[dt.datetime]
