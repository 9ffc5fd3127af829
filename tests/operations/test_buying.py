"""Buying against trying everything, and what must hold whatever is asked."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from airwright.operations.buying.buying import buy
from airwright.operations.buying.values import Freight, Need, Offer, Question, Supplier, Wish
from airwright.operations.goods import Lot
from tests.operations import small
from tests.operations.small import CORAL, TEAL, day

SLOW = settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
MOST = 3


def score(question: Question) -> tuple[int, Decimal]:
    answer = buy(question)
    assert answer.proven
    assert answer.bound == answer.net == answer.cost
    return sum(one.quantity for one in answer.short), answer.cost


def limited(question: Question) -> Question:
    """The same question with so few packs on offer that all can be tried."""
    return replace(
        question,
        suppliers=tuple(
            replace(
                supplier,
                offers=tuple(replace(o, available=min(o.available or MOST, MOST)) for o in
                             supplier.offers),
            )
            for supplier in question.suppliers
        ),
    )  # fmt: skip


@SLOW
@given(small.questions())
def test_equal_to_trying_everything(question: Question) -> None:
    question = limited(question)
    assert score(question) == small.least(question, MOST)


@settings(SLOW, max_examples=25)
@given(small.questions())
def test_one_early_order_is_enough(question: Question) -> None:
    (seller, *_) = question.suppliers
    endless = replace(seller, offers=tuple(replace(o, available=None) for o in seller.offers))
    assert small.two_orders_never_help(replace(question, suppliers=(endless,)), 2)


@SLOW
@given(small.questions(), st.integers(1, 5))
def test_more_stock_never_costs_more(question: Question, more: int) -> None:
    richer = replace(question, lots=(*question.lots, Lot(question.needs[0].goods, more)))
    assert score(richer) <= score(question)


@SLOW
@given(small.questions(), st.integers(1, 5))
def test_a_later_day_never_costs_more(question: Question, days: int) -> None:
    # A later day may ask for more good days of what is on the shelf.
    question = replace(question, lots=tuple(replace(lot, good_until=None) for lot in question.lots))
    later = replace(
        question, needs=tuple(replace(n, due=n.due + (day(days) - day(0))) for n in question.needs)
    )
    assert score(later) <= score(question)


@SLOW
@given(small.questions(), st.data())
def test_one_more_supplier_never_costs_more(question: Question, data: st.DataObject) -> None:
    more = data.draw(small.suppliers("Supplier 9"))
    wider = replace(question, suppliers=(*question.suppliers, more))
    assert score(wider) <= score(question)


@SLOW
@given(small.questions(), st.integers(0, 1000))
def test_the_order_of_the_input_changes_nothing(question: Question, seed: int) -> None:
    dice = random.Random(seed)

    def mixed(things: tuple) -> tuple:
        return tuple(dice.sample(things, len(things)))

    other = replace(
        question,
        needs=mixed(question.needs),
        lots=mixed(question.lots),
        suppliers=mixed(tuple(replace(s, offers=mixed(s.offers)) for s in question.suppliers)),
    )
    assert replace(buy(other), seconds=0) == replace(buy(question), seconds=0)


@SLOW
@given(small.questions())
def test_everything_adds_up_and_comes_in_time(question: Question) -> None:
    answer = buy(question)
    assert answer.cost == sum(
        (line.price for order in answer.orders for line in order.lines), Decimal(0)
    ) + sum((order.freight for order in answer.orders), Decimal(0))
    for order in answer.orders:
        supplier = next(s for s in question.suppliers if s.name == order.supplier)
        assert small.TODAY <= order.order_on <= order.arrives_on
        assert order.usual_on <= order.arrives_on
        assert order.goods >= supplier.minimum
    bought = sum(answer_units for order in answer.orders for answer_units in
                 (line.units for line in order.lines))  # fmt: skip
    lacking = sum(
        small.lacking(
            question, goods,
            [(order.arrives_on, line.units) for order in answer.orders for line in order.lines
             if line.goods == goods],
        )
        for goods in (CORAL, TEAL)
    )  # fmt: skip
    assert lacking == sum(one.quantity for one in answer.short)
    assert bought == answer.units


@settings(SLOW, max_examples=40)
@given(small.questions())
def test_wishes_are_met_before_the_price(question: Question) -> None:
    plain = buy(question)
    few = buy(replace(question, wishes=frozenset({Wish.FEW_SUPPLIERS})))
    assume(not plain.short)
    assert not few.short
    names = [{order.supplier for order in one.orders} for one in (few, plain)]
    assert len(names[0]) <= len(names[1])
    assert few.cost >= plain.cost


def test_what_ages_is_bought_when_it_is_needed() -> None:
    offer = Offer(CORAL.item, None, 10, Decimal("5.00"), good_days=20)
    seller = Supplier("Fresh", (offer,), 1, 1, freight=Freight(((Decimal(0), Decimal(3)),)))
    question = Question(
        (Need(CORAL, day(5), 10), Need(CORAL, day(60), 10)), (seller,), "EUR", day(0)
    )
    answer = buy(question)
    assert [order.arrives_on <= day(5) for order in answer.orders] == [True, False]
    assert (answer.orders[1].arrives_on - day(0)).days >= 40
    assert answer.cost == Decimal("16.00")


def test_holding_is_weighed_against_freight() -> None:
    offer = Offer(CORAL.item, None, 10, Decimal("50.00"))
    needs = (Need(CORAL, day(10), 10), Need(CORAL, day(100), 10))

    def orders(freight: str) -> int:
        terms = Freight(((Decimal(0), Decimal(freight)),))
        seller = Supplier("Dear", (offer,), 1, 1, freight=terms)
        return len(buy(Question(needs, (seller,), "EUR", day(0), holding=Decimal("0.2"))).orders)

    # keeping 50.00 worth for 90 days at 20 % a year costs 2.47
    assert orders("2.00") == 2
    assert orders("3.00") == 1


def test_no_half_bags_when_wished() -> None:
    offers = (Offer(CORAL.item, None, 100, Decimal(10)), Offer(CORAL.item, None, 30, Decimal(8)))
    question = Question((Need(CORAL, day(9), 60),), (Supplier("A", offers, 1, 1),), "EUR", day(0))
    assert buy(question).cost == Decimal(10)
    wished = buy(replace(question, wishes=frozenset({Wish.NO_HALF_BAGS})))
    assert (wished.cost, wished.left_over) == (Decimal(16), ())


def test_worth_of_what_remains_is_weighed() -> None:
    offers = (Offer(CORAL.item, None, 100, Decimal(20)), Offer(CORAL.item, None, 50, Decimal(15)))
    question = Question((Need(CORAL, day(9), 50),), (Supplier("A", offers, 1, 1),), "EUR", day(0))
    assert buy(question).cost == Decimal(15)
    answer = buy(replace(question, worth=Decimal("0.8")))
    assert (answer.cost, answer.worth_left, answer.net) == (Decimal(20), Decimal(8), Decimal(12))


def test_a_question_with_nothing_to_buy() -> None:
    question = Question((Need(TEAL, day(1), 5),), (), "EUR", day(0), lots=(Lot(TEAL, 9),))
    answer = buy(question)
    assert (answer.orders, answer.cost, answer.short, answer.gap) == ((), 0, (), 0.0)
    assert [left.quantity for left in answer.left_over] == [4]


@settings(SLOW, max_examples=30)
@given(st.data())
def test_the_cover_is_the_cheapest_there_is(data: st.DataObject) -> None:
    from itertools import product

    from airwright.operations.buying.cover import cheapest_cover

    offers = [data.draw(small.offers("coral")) for _ in range(data.draw(st.integers(1, 3)))]
    pieces = data.draw(st.integers(1, 14))
    found = cheapest_cover(offers, pieces)
    tried = [
        sum((small.pack_price(o, n, n) for o, n in zip(offers, counts, strict=True)), Decimal(0))
        for counts in product(range(8), repeat=len(offers))
        if sum(o.pack * n for o, n in zip(offers, counts, strict=True)) >= pieces
    ]
    assert abs(found.cost - float(min(tried))) < 1e-9
    assert sum(o.pack * n for o, n in zip(offers, found.packs, strict=True)) >= pieces


def test_a_large_season_is_within_one_percent_at_once() -> None:
    from bench.buying import season

    answer = buy(season(20, 120, 4, 60, 1), 1.0)
    assert answer.gap < 0.01
    assert answer.bound <= answer.net
    assert not answer.short
