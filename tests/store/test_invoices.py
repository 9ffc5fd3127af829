"""Numbers without gaps, given once: by many hands at once, and with processes killed meanwhile."""

from __future__ import annotations

import multiprocessing
import os
import random
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from multiprocessing.connection import Connection
from multiprocessing.context import ForkServerContext

import pytest
from sqlalchemy import func, select, text

from airwright.store import Database, StoreError
from airwright.store.invoices import Invoices
from airwright.store.offer_tables import InvoiceRow
from tests.store.invoice_writers import (
    BEGUN,
    FILE,
    NUMBERED,
    file_of,
    issue_one,
    made,
    order,
    write_invoices,
)

KILLS = int(os.environ.get("AIRWRIGHT_INVOICE_KILLS", "24"))
"""Processes killed for each kind of database."""

AT_ONCE = 3


def numbers(database: Database, series: str = "INV-2027-") -> list[int]:
    with database.reading() as session:
        query = select(InvoiceRow.number).where(InvoiceRow.series == series)
        return sorted(session.scalars(query))


def test_numbers_run_by_series_from_one(database: Database) -> None:
    with database.writing() as session:
        invoices = Invoices(session)
        names = [invoices.issue(order(f"a{n}"), "Ada").name for n in range(3)]
        credit = invoices.issue(order("c", "CN-2027-"), "Ada").name
    assert names == ["INV-2027-0001", "INV-2027-0002", "INV-2027-0003"]
    assert credit == "CN-2027-0001"


def test_what_fails_gives_its_number_back(database: Database) -> None:
    issue_one(database, "first")

    def fails() -> None:
        with database.writing() as session:
            Invoices(session).issue(order("second"), "Ada")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fails()
    assert issue_one(database, "third") == "INV-2027-0002"


def test_the_same_order_twice_is_one_invoice(database: Database) -> None:
    assert issue_one(database, "same") == issue_one(database, "same") == "INV-2027-0001"
    assert issue_one(database, "next") == "INV-2027-0002"


def test_many_hands_at_once_leave_no_gap(database: Database) -> None:
    with ThreadPoolExecutor(8) as pool:
        names = list(pool.map(lambda n: issue_one(database, f"k{n}"), range(60)))
    assert len(set(names)) == 60
    assert numbers(database) == list(range(1, 61))


def test_an_invoice_changed_by_hand_is_noticed(database: Database) -> None:
    name = issue_one(database, "first")
    with database.writing() as session:
        session.execute(text("UPDATE invoices SET content = :new"), {"new": b"cheaper"})
    with pytest.raises(StoreError, match="not as it was issued"):
        file_of(database, name)


def test_its_file_is_made_once(database: Database) -> None:
    name = issue_one(database, "first")
    with database.writing() as session:
        row = Invoices(session).get(name)
        again = Invoices(session).file(row, FILE, lambda _: made(b"another"))
        assert again.content == file_of_row(row)


def file_of_row(row: InvoiceRow) -> bytes:
    return made(row.content).content


@pytest.fixture(scope="module")
def nursery() -> ForkServerContext:
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.store.invoice_writers"])
    return context


@pytest.mark.slow
@pytest.mark.timeout(300 + 12 * KILLS)
def test_kills_leave_neither_a_gap_nor_two_of_one_number(
    database: Database, address: str, nursery: ForkServerContext
) -> None:
    dice = random.Random(20270522)
    begun: set[str] = set()
    numbered: set[str] = set()
    filed: set[str] = set()
    for start in range(0, KILLS, AT_ONCE):
        writers = []
        for seed in range(start, start + AT_ONCE):
            ours, theirs = nursery.Pipe(duplex=False)
            writer = nursery.Process(target=write_invoices, args=(theirs, address, seed))
            writer.start()
            theirs.close()
            writers.append((writer, ours))
        heard = [until_numbered(ours) for _, ours in writers]
        for (writer, ours), said in zip(writers, heard, strict=True):
            time.sleep(dice.uniform(0.0, 0.15))
            writer.kill()
            writer.join()
            assert writer.exitcode == -9  # it was at work until then
            with suppress(EOFError):
                while True:
                    said.append(ours.recv())
            ours.close()
            begun |= {what for word, what in said if word == BEGUN}
            numbered |= {what for word, what in said if word == NUMBERED}
        check(database, begun, numbered, filed)
    assert len(numbers(database)) >= KILLS


def until_numbered(pipe: Connection) -> list[tuple[str, str]]:
    """What a writer says up to its first number: it is at work then, however busy the machine."""
    said: list[tuple[str, str]] = []
    while NUMBERED not in [word for word, _ in said]:
        assert pipe.poll(120), "it never came to a number"
        said.append(pipe.recv())
    return said


def check(database: Database, begun: set[str], numbered: set[str], filed: set[str]) -> None:
    found = numbers(database)
    assert found == list(range(1, len(found) + 1))
    with database.reading() as session:
        assert Invoices(session).gaps() == []
        assert session.scalar(select(func.count(func.distinct(InvoiceRow.key)))) == len(found)
        held = dict(session.execute(select(InvoiceRow.name, InvoiceRow.key)).all())
    assert numbered <= set(held)
    assert set(held.values()) <= begun
    for name in set(held) - filed:  # number given, file not: it is made now, the same
        assert file_of(database, name).startswith(f"%PDF {name} {held[name]} ".encode())
        filed.add(name)
