"""Did it pay: exactly as planned is exactly the planned margin; tax is never profit."""

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.money.amount import MoneyError
from airwright.money.outcome import (
    Finished,
    Planned,
    Taken,
    by_client,
    by_kind,
    by_month,
    outcome,
)

cents = st.decimals(0, 9999, places=2)


@given(cents, cents, cents, cents, st.decimals(1, 9999, places=2), st.decimals(0, "0.3", places=4),
       st.decimals(0, 200, places=6))  # fmt: skip
def test_a_job_exactly_as_planned_shows_exactly_the_planned_margin(
    labour: Decimal, materials: Decimal, other: Decimal, shares: Decimal, net: Decimal,
    rate: Decimal, hours: Decimal,
) -> None:  # fmt: skip
    total = net + (net * rate).quantize(Decimal("0.01"))
    planned = Planned("USD", hours, labour, materials, other, shares, net, total)
    taken = Taken(hours.quantize(Decimal("0.01"), "ROUND_HALF_UP"), materials, other, total)
    found = outcome(planned, taken, Decimal("32.00"))
    assert found.margin == found.planned_margin == planned.margin
    assert found.earned == net
    assert found.tax == total - net


PLANNED = Planned(
    "EUR", Decimal("5"), Decimal(100), Decimal(50), Decimal(20), Decimal(30),
    Decimal("400.00"), Decimal("476.00"),
)  # fmt: skip


def test_more_hours_and_half_the_money() -> None:
    found = outcome(PLANNED, Taken(Decimal(6), None, Decimal(25), Decimal(238)), Decimal(20))
    assert found.cost == 120 + 50 + 25 + 30
    assert found.earned == 200
    assert found.tax == 38
    assert found.margin == 200 - 225
    assert [row.noted for row in found.rows] == [True, False, True, False]


def test_before_money_came_nothing_is_said_to_be_left() -> None:
    found = outcome(PLANNED, Taken(), Decimal(20))
    assert (found.margin, found.earned, found.margin_share) == (None, None, None)
    with pytest.raises(MoneyError):
        outcome(PLANNED, Taken(hours=Decimal(-1)), Decimal(20))


def test_a_season_by_kind_client_and_month_adds_up() -> None:
    half = Decimal("0.5")
    jobs = [
        Finished("1", "Harbour office", dt.date(2027, 5, 2), (("arch", half), ("column", half)),
                 Decimal(900), Decimal(500), Decimal(9)),
        Finished("2", "Harbour office", dt.date(2027, 6, 2), (("arch", Decimal(1)),),
                 Decimal(300), Decimal(350), Decimal(4)),
        Finished("3", "", dt.date(2027, 6, 9), (("column", Decimal(1)),), Decimal(200),
                 Decimal(80), Decimal(2)),
    ]  # fmt: skip
    for rows in (by_kind(jobs), by_client(jobs), by_month(jobs)):
        assert sum(row.net for row in rows) == 1400
        assert sum(row.margin for row in rows) == 470
        assert sum(row.hours for row in rows) == 15
    assert [row.name for row in by_month(jobs)] == ["2027-05", "2027-06"]
    assert {row.name: row.margin for row in by_kind(jobs)} == {"column": 320, "arch": 150}
