"""Calendar feeds: secret addresses that can be taken back."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.store.book_tables import CalendarFeed
from airwright.store.errors import Missing
from airwright.store.types import digest, new_token, now


class Feeds:
    """Calendar feeds, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def make(self, name: str) -> tuple[CalendarFeed, str]:
        """A new feed and its token, shown once and kept nowhere."""
        token = new_token()
        feed = CalendarFeed(name=name[:120] or "Calendar", token_digest=digest(token), made=now())
        self.session.add(feed)
        self.session.flush()
        return feed, token

    def all(self) -> list[CalendarFeed]:
        """Feeds that still open, newest first."""
        query = select(CalendarFeed).where(CalendarFeed.withdrawn.is_(None))
        return list(self.session.scalars(query.order_by(CalendarFeed.made.desc())))

    def open_with(self, token: str) -> CalendarFeed | None:
        """The feed of a token, while it holds."""
        feed = self.session.scalar(
            select(CalendarFeed).where(CalendarFeed.token_digest == digest(token))
        )
        return None if feed is None or feed.withdrawn is not None else feed

    def withdraw(self, feed_id: str) -> None:
        """End a feed at once. Raises Missing."""
        feed = self.session.get(CalendarFeed, feed_id)
        if feed is None:
            raise Missing("calendar feed")
        feed.withdrawn = feed.withdrawn or now()
