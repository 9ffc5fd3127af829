"""What the kill tests kill: processes that issue invoices and make their files, without a pause."""

from __future__ import annotations

import datetime as dt
import random
from decimal import Decimal
from multiprocessing.connection import Connection

from airwright.store import Database, open_database
from airwright.store.editions import FrozenFile
from airwright.store.invoices import Invoices, NewInvoice
from airwright.store.offer_tables import InvoiceRow

DAY = dt.date(2027, 5, 22)
BEGUN, NUMBERED, FILED = "begun", "numbered", "filed"
FILE = "invoice.pdf"


def order(key: str, series: str = "INV-2027-", size: int = 200) -> NewInvoice:
    """An order for an invoice; its document names its number."""
    return NewInvoice(
        series=series, key=key, kind="final", content=lambda name: f"{name} {key} ".encode() * size,
        client="Saltmarsh Ferries", issued=DAY, due=DAY, currency="EUR", net=Decimal("100.00"),
        tax=Decimal("19.00"), owed=Decimal("119.00"),
    )  # fmt: skip


def made(content: bytes) -> FrozenFile:
    """A file made from the content alone."""
    return FrozenFile(FILE, "application/pdf", b"%PDF " + content)


def issue_one(database: Database, key: str, size: int = 200) -> str:
    """Number first, file after it, as the desk does."""
    with database.writing() as session:
        name = Invoices(session).issue(order(key, size=size), "w").name
    file_of(database, name)
    return name


def file_of(database: Database, name: str) -> bytes:
    with database.writing() as session:
        invoices = Invoices(session)
        row: InvoiceRow = invoices.get(name)
        return invoices.file(row, FILE, made).content


def write_invoices(pipe: Connection, address: str, seed: int) -> None:
    """Issue invoices until killed, saying what is begun, numbered and filed."""
    dice = random.Random(seed)
    database = open_database(address)
    number = 0
    while True:
        number += 1
        key = f"{seed}-{number}"
        pipe.send((BEGUN, key))
        with database.writing() as session:
            new = order(key, size=dice.randrange(20, 4000))
            name = Invoices(session).issue(new, "w").name
        pipe.send((NUMBERED, name))
        file_of(database, name)
        pipe.send((FILED, name))
