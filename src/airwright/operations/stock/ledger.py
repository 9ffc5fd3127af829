"""The shelf as a ledger: lots and movements, never an overwritten number.

What is on hand, promised, free or still to come on any day follows from the movements.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from typing import Final

from airwright.operations.goods import Goods, Lot


class Kind(StrEnum):
    """What happened."""

    RECEIVED = "received"
    WANTED = "wanted"
    RESERVED = "reserved"
    RELEASED = "released"
    UNWANTED = "no longer wanted"
    TAKEN = "taken"
    BROUGHT_BACK = "brought back"
    POPPED = "popped"
    THROWN_AWAY = "thrown away"
    COUNTED = "counted"


SIGN: Final[Mapping[Kind, int]] = {
    Kind.RECEIVED: 1,
    Kind.TAKEN: -1,
    Kind.BROUGHT_BACK: 1,
    Kind.POPPED: -1,
    Kind.THROWN_AWAY: -1,
    Kind.COUNTED: 1,
}
"""What a movement does to what is on hand; the others only promise."""

LEAVES: Final = frozenset({Kind.TAKEN, Kind.POPPED, Kind.THROWN_AWAY})

PROMISES: Final = (Kind.WANTED, Kind.RESERVED)
ENDS: Final[Mapping[Kind, frozenset[Kind]]] = {
    Kind.WANTED: frozenset({Kind.UNWANTED, Kind.TAKEN}),
    Kind.RESERVED: frozenset({Kind.RELEASED, Kind.TAKEN}),
}
"""What makes a promise, and what ends it, each wholly or in part."""


@dataclass(frozen=True, slots=True)
class ShelfLot:
    """Some of one goods that came together.

    Attributes:
        id: its name in the ledger.
        goods: what it is.
        since: the day it came.
        good_until: last day it may be used; None: it does not age.
        each: what one cost; None: not known.
        place: where it lies.
        opened: whether the bag is open.
        condition: of hardware, in words.
    """

    id: str
    goods: Goods
    since: dt.date | None = None
    good_until: dt.date | None = None
    each: Decimal | None = None
    place: str = ""
    opened: bool = False
    condition: str = ""


@dataclass(frozen=True, slots=True)
class Movement:
    """Something that happened to the shelf.

    Attributes:
        day: when.
        kind: what.
        goods: of what.
        quantity: how many; only a count may be below zero (the difference found).
        lot: which lot, "" for promises, which are of no lot.
        job: for which job, "" for none.
        due: of a promise, the day it is needed.
    """

    day: dt.date
    kind: Kind
    goods: Goods
    quantity: int
    lot: str = ""
    job: str = ""
    due: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Expected:
    """Something ordered that has not come yet."""

    goods: Goods
    quantity: int
    day: dt.date
    order: str = ""


@dataclass(frozen=True, slots=True)
class Level:
    """Goods on a day.

    Attributes:
        on_hand: on the shelf.
        reserved, wanted: promised to jobs, firmly and softly, up to their day and not yet taken.
        incoming: ordered and due by then.
        too_old: of what is on hand, past its day.
    """

    on_hand: int = 0
    reserved: int = 0
    wanted: int = 0
    incoming: int = 0
    too_old: int = 0

    @property
    def free(self) -> int:
        """What may still be promised: on hand and good, with what comes, less firm promises."""
        return self.on_hand - self.too_old + self.incoming - self.reserved


@dataclass(frozen=True, slots=True)
class OnShelf:
    """What the shelf has of goods for one job: how many, and where they lie."""

    quantity: int
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Shelf:
    """All lots and movements."""

    lots: Mapping[str, ShelfLot] = field(default_factory=dict)
    movements: Sequence[Movement] = ()
    expected: Sequence[Expected] = ()

    def on_hand(self, day: dt.date | None = None) -> dict[Goods, int]:
        """How many of each goods are on the shelf on the evening of a day; today's without one."""
        found: dict[Goods, int] = defaultdict(int)
        for lot, count in self.by_lot(day).items():
            found[self.lots[lot].goods] += count
        return dict(found)

    def by_lot(self, day: dt.date | None = None) -> dict[str, int]:
        """How many of each lot are there on the evening of a day."""
        found: dict[str, int] = defaultdict(int)
        sign = SIGN.get
        for one in self.movements:
            if one.lot and (day is None or one.day <= day):
                found[one.lot] += sign(one.kind, 0) * one.quantity
        return dict(found)

    def promised(self, day: dt.date, kind: Kind = Kind.RESERVED) -> dict[tuple[Goods, str], int]:
        """What is promised to each job for a day up to this one and not taken yet.

        A firm promise stands in place of a soft one of the same job. One whose job is gone ends.
        """
        due: dict[tuple[Goods, str], dt.date] = {}
        left: dict[Kind, dict[tuple[Goods, str], int]] = {
            promise: defaultdict(int) for promise in PROMISES
        }
        for one in self.movements:
            if not one.job:
                continue
            key = (one.goods, one.job)
            for promise, ends in ENDS.items():
                if one.kind is promise or one.kind in ends:
                    left[promise][key] += one.quantity if one.kind is promise else -one.quantity
            if one.kind is kind:
                due[key] = max(due.get(key, dt.date.min), one.due or dt.date.min)
        firm = left[Kind.RESERVED]
        return {
            key: count
            for key, count in left[kind].items()
            if count > 0 and due[key] <= day and (kind is Kind.RESERVED or firm.get(key, 0) <= 0)
        }

    def levels(self, day: dt.date, today: dt.date) -> dict[Goods, Level]:
        """All goods on a day to come: what is there today, and what comes and goes until then."""
        rows: dict[Goods, dict[str, int]] = defaultdict(lambda: defaultdict(int))
        for lot, count in self.by_lot(min(day, today)).items():
            shelf_lot = self.lots[lot]
            rows[shelf_lot.goods]["on_hand"] += count
            if shelf_lot.good_until is not None and shelf_lot.good_until < day:
                rows[shelf_lot.goods]["too_old"] += max(count, 0)
        for name, kind in (("reserved", Kind.RESERVED), ("wanted", Kind.WANTED)):
            for (goods, _), count in self.promised(day, kind).items():
                rows[goods][name] += count
        for one in self.expected:
            if one.day <= day:
                rows[one.goods]["incoming"] += one.quantity
        return {goods: Level(**row) for goods, row in sorted(rows.items())}

    def taken_by(self, job: str) -> dict[Goods, int]:
        """What a job has taken and not brought back."""
        found: dict[Goods, int] = defaultdict(int)
        for one in self.movements:
            if one.job == job and one.kind in (Kind.TAKEN, Kind.BROUGHT_BACK):
                found[one.goods] += one.quantity if one.kind is Kind.TAKEN else -one.quantity
        return {goods: count for goods, count in found.items() if count > 0}

    def lots_out(self, job: str) -> dict[str, int]:
        """What a job has taken of each lot and not brought back."""
        found: dict[str, int] = defaultdict(int)
        for one in self.movements:
            if one.job == job and one.lot and one.kind in (Kind.TAKEN, Kind.BROUGHT_BACK):
                found[one.lot] += one.quantity if one.kind is Kind.TAKEN else -one.quantity
        return {lot: count for lot, count in found.items() if count > 0}

    def for_job(self, job: str, today: dt.date) -> dict[Goods, OnShelf]:
        """What a job may take: good ones on hand that no other job is promised, and what it has
        taken already."""
        found = self.taken_by(job)
        others: dict[Goods, int] = defaultdict(int)
        for (goods, holder), count in self.promised(dt.date.max).items():
            others[goods] += count if holder != job else 0
        places: dict[Goods, dict[str, None]] = defaultdict(dict)
        on_hand: dict[Goods, int] = defaultdict(int)
        counts = self.by_lot(today)
        for lot in in_order_of_age(self.lots.values()):
            count = max(counts.get(lot.id, 0), 0)
            if count and (lot.good_until is None or lot.good_until >= today):
                on_hand[lot.goods] += count
                places[lot.goods] |= {lot.place: None} if lot.place else {}
        for goods, count in on_hand.items():
            found[goods] = found.get(goods, 0) + max(0, count - others[goods])
        return {
            goods: OnShelf(count, tuple(places[goods]))
            for goods, count in found.items()
            if count > 0
        }

    def jobs_out(self) -> frozenset[str]:
        """Jobs that ever took something."""
        return frozenset(one.job for one in self.movements if one.kind is Kind.TAKEN and one.job)

    def free_lots(
        self, today: dt.date, apart_from: frozenset[str] = frozenset()
    ) -> tuple[Lot, ...]:
        """What buying may count on: good lots and what is on its way, promises taken off.

        A promise takes from what ages first, so that what is left keeps longest.

        Args:
            today: the day it is.
            apart_from: jobs whose own promises stay in, since they are bought for.
        """
        promised: dict[Goods, int] = defaultdict(int)
        for (goods, job), count in self.promised(dt.date.max).items():
            if job not in apart_from:
                promised[goods] += count
        counts = self.by_lot(today)
        found = []
        for lot in in_order_of_age(self.lots.values()):
            count = counts.get(lot.id, 0)
            if count <= 0 or (lot.good_until is not None and lot.good_until < today):
                continue
            taken = min(count, promised[lot.goods])
            promised[lot.goods] -= taken
            if count > taken:
                found.append(Lot(lot.goods, count - taken, lot.since, lot.good_until))
        for one in sorted(self.expected, key=lambda row: (row.day, row.goods, row.order)):
            taken = min(one.quantity, promised[one.goods])
            promised[one.goods] -= taken
            if one.quantity > taken:
                found.append(Lot(one.goods, one.quantity - taken, one.day))
        return tuple(found)

    def value(self, day: dt.date | None = None) -> Decimal:
        """What the shelf cost; lots of unknown price count nothing."""
        total = Decimal(0)
        for lot, count in self.by_lot(day).items():
            total += (self.lots[lot].each or Decimal(0)) * max(count, 0)
        return total

    def ageing(self, today: dt.date, within_days: int) -> list[tuple[ShelfLot, int]]:
        """Lots that grow too old within so many days or are already, with what is there of them."""
        end = today + dt.timedelta(days=within_days)
        counts = self.by_lot(today)
        return [
            (lot, counts.get(lot.id, 0))
            for lot in in_order_of_age(self.lots.values())
            if lot.good_until is not None and lot.good_until <= end and counts.get(lot.id, 0) > 0
        ]

    def history(self, goods: Goods) -> list[Movement]:
        """All that happened to goods, in order."""
        return sorted((one for one in self.movements if one.goods == goods), key=lambda m: m.day)


def in_order_of_age(lots: Iterable[ShelfLot]) -> list[ShelfLot]:
    """What ages first in front; of equals the opened bag, then what came first."""
    return sorted(
        lots,
        key=lambda lot: (
            lot.good_until or dt.date.max,
            not lot.opened,
            lot.since or dt.date.min,
            lot.id,
        ),
    )


def taking(shelf: Shelf, goods: Goods, quantity: int, today: dt.date) -> tuple[dict[str, int], int]:
    """From which lots to take, what ages first in front, and how many are lacking.

    Too old lots are left where they are.
    """
    counts = shelf.by_lot(today)
    found: dict[str, int] = {}
    left = quantity
    for lot in in_order_of_age(one for one in shelf.lots.values() if one.goods == goods):
        if lot.good_until is not None and lot.good_until < today:
            continue
        part = min(left, max(counts.get(lot.id, 0), 0))
        if part:
            found[lot.id] = part
            left -= part
    return found, left


def counted(shelf: Shelf, lot: str, seen: int, day: dt.date) -> Movement | None:
    """The difference a count finds, as a movement; None when the ledger was right."""
    difference = seen - shelf.by_lot(day).get(lot, 0)
    if not difference:
        return None
    return Movement(day, Kind.COUNTED, shelf.lots[lot].goods, difference, lot)
