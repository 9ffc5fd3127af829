"""Small pictures of jobs and kept designs, kept so that lists come at once."""

from __future__ import annotations

from sqlalchemy import delete
from sqlalchemy.orm import Session

from airwright.store.book_tables import Thumbnail


class Thumbnails:
    """Small pictures, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def get(self, owner: str, version: int) -> bytes | None:
        """The picture of a version; None where there is none yet."""
        row = self.session.get(Thumbnail, owner)
        return row.content if row is not None and row.version == version else None

    def put(self, owner: str, version: int, media: str, content: bytes) -> None:
        """Keep a picture; an older one gives way."""
        self.session.merge(Thumbnail(owner=owner, version=version, media=media, content=content))

    def drop(self, owner: str) -> None:
        """Forget a picture."""
        self.session.execute(delete(Thumbnail).where(Thumbnail.owner == owner))
