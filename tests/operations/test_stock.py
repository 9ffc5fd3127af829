"""The shelf: what follows from movements, and that no order of them changes it."""

from __future__ import annotations

import datetime as dt
import random
from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from airwright.operations.goods import Goods, Lot, good_until
from airwright.operations.stock.helium import Cylinder, usable_litres
from airwright.operations.stock.ledger import (
    Expected,
    Kind,
    Level,
    Movement,
    Shelf,
    ShelfLot,
    counted,
    taking,
)

CORAL = Goods("11in round balloon", "coral")
POLE = Goods("pole")
DAY = dt.date(2027, 5, 3)


def at(days: int) -> dt.date:
    return DAY + dt.timedelta(days=days)


OLD = ShelfLot("old", CORAL, at(-300), at(65), Decimal("0.15"))
NEW = ShelfLot("new", CORAL, at(-10), at(355), Decimal("0.20"))
SHELF = Shelf(
    {"old": OLD, "new": NEW, "poles": ShelfLot("poles", POLE, at(-900))},
    (
        Movement(at(-300), Kind.RECEIVED, CORAL, 100, "old"),
        Movement(at(-10), Kind.RECEIVED, CORAL, 50, "new"),
        Movement(at(-9), Kind.TAKEN, CORAL, 60, "old", "Prom"),
        Movement(at(-8), Kind.BROUGHT_BACK, CORAL, 5, "old", "Prom"),
        Movement(at(-7), Kind.POPPED, CORAL, 2, "old"),
        Movement(at(-2), Kind.RESERVED, CORAL, 30, "", "Wedding", at(20)),
        Movement(at(-1), Kind.WANTED, CORAL, 25, "", "Fair", at(40)),
        Movement(at(-900), Kind.RECEIVED, POLE, 12, "poles"),
    ),
    (Expected(CORAL, 100, at(10)),),
)


def test_a_job_may_take_what_no_other_is_promised() -> None:
    """What it took already counts as its own; what is too old or another's does not."""
    assert SHELF.for_job("Fair", DAY)[CORAL].quantity == 93 - 30
    assert SHELF.for_job("Wedding", DAY)[CORAL].quantity == 93
    assert SHELF.for_job("Prom", DAY)[CORAL].quantity == 93 - 30 + 55
    assert SHELF.for_job("Fair", at(70))[CORAL].quantity == 50 - 30
    assert SHELF.lots_out("Prom") == {"old": 55}


def test_a_promise_ends_when_it_is_released_or_its_job_is_gone() -> None:
    made = Movement(DAY, Kind.RESERVED, CORAL, 30, "", "Wedding", at(20))
    let_go = Movement(DAY, Kind.RELEASED, CORAL, 30, "", "Wedding")
    wished = Movement(DAY, Kind.WANTED, CORAL, 30, "", "Wedding", at(20))
    assert Shelf({}, (made, let_go)).promised(at(20)) == {}
    back = Shelf({}, (made, let_go, wished))  # an offer again: soft once more
    assert back.promised(at(20)) == {}
    assert back.promised(at(20), Kind.WANTED) == {(CORAL, "Wedding"): 30}
    unwanted = Movement(DAY, Kind.UNWANTED, CORAL, 30, "", "Wedding")
    again = Shelf({}, (made, let_go, wished, unwanted, made))
    assert again.promised(at(20)) == {(CORAL, "Wedding"): 30}
    assert again.promised(at(20), Kind.WANTED) == {}
    assert Shelf({}, (replace(made, job=""),)).promised(at(20)) == {}


def test_any_day_follows_from_the_movements() -> None:
    assert SHELF.on_hand() == {CORAL: 93, POLE: 12}
    assert SHELF.on_hand(at(-9)) == {CORAL: 90, POLE: 12}
    assert SHELF.levels(DAY, DAY)[CORAL] == Level(on_hand=93)
    assert SHELF.levels(at(20), DAY)[CORAL] == Level(93, 30, 0, 100, 0)
    assert SHELF.levels(at(40), DAY)[CORAL] == Level(93, 30, 25, 100, 0)
    assert SHELF.levels(at(70), DAY)[CORAL] == Level(93, 30, 25, 100, 43)
    assert SHELF.levels(at(70), DAY)[CORAL].free == 120


def test_the_last_good_day_is_a_good_day() -> None:
    assert SHELF.levels(at(65), DAY)[CORAL].too_old == 0
    assert SHELF.levels(at(66), DAY)[CORAL].too_old == 43


def test_latex_keeps_a_year_and_hardware_for_ever() -> None:
    """Common practice, no source: latex in its bag, cool and dark, is used within a year."""
    assert good_until("11in round balloon", dt.date(2027, 5, 3)) == dt.date(2028, 5, 2)
    assert good_until("pole", DAY) is None
    assert good_until("11in round balloon", DAY, 90) == at(90)


def test_of_equals_the_opened_bag_is_used_up_first() -> None:
    closed = ShelfLot("a", CORAL, at(-10), at(355))
    opened = ShelfLot("b", CORAL, at(-10), at(355), opened=True)
    came = [Movement(at(-10), Kind.RECEIVED, CORAL, 10, name) for name in ("a", "b")]
    assert taking(Shelf({"a": closed, "b": opened}, came), CORAL, 12, DAY) == ({"b": 10, "a": 2}, 0)


def test_a_firm_promise_stands_in_place_of_a_soft_one() -> None:
    firm = Movement(DAY, Kind.RESERVED, CORAL, 20, "", "Fair", at(40))
    after = Shelf(SHELF.lots, (*SHELF.movements, firm), SHELF.expected)
    assert after.levels(at(40), DAY)[CORAL] == Level(93, 50, 0, 100, 0)


def test_what_ages_first_goes_out_first() -> None:
    assert taking(SHELF, CORAL, 60, DAY) == ({"old": 43, "new": 17}, 0)
    assert taking(SHELF, CORAL, 100, DAY) == ({"old": 43, "new": 50}, 7)
    assert taking(SHELF, CORAL, 10, at(66)) == ({"new": 10}, 0)


def test_promises_leave_what_keeps_longest_to_buying() -> None:
    assert SHELF.free_lots(DAY) == (
        Lot(CORAL, 13, at(-300), at(65)),
        Lot(CORAL, 50, at(-10), at(355)),
        Lot(POLE, 12, at(-900)),
        Lot(CORAL, 100, at(10)),
    )


def test_a_promise_is_kept_by_taking() -> None:
    taken = Movement(DAY, Kind.TAKEN, CORAL, 30, "old", "Wedding")
    after = Shelf(SHELF.lots, (*SHELF.movements, taken), SHELF.expected)
    assert after.levels(at(20), DAY)[CORAL] == Level(63, 0, 0, 100, 0)


def test_a_count_posts_the_difference() -> None:
    found = counted(SHELF, "new", 47, DAY)
    assert found == Movement(DAY, Kind.COUNTED, CORAL, -3, "new")
    assert counted(SHELF, "new", 50, DAY) is None


def test_value_and_what_grows_too_old() -> None:
    assert SHELF.value() == 43 * Decimal("0.15") + 50 * Decimal("0.20")
    assert SHELF.ageing(DAY, 64) == []
    assert SHELF.ageing(DAY, 65) == [(OLD, 43)]
    assert SHELF.ageing(DAY, 70) == [(OLD, 43)]


@given(st.integers(0, 10_000))
def test_the_order_of_movements_changes_nothing(seed: int) -> None:
    mixed = list(SHELF.movements)
    random.Random(seed).shuffle(mixed)
    other = Shelf(SHELF.lots, mixed, SHELF.expected)
    assert other.on_hand() == SHELF.on_hand()
    assert other.free_lots(DAY) == SHELF.free_lots(DAY)


def test_a_half_empty_cylinder_and_its_rent() -> None:
    full = Cylinder("B1", 0.050, 200e5, since=DAY, rent_a_day=Decimal("1.20"))
    half = Cylinder("B2", 0.050, 100e5, since=DAY, returned=at(3), rent_a_day=Decimal("1.20"))
    # 50 L of water hold about 9 m3 of helium at 200 bar gauge (gas is denser than ideal by 9 %)
    assert 8_500 < full.usable_litres < 9_200
    assert 0.45 < half.usable_litres / full.usable_litres < 0.55
    assert full.rent(at(9), "EUR") == Decimal("12.00")
    assert half.rent(at(9), "EUR") == Decimal("4.80")
    assert usable_litres((full, half), at(9)) == full.usable_litres
    assert usable_litres((full, half), at(3)) == full.usable_litres  # it went back that day
    assert usable_litres((half,), at(2)) == half.usable_litres
