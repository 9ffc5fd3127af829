"""The database: tables, migrations and one repository an area."""

from airwright.store import book_tables, door_tables, offer_tables, stock_tables
from airwright.store.backup import BackupError, back_up, restore, verify
from airwright.store.database import Database, default_address, open_database
from airwright.store.errors import Missing, Overtaken, StoreError, Unavailable

__all__ = [
    "BackupError",
    "Database",
    "Missing",
    "Overtaken",
    "StoreError",
    "Unavailable",
    "back_up",
    "book_tables",
    "default_address",
    "door_tables",
    "offer_tables",
    "open_database",
    "restore",
    "stock_tables",
    "verify",
]
