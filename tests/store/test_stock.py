"""The shelf and orders in both databases: nothing lost, nothing twice, none below zero unsaid."""

from __future__ import annotations

import datetime as dt
import os
import random
import signal
import subprocess
import sys
import threading
import time
from decimal import Decimal
from pathlib import Path

import pytest

from airwright.operations.buying.answer import Line, Order
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import Kind
from airwright.store import Database, Overtaken, StoreError, open_database
from airwright.store.cylinders import Cylinders
from airwright.store.purchases import Purchases, Suppliers
from airwright.store.stock import Said, Stock

ROOT = Path(__file__).resolve().parents[2]
DAY = dt.date(2027, 5, 3)
CORAL = Goods.named("11in round balloon", "coral")
TEAL = Goods.named("11in round balloon", "teal")
KILLS = 100


def said(key: str, day: dt.date = DAY) -> Said:
    return Said(key, "Ada", day)


def order(packs: int = 4) -> Order:
    arrives = dt.date(2027, 5, 12)
    lines = (
        Line(CORAL, 100, packs, Decimal("15.00") * packs, Decimal(15)),
        Line(TEAL, 50, packs, Decimal("9.50") * packs, Decimal("9.50")),
    )
    return Order("Quayside Supply", DAY, arrives, arrives, lines, Decimal("8.90"))


def lot(database: Database, quantity: int = 50, key: str = "first") -> str:
    with database.writing() as session:
        row = Stock(session).add_lot(CORAL, quantity, said(key), each=Decimal("0.15"))
        assert row is not None
        return row.id


def on_hand(database: Database) -> dict[Goods, int]:
    with database.reading() as session:
        return Stock(session).shelf().on_hand()


def test_the_same_cause_counts_once(database: Database) -> None:
    one = lot(database)
    with database.writing() as session:
        stock = Stock(session)
        assert stock.add_lot(CORAL, 50, said("first")) is None
        assert stock.move(one, Kind.TAKEN, 20, said("a"))
        assert not stock.move(one, Kind.TAKEN, 20, said("a"))
        assert stock.count(one, 28, said("b")) == -2
        assert stock.count(one, 28, said("b")) == 0
    assert on_hand(database) == {CORAL: 28}
    with database.reading() as session:
        kinds = [row.kind for row in Stock(session).history(*CORAL.written)]
    assert sorted(kinds) == ["counted", "received", "taken"]


def test_never_below_zero_without_saying_so(database: Database) -> None:
    one = lot(database)
    with pytest.raises(StoreError, match="Only 50"), database.writing() as session:
        Stock(session).move(one, Kind.TAKEN, 51, said("a"))
    assert on_hand(database) == {CORAL: 50}
    with database.writing() as session:
        Stock(session).move(one, Kind.TAKEN, 51, said("a"), anyway=True)
    assert on_hand(database) == {CORAL: -1}


def test_two_at_once_never_take_the_same_twice(database: Database) -> None:
    one = lot(database, 60)
    failed: list[str] = []

    def work(name: str) -> None:
        for number in range(20):
            try:
                with database.writing() as session:
                    Stock(session).move(one, Kind.TAKEN, 2, Said(f"{name}{number}", name, DAY))
            except StoreError:
                failed.append(name)

    hands = [threading.Thread(target=work, args=(name,)) for name in "AB"]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    assert on_hand(database) == {CORAL: 0}
    assert len(failed) == 10


def test_what_ages_first_is_taken_for_a_job(database: Database) -> None:
    from airwright.store.jobs import Head, Jobs

    with database.writing() as session:
        job = Jobs(session).add("x", Head("Prom"), "Ada").id
        stock = Stock(session)
        stock.add_lot(CORAL, 30, said("new", DAY))
        stock.add_lot(CORAL, 20, said("old", dt.date(2026, 9, 1)))
        assert stock.promise(job, CORAL, 40, dt.date(2027, 5, 20), said("p"), firm=True)
        assert not stock.promise(job, CORAL, 40, dt.date(2027, 5, 20), said("p"), firm=True)
        assert stock.shelf().levels(dt.date(2027, 5, 20), DAY)[CORAL].free == 10
        assert stock.take(CORAL, 40, job, said("t")) == 0
        shelf = stock.shelf()
    left = {shelf.lots[key].since: count for key, count in shelf.by_lot().items()}
    assert left == {DAY: 10, dt.date(2026, 9, 1): 0}
    assert shelf.levels(dt.date(2027, 5, 20), DAY)[CORAL].reserved == 0


def test_an_order_comes_in_parts(database: Database) -> None:
    with database.writing() as session:
        purchases = Purchases(session)
        placed = purchases.place(order(), "EUR", "k", "Ada")
        assert purchases.place(order(), "EUR", "k", "Ada").id == placed.id
        assert [one.quantity for one in purchases.expected()] == [400, 200]
        coral, teal = purchases.lines(placed.id)
        assert purchases.receive(placed.id, {coral.row.id: 3}, said("one")) == 3
        assert purchases.receive(placed.id, {coral.row.id: 3}, said("one")) == 0
        assert placed.state == "part"
        assert [one.quantity for one in purchases.expected()] == [100, 200]
        assert [row.id for row in purchases.late(dt.date(2027, 5, 13))] == [placed.id]
        purchases.receive(placed.id, {coral.row.id: 1, teal.row.id: 4}, said("two"))
        assert placed.state == "received"
        assert purchases.expected() == ()
        assert purchases.cost(placed.id) == Decimal("106.90")
        shelf = Stock(session).shelf()
    assert shelf.on_hand() == {CORAL: 400, TEAL: 200}
    assert shelf.value() == Decimal("98.00")


def test_suppliers_are_never_overwritten_unseen(database: Database) -> None:
    with database.writing() as session:
        assert Suppliers(session).get() == ("", 0)
        assert Suppliers(session).put("a", 0) == 1
    with pytest.raises(Overtaken), database.writing() as session:
        Suppliers(session).put("b", 0)


def test_bar_codes_are_remembered(database: Database) -> None:
    with database.writing() as session:
        Stock(session).tie_code("4006381333931", CORAL, 100)
    with database.reading() as session:
        found = Stock(session).meaning("4006381333931")
        assert found is not None
        assert (found.item, found.shade, found.pack) == ("11in round balloon", "coral", 100)
        assert Stock(session).meaning("0") is None


@pytest.mark.slow
@pytest.mark.timeout(1200)
def test_killed_while_receiving_nothing_is_lost_and_nothing_twice(tmp_path: Path) -> None:
    address = f"sqlite:///{tmp_path / 'desk.db'}"
    database = open_database(address)
    with database.writing() as session:
        purchase = Purchases(session).place(order(100_000), "EUR", "k", "Ada").id
    dice, done, first = random.Random(7), set[int](), 0
    for _ in range(KILLS):
        child = subprocess.Popen(
            [sys.executable, "-m", "tests.store.stock_receiver", address, purchase, str(first)],
            cwd=ROOT, env={**os.environ}, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert child.stdout is not None
        said_first = child.stdout.readline()  # it is at work
        time.sleep(dice.uniform(0.0, 0.02))
        child.send_signal(signal.SIGKILL)
        done |= {int(line) for line in [said_first, *child.stdout.read().split()] if line.strip()}
        child.wait()
        first = max(done) + 1  # the parcel it was at is sent again, or was never said
    with database.reading() as session:
        keys = {row.key for row in Stock(session).history(*CORAL.written)}
        received = {int(key.split(":")[0].removeprefix("parcel ")) for key in keys}
        shelf = Stock(session).shelf()
    assert done <= received, "a parcel that was said is lost"
    assert len(received - done) <= KILLS, "only the last of each run may be unsaid"
    assert len(keys) == len(received)
    assert shelf.on_hand() == {CORAL: 100 * len(received), TEAL: 50 * len(received)}
    database.close()


@pytest.mark.parametrize(("back", "ends"), [(3, 3), (-5, 0)])
def test_rent_of_a_cylinder_ends_once_and_not_before_it_came(
    database: Database, back: int, ends: int
) -> None:
    with database.writing() as session:
        cylinders = Cylinders(session)
        assert cylinders.add("B1", 0.05, 200e5, said("came"), since=DAY)
        (kept,) = cylinders.all()
        for days in (back, 30):  # sent again later, it changes nothing
            cylinders.give_back(kept.id, DAY + dt.timedelta(days=days))
        (gone,) = cylinders.all(here=False)
    assert gone.cylinder.returned == DAY + dt.timedelta(days=ends)
