"""Tables of the studio's book: contacts, calendar feeds, small pictures, photographs of venues."""

from __future__ import annotations

import datetime as dt
from typing import Any

from sqlalchemy import LargeBinary, String, Text
from sqlalchemy.orm import Mapped, deferred, mapped_column

from airwright.store.tables import Base, Key
from airwright.store.types import new_id, now


class Contact(Base):
    """Somebody the studio works for or with: a client, a venue, a supplier, a helper."""

    __tablename__ = "contacts"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    kind: Mapped[str] = mapped_column(String(12), index=True)
    name: Mapped[str] = mapped_column(String(200), index=True)
    organisation: Mapped[str] = mapped_column(String(200), default="")
    phone: Mapped[str] = mapped_column(String(80), default="")
    mail: Mapped[str] = mapped_column(String(200), default="")
    address: Mapped[str] = mapped_column(String(300), default="")
    note: Mapped[str] = mapped_column(String(1000), default="")
    made: Mapped[dt.datetime] = mapped_column(default=now)
    changed: Mapped[dt.datetime] = mapped_column(default=now)
    folded: Mapped[str] = deferred(
        mapped_column(Text, default="", server_default="", nullable=False)
    )


class CalendarFeed(Base):
    """A secret address under which a telephone reads the calendar; only its digest is kept."""

    __tablename__ = "calendar_feeds"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    name: Mapped[str] = mapped_column(String(120))
    token_digest: Mapped[str] = mapped_column(String(64), unique=True)
    made: Mapped[dt.datetime] = mapped_column(default=now)
    read: Mapped[dt.datetime | None]
    withdrawn: Mapped[dt.datetime | None]


class Thumbnail(Base):
    """A small picture of a job ("job:…") or a kept design, and the version it shows."""

    __tablename__ = "thumbnails"

    owner: Mapped[str] = mapped_column(String(40), primary_key=True)
    version: Mapped[int]
    media: Mapped[str] = mapped_column(String(40))
    content: Mapped[bytes] = deferred(mapped_column(LargeBinary, nullable=False))


class VenuePhoto(Base):
    """A photograph of a client's room, and where its floor is in it.

    `calibration` holds the four floor points, the known length, and the picture's size.
    """

    __tablename__ = "venue_photos"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    venue: Mapped[str] = mapped_column(String(200), index=True)
    name: Mapped[str] = mapped_column(String(120))
    media: Mapped[str] = mapped_column(String(40))
    calibration: Mapped[dict[str, Any] | None]
    made: Mapped[dt.datetime] = mapped_column(default=now)
    content: Mapped[bytes] = deferred(mapped_column(LargeBinary, nullable=False))
