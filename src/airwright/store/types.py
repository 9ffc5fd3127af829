"""Column types that both databases keep exactly, and the making of keys."""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import secrets
from decimal import Decimal
from typing import Any

from sqlalchemy import DateTime, Dialect, String, TypeDecorator


class Instant(TypeDecorator[dt.datetime]):
    """A point in time, always in UTC and always zone-aware (SQLite forgets the zone)."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: dt.datetime | None, dialect: Dialect) -> Any:
        """Refuses a time without a zone, so that none can creep in."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a time without a zone cannot be stored")
        return value.astimezone(dt.UTC)

    def process_result_value(self, value: Any, dialect: Dialect) -> dt.datetime | None:
        """The stored time, in UTC."""
        if value is None:
            return None
        stored: dt.datetime = value
        return stored.replace(tzinfo=dt.UTC) if stored.tzinfo is None else stored.astimezone(dt.UTC)


class Exact(TypeDecorator[Decimal]):
    """A decimal kept as its digits: SQLite would make a binary float of it."""

    impl = String(40)
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> str | None:
        """The digits."""
        return None if value is None else str(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> Decimal | None:
        """The decimal."""
        return None if value is None else Decimal(value)


def new_id() -> str:
    """A key of 13 letters and digits that nobody guesses (64 random bits)."""
    return base64.b32encode(secrets.token_bytes(8)).decode().rstrip("=").lower()


def new_token() -> str:
    """A secret for a link or a session (256 random bits); only its digest is stored."""
    return secrets.token_urlsafe(32)


def digest(token: str) -> str:
    """What is stored in a token's place."""
    return hashlib.sha256(token.encode()).hexdigest()


def now() -> dt.datetime:
    """This moment, zone-aware."""
    return dt.datetime.now(dt.UTC)
