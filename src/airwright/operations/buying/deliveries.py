"""On which days orders are worth thinking of: few enough to try, and never the wrong few."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from airwright.operations.buying.calendar import arrival, is_late, latest_order
from airwright.operations.buying.values import Question, Supplier, Wish
from airwright.operations.goods import Goods


@dataclass(frozen=True, slots=True)
class Delivery:
    """An order that may be placed: with which supplier, on which day, and when its parcel comes."""

    supplier: Supplier
    order_on: dt.date
    arrives_on: dt.date


def wanted_goods(question: Question) -> frozenset[Goods]:
    """All goods that may be used: those needed, and those that may stand in for them."""
    return frozenset(need.goods for need in question.needs) | frozenset(
        swap.instead for swap in question.swaps
    )


def dues_at(question: Question, supplier: Supplier) -> list[dt.date]:
    """Days on which something is due that this supplier could have brought."""
    instead: dict[Goods, set[Goods]] = {}
    for swap in question.swaps:
        instead.setdefault(swap.goods, set()).add(swap.instead)
    sold = {
        goods
        for goods in wanted_goods(question)
        if any(offer.serves(goods) for offer in supplier.offers)
    }
    return sorted(
        {
            need.due
            for need in question.needs
            if need.goods in sold or not instead.get(need.goods, set()).isdisjoint(sold)
        }
    )


def deliveries_of(question: Question) -> tuple[Delivery, ...]:
    """The orders to choose from, by supplier and day.

    Where neither keeping goods nor their age costs anything, one early order with a supplier
    never costs more than several: it reaches every break and freight limit the others reach.
    Else the last day before each due day is enough: an order that goes out later brings fresher
    goods that are kept for less long, and still in time for the same needs.
    """
    found = []
    for supplier in sorted(question.suppliers, key=lambda one: one.name):
        dues = dues_at(question, supplier)
        if not dues:
            continue
        if one_order_is_enough(question, supplier, dues):
            late = is_late(supplier, question.order_time)
            comes = arrival(supplier, question.today, late=late)
            days = {(question.today, comes)} if comes is not None and comes <= dues[-1] else set()
        else:
            days = {
                day
                for due in dues
                if (day := latest_order(supplier, due, question.today, question.order_time))
            }
        found += [Delivery(supplier, *day) for day in sorted(days)]
    return tuple(found)


def one_order_is_enough(question: Question, supplier: Supplier, dues: list[dt.date]) -> bool:
    """Whether a single early order can do all that several could."""
    if Wish.SEASON in question.wishes:
        return True
    return (
        not question.holding
        and supplier.freight.joins_cheaply
        and not outlives(question, supplier, dues[-1])
    )


def outlives(question: Question, supplier: Supplier, last: dt.date) -> bool:
    """Whether something bought today would be too old for the last need."""
    span = (last - question.today).days
    wanted = wanted_goods(question)
    return any(
        offer.good_days is not None and offer.good_days < span
        for offer in supplier.offers
        if any(offer.serves(goods) for goods in wanted)
    )
