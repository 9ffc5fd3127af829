"""Photographs of clients' rooms, kept with the venue's name for every later job there."""

from __future__ import annotations

from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from airwright.store.book_tables import VenuePhoto
from airwright.store.errors import Missing
from airwright.store.types import now


class VenuePhotos:
    """Photographs of venues, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def of_venue(self, venue: str) -> list[VenuePhoto]:
        """Those of a venue, newest first, without their contents."""
        same = func.lower(VenuePhoto.venue) == venue.strip().lower()
        return list(
            self.session.scalars(select(VenuePhoto).where(same).order_by(VenuePhoto.made.desc()))
        )

    def get(self, photo_id: str, venue: str) -> VenuePhoto:
        """One of a venue. Raises Missing."""
        row = self.session.get(VenuePhoto, photo_id)
        if row is None or row.venue.lower() != venue.strip().lower():
            raise Missing("photograph")
        return row

    def content(self, photo_id: str) -> bytes:
        """The picture itself; nothing where it is gone."""
        row = self.session.get(VenuePhoto, photo_id) if photo_id else None
        return b"" if row is None else row.content

    def put(self, venue: str, name: str, media: str, content: bytes) -> VenuePhoto:
        """Keep a photograph; nothing is marked in it yet."""
        row = VenuePhoto(
            venue=venue.strip()[:200],
            name=name[:120],
            media=media,
            calibration=None,
            made=now(),
            content=content,
        )
        self.session.add(row)
        self.session.flush()
        return row

    def mark(self, photo_id: str, venue: str, calibration: dict[str, Any]) -> None:
        """What was marked in one. Raises Missing."""
        self.get(photo_id, venue).calibration = calibration

    def remove(self, photo_id: str, venue: str) -> None:
        """Throw one away. Raises Missing."""
        self.session.delete(self.get(photo_id, venue))
