"""Buying against textbook problems of inventory theory.

Sources: H. M. Wagner, T. M. Whitin, Dynamic version of the economic lot size model, Management
Science 5 (1958); L. V. Snyder, Z.-J. M. Shen, Fundamentals of Supply Chain Theory, as its values
stand in the tests of the open package stockpyl; W. J. Hopp, M. L. Spearman, Factory Physics.
`data/lot_sizing.csv` says which optimum was read where and which was re-proved.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest

from airwright.operations.buying.answer import Answer
from airwright.operations.buying.buying import buy
from airwright.operations.buying.season import (
    PriceStep,
    newsvendor_normal,
    newsvendor_poisson,
    order_quantity,
)
from airwright.operations.buying.values import Break, Freight, Need, Offer, Question, Supplier
from airwright.operations.goods import Goods

MONDAY = dt.date(2027, 5, 3)
THING = Goods("thing")
WEEK = 7


def lots_in_time(demand: list[int], setup: list[int], holding: str) -> Answer:
    """A lot-sizing problem as buying: a week a period, a supplier a period with its set-up as
    freight, a piece at 1.00 that costs `holding` a week to keep."""
    days = [MONDAY + dt.timedelta(weeks=at + 1) for at in range(len(demand))]
    every = {MONDAY + dt.timedelta(days=at) for at in range(WEEK * (len(demand) + 3))}
    suppliers = tuple(
        Supplier(
            name=f"Period {at + 1:02}",
            offers=(Offer(THING.item, None, 1, Decimal(1)),),
            usual_days=0,
            late_days=0,
            closed=frozenset(every - {days[at]}),
            freight=Freight(((Decimal(0), Decimal(cost)),)),
        )
        for at, cost in enumerate(setup)
    )
    needs = tuple(Need(THING, day, count) for day, count in zip(days, demand, strict=True))
    yearly = Decimal(holding) * 365 / WEEK
    return buy(Question(needs, suppliers, "EUR", MONDAY, holding=yearly))


WAGNER_WHITIN = (
    [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56],
    [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114],
    "1",
)


@pytest.mark.published
@pytest.mark.parametrize(
    ("problem", "optimum", "source"),
    [
        (WAGNER_WHITIN, 864, "Wagner and Whitin 1958, the example of twelve months"),
        (([90, 120, 80, 70], [500] * 4, "2"), 1380, "Snyder and Shen, example 3.9"),
        (([150, 100, 80, 200], [120] * 4, "0.8"), 424, "Snyder and Shen, problem 3.27"),
        (([20, 50, 10, 50, 50, 10, 20, 40, 20, 30], [100] * 10, "1"), 580,
         "Hopp and Spearman, Factory Physics, section 2.3"),
    ],
)  # fmt: skip
def test_dynamic_lot_sizes(compare, problem, optimum: int, source: str) -> None:
    answer = lots_in_time(*problem)
    assert answer.proven
    compare(answer.net - sum(problem[0]), Decimal(optimum), source=source,
            what="least cost of set-ups and keeping", atol=0.005)  # fmt: skip


@pytest.mark.published
def test_which_lots_are_made(compare) -> None:
    answer = lots_in_time(*WAGNER_WHITIN)
    made = [(int(order.supplier[-2:]), order.lines[0].units) for order in answer.orders]
    lots = [(1, 98), (3, 97), (5, 121), (8, 112), (10, 67), (11, 135)]
    compare(str(made), str(lots),
            source="Wagner and Whitin 1958", what="month and size of each lot")  # fmt: skip


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("count", "price"),
    [(1, "10"), (2, "20"), (3, "30"), (4, "39.50"), (5, "39.50"), (6, "47.40"), (7, "55.30")],
)
def test_all_units_break(compare, count: int, price: str) -> None:
    offer = Offer(THING.item, None, 1, Decimal(10), (Break(5, Decimal("7.90")),))
    seller = Supplier("Seller", (offer,), 0, 0)
    need = Need(THING, MONDAY + dt.timedelta(weeks=1), count)
    answer = buy(Question((need,), (seller,), "EUR", MONDAY))
    compare(answer.cost, Decimal(price), source="by hand: 10.00, from 5 packs on 7.90 each",
            what=f"cheapest way to {count} packs")  # fmt: skip


@pytest.mark.closed_form
def test_free_freight_at_its_threshold(compare) -> None:
    white, gold = Goods("balloon", "white"), Goods("balloon", "gold")

    def offer(goods: Goods, pack: int, price: int) -> Offer:
        return Offer(goods.item, goods.shade, pack, Decimal(price))

    free_from_60 = Freight(((Decimal(0), Decimal(9)), (Decimal(60), Decimal(0))))
    first = Supplier(
        "A", (offer(white, 100, 12), offer(white, 50, 7), offer(gold, 50, 9)), 1, 1,
        freight=free_from_60,
    )  # fmt: skip
    second = Supplier(
        "B", (offer(white, 100, 11),), 1, 1, freight=Freight(((Decimal(0), Decimal(12)),))
    )
    due = MONDAY + dt.timedelta(weeks=2)
    question = Question(
        (Need(white, due, 230), Need(gold, due, 130)), (first, second), "EUR", MONDAY
    )
    compare(buy(question).cost, Decimal(60), source="all baskets tried by hand; the next best are "
            "62 and 63", what="two suppliers, freight free from 60")  # fmt: skip


@pytest.mark.published
def test_newsvendor(compare) -> None:
    source = "Snyder and Shen, example 4.3, as in the tests of stockpyl"
    normal = newsvendor_normal(50, 8, over=0.18, under=0.70)
    compare(normal.quantity, 56.6039559, rtol=1e-8, source=source, what="stock, normal demand")
    compare(normal.cost, 1.9976052, rtol=1e-7, source=source, what="cost, normal demand")
    poisson = newsvendor_poisson(50, over=0.18, under=0.70)
    compare(poisson.quantity, 56, source=source, what="stock, Poisson demand")
    compare(poisson.cost, 1.7972352, rtol=1e-7, source=source, what="cost, Poisson demand")


STEPS = (PriceStep(0, 0.75), PriceStep(400, 0.72), PriceStep(800, 0.68))


@pytest.mark.published
def test_quantity_discounts(compare) -> None:
    source = "Snyder and Shen, example 3.6 and 3.7, as in the tests of stockpyl"
    units = order_quantity(1300, 8, 0.3, STEPS, all_units=True)
    compare(units.quantity, 800, source=source, what="order size, all units")
    compare(units.cost, 978.60, atol=0.005, source=source, what="yearly cost, all units")
    beyond = order_quantity(1300, 8, 0.3, STEPS, all_units=False)
    compare(beyond.quantity, 304.04678, rtol=1e-7, source=source, what="order size, incremental")
    compare(beyond.cost, 1043.41052551, rtol=1e-9, source=source, what="yearly cost, incremental")
    steps = (PriceStep(0, 500), PriceStep(200, 475), PriceStep(500, 450))
    large = order_quantity(1000, 200, 0.2, steps, all_units=True)
    compare(large.quantity, 500, source=source, what="order size of the second example")
    compare(large.cost, 472_900, rtol=1e-9, source=source, what="cost of the second example")
